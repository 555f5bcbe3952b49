//! Files: opened, saved, kept for the next start, and nothing lost without a question.

use super::asking::{Asking, Purpose, Then};
use super::bottom_strip::Level;
use super::canvas::tool::Tool;
use super::document::Document;
use super::keeping::Recovered;
use super::opening::Opening;
use super::sheet_pages::Issued;
use super::{App, demo};
use crate::solve::civil_date;
use crate::study::findings::Step;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl App {
    pub(super) fn ask_where_to_save(&mut self, then: Option<Then>) {
        let start = self.document.as_ref().map(Document::suggested_path);
        self.asking = Some(Asking::file(Purpose::SavePlan, start, then));
    }

    /// Goes on where nothing is lost by it, else asks.
    pub(super) fn unless_unsaved(&mut self, then: Then) {
        self.end_practice();
        if self.document.as_ref().is_some_and(|d| d.history.is_unsaved()) {
            self.asking = Some(Asking::Unsaved(then));
        } else {
            self.go_on(then);
        }
    }

    /// Does what waited for unsaved work to be settled.
    pub fn go_on(&mut self, then: Then) {
        match then {
            Then::Quit => {
                self.may_close = true;
                if let Some(ctx) = self.waker.window() {
                    ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                }
            }
            Then::CloseJob => self.put_away(),
            Then::OpenFile(path) => self.open_file(&path),
            Then::OpenDemo(i) => match demo::JOBS[i].plan() {
                Ok(plan) => self.take_up(Document::bundled(plan)),
                Err(e) => self.notices.trouble(e.to_string()),
            },
        }
    }

    /// Opens a file, after asking about unsaved work where there is any.
    pub fn open_or_ask(&mut self, path: PathBuf) {
        self.unless_unsaved(Then::OpenFile(path));
    }

    /// Saves, then goes on; asks where to save where that is not known.
    pub fn save_then(&mut self, then: Then) {
        match self.document.as_ref().and_then(|d| d.path.clone()) {
            Some(path) => {
                if self.save_to(&path) {
                    self.go_on(then);
                }
            }
            None => self.ask_where_to_save(Some(then)),
        }
    }

    /// Gives unsaved work up.
    pub fn give_up_unsaved(&mut self) {
        self.keeping.drop_unsaved();
    }

    /// Saves the plan, or says why it was not saved; true where it went well.
    pub fn save_to(&mut self, path: &Path) -> bool {
        self.try_to_save(path).map_err(|words| self.notices.trouble(words)).is_ok()
    }

    /// Saves the plan.
    ///
    /// # Errors
    /// Why it was not saved, in words.
    pub fn try_to_save(&mut self, path: &Path) -> Result<(), String> {
        let Some(document) = &mut self.document else { return Ok(()) };
        document.save(path).map_err(|e| e.to_string())?;
        let saved = document.path.clone().unwrap_or_else(|| path.to_path_buf());
        self.keeping.remember(&saved);
        self.keeping.drop_unsaved();
        self.kept = document.version();
        self.notices.clear();
        self.notices.done(format!("Saved: {}", saved.display()));
        Ok(())
    }

    /// Writes the sheet.
    pub fn write_sheet_to(&mut self, path: &Path) {
        let known = self.known.clone();
        self.sheet.write(&known, self.paper, path.to_path_buf());
    }

    /// Writes the sheet beside what the window keeps and hands it to the system to be printed.
    pub fn print_sheet(&mut self) {
        let Some(document) = &self.document else { return };
        let folder = self.keeping.folder().map_or_else(std::env::temp_dir, |f| f.to_path_buf()).join("print");
        let name = document.suggested_path().with_extension("pdf");
        let path = folder.join(name.file_name().unwrap_or_else(|| std::ffi::OsStr::new("sheet.pdf")));
        let known = self.known.clone();
        self.sheet.print(&known, self.paper, path, self.hand_over);
    }

    /// Writes the templates to a folder.
    pub fn write_templates_to(&mut self, folder: &Path) {
        let known = self.known.clone();
        self.sheet.write_templates(&known, self.paper, folder.to_path_buf());
    }

    /// Issues the sheet: one edit, dated today.
    pub fn issue_sheet(&mut self) {
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let today = since.map_or(0, |d| (d.as_secs() / 86_400) as i64);
        let known = self.known.clone();
        self.sheet.issue(&known, self.paper, civil_date::write(today));
    }

    pub(super) fn take_in_issue(&mut self, (from, plan): Issued) {
        if self.plan() != Some(&*from) {
            self.notices.trouble("The plan was changed while it was being issued, so it was not. Issue it again");
            return;
        }
        let words = format!(
            "Issued as revision {} of {}. Write the sheet, and save the plan",
            plan.revision, plan.revision_date
        );
        self.edit(&format!("Issue revision {}", plan.revision), |p| *p = plan);
        self.notices.done(words);
    }

    /// Opens a plan or starts one about a mesh. What was open stays open where that fails.
    pub fn open_file(&mut self, path: &Path) {
        if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl")) {
            self.opening = Some(Opening::start(self.bench.clone(), path, self.waker.clone()));
            return;
        }
        let document = match crate::plan::file::read(path) {
            Ok(plan) => Document::saved(plan, std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf())),
            Err(e) => {
                self.notices.trouble(e.to_string());
                return;
            }
        };
        self.keeping.remember(path);
        self.take_up(document);
    }

    /// Takes up the unsaved work of an earlier run.
    pub fn take_up_recovered(&mut self, i: usize) {
        if i < self.recovered.len() {
            let Recovered { plan, path, file } = self.recovered.remove(i);
            self.keeping.keep_unsaved(&plan, path.as_deref());
            self.keeping.remove(&file);
            self.take_up(Document::recovered(plan, path));
        }
    }

    /// Throws the unsaved work of an earlier run away.
    pub fn throw_away_recovered(&mut self, i: usize) {
        if i < self.recovered.len() {
            let one = self.recovered.remove(i);
            self.keeping.remove(&one.file);
        }
    }

    pub(super) fn take_up(&mut self, document: Document) {
        self.put_away();
        // Versions go on, so that facts of the last job are never taken for facts of this one.
        self.document = Some(document.counted_from(self.asked + 1));
        self.kept = self.asked + 1;
        self.step = Step::Part;
    }

    fn put_away(&mut self) {
        self.keeping.drop_unsaved();
        self.clear_desk();
        self.document = None;
    }

    /// Lets go of everything that was worked out or is in hand; the document itself stays.
    pub(super) fn clear_desk(&mut self) {
        self.worker.cancel();
        self.proposer.cancel();
        self.filler.cancel();
        self.fill_times = None;
        self.hangs.clear();
        self.runners.cancel();
        self.sheet.clear();
        self.opener.close();
        self.known = Arc::default();
        self.canvas.start_afresh();
        self.chosen = None;
        self.fault = Default::default();
        self.typed = None;
        self.line_drag = None;
        self.moved_gate = None;
        self.tool = Tool::Look;
        self.level = Level::default();
        self.opened_finding = None;
        self.notices.clear();
    }

    /// What is left to do when the window is gone.
    pub fn leave(&mut self) {
        self.end_practice();
        if let Some(document) = &self.document
            && document.history.is_unsaved()
            && !self.may_close
        {
            self.keeping.keep_unsaved(document.plan(), document.path.as_deref());
        } else {
            self.keeping.drop_unsaved();
        }
        self.keeping.flush();
    }
}
