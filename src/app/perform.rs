//! What each action does.

use super::App;
use super::action::Action;
use super::asking::{Asking, Purpose, Then};
use super::bottom_strip::Level;
use super::canvas::tool::Tool;
use super::document::Document;
use super::propose::Wanted;
use super::search::Search;
use crate::study::findings::Step;

impl App {
    /// Does an action.
    pub fn perform(&mut self, action: Action) {
        match action {
            Action::OpenDemo(i) => self.unless_unsaved(Then::OpenDemo(i)),
            Action::Practise(i) => self.practise(i),
            Action::PractiseHere => self.practise_on_this_part(),
            Action::EndPractice => self.end_practice(),
            Action::Open => self.asking = Some(Asking::file(Purpose::Open, None, None)),
            Action::Save => match self.document.as_ref().and_then(|d| d.path.clone()) {
                Some(path) => self.save_or_ask(&path, None),
                None => self.ask_where_to_save(None),
            },
            Action::SaveAs => self.ask_where_to_save(None),
            // In practice the job that is open is the exercise.
            Action::CloseJob if self.practice.is_some() => self.end_practice(),
            Action::CloseJob => self.unless_unsaved(Then::CloseJob),
            Action::Undo => self.with_document(Document::undo),
            Action::Redo => self.with_document(Document::redo),
            Action::Search => self.search = Some(Search::open()),
            Action::Propose => self.propose(Wanted::Whole),
            Action::AddPart => self.ask_for_part(),
            Action::LayOutSet => self.propose(Wanted::LayOut),
            Action::Delete => {
                if let Some(thing) = self.chosen {
                    self.delete(thing);
                }
            }
            Action::Fit => self.canvas.fit(&self.known, self.step, self.now),
            Action::Parallel => self.canvas.toggle_parallel(),
            Action::Section => self.canvas.toggle_cut(),
            Action::SeeThrough => self.canvas.see_through = !self.canvas.see_through,
            Action::LookFrom(view) => self.canvas.look_from(view, &self.known, self.step, self.now),
            Action::PrintSheet => self.print_sheet(),
            Action::WriteSheet => {
                let start = self.document.as_ref().map(|d| d.suggested_path().with_extension("pdf"));
                self.asking = Some(Asking::file(Purpose::SaveSheet, start, None));
            }
            Action::WriteTemplates => {
                let start = self.document.as_ref().map(|d| d.suggested_path().with_extension("templates"));
                self.asking = Some(Asking::file(Purpose::TemplatesFolder, start, None));
            }
            Action::Issue => self.issue_sheet(),
            Action::WritePieces => {
                let start = self.document.as_ref().map(|d| d.suggested_path().with_extension("pieces"));
                self.asking = Some(Asking::file(Purpose::PiecesFolder, start, None));
            }
            Action::WriteHalves => {
                let start = self.document.as_ref().map(|d| d.suggested_path().with_extension("halves"));
                self.asking = Some(Asking::file(Purpose::HalvesFolder, start, None));
            }
            Action::ShopFigures => self.open_shop_page(),
            Action::Theme => {
                self.dark = !self.dark;
                self.dressed = false;
                self.keeping.remember_dark(self.dark);
            }
            Action::GoTo(step) => self.go_to(step),
        }
        self.waker.wake();
    }

    fn with_document(&mut self, f: impl FnOnce(&mut Document)) {
        self.line_drag = None;
        if let Some(document) = &mut self.document {
            f(document);
        }
        self.forget_what_is_gone();
    }

    /// Opens a step of the job card.
    pub fn go_to(&mut self, step: Step) {
        if step != self.step {
            self.step = step;
            self.tool = Tool::Look;
            self.opened_finding = None;
            self.canvas.end_reveal();
            if !Level::belongs_to(step) {
                self.level.playing = false;
            }
        }
    }
}
