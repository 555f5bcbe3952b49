//! Everything a person can do by name: one list that menu, buttons, search and keys all read.

use crate::app::App;
use crate::app::practice::STEPS;
use crate::study::findings::Step;
use crate::study::lessons::practice::exercises::EXERCISES;
use crate::view::camera::StandardView;
use egui::{Key, KeyboardShortcut, Modifiers};

/// Something that can be done by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Opens a job of the demo.
    OpenDemo(usize),
    /// Starts an exercise.
    Practise(usize),
    /// Practises on the part of the open job.
    PractiseHere,
    /// Ends practice.
    EndPractice,
    /// Asks for a plan or mesh to open.
    Open,
    /// Saves where it was saved before, or asks.
    Save,
    /// Asks where to save.
    SaveAs,
    /// Closes the job and goes to the welcome page.
    CloseJob,
    /// Takes the last edit back.
    Undo,
    /// Makes the last undone edit again.
    Redo,
    /// Opens the search.
    Search,
    /// Makes a whole plan.
    Propose,
    /// Asks for a mesh that is cast in the same block.
    AddPart,
    /// Lays the parts of the set out in rows.
    LayOutSet,
    /// Takes the chosen thing out.
    Delete,
    /// Fits the part to the view.
    Fit,
    /// Switches between perspective and parallel view.
    Parallel,
    /// Cuts the view through.
    Section,
    /// Sees through the part.
    SeeThrough,
    /// Turns to a standard view.
    LookFrom(StandardView),
    /// Hands the setup sheet to the system to be printed.
    PrintSheet,
    /// Writes the setup sheet.
    WriteSheet,
    /// Writes the templates at full size.
    WriteTemplates,
    /// Counts the sheet's revision up and keeps what it tells.
    Issue,
    /// Writes every loose piece as a file.
    WritePieces,
    /// Writes both halves of the cut block as files.
    WriteHalves,
    /// Opens the page of the shop's figures.
    ShopFigures,
    /// Switches between light and dark.
    Theme,
    /// Goes to a step of the job card.
    GoTo(Step),
}

/// A key with the command key (Ctrl).
const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

impl Action {
    /// Every action, in the order of the search.
    pub fn all() -> Vec<Action> {
        let mut all = vec![
            Action::Propose,
            Action::Open,
            Action::Save,
            Action::SaveAs,
            Action::Undo,
            Action::Redo,
            Action::Delete,
            Action::Fit,
            Action::Parallel,
            Action::Section,
            Action::SeeThrough,
            Action::PrintSheet,
            Action::WriteSheet,
            Action::WriteTemplates,
            Action::Issue,
            Action::AddPart,
            Action::LayOutSet,
            Action::WritePieces,
            Action::WriteHalves,
            Action::ShopFigures,
            Action::Theme,
            Action::PractiseHere,
            Action::EndPractice,
            Action::CloseJob,
            Action::Search,
        ];
        all.extend((0..crate::app::demo::JOBS.len()).map(Action::OpenDemo));
        all.extend((0..EXERCISES.len()).map(Action::Practise));
        all.extend(Step::ALL.map(Action::GoTo));
        all.extend(StandardView::ALL.map(Action::LookFrom));
        all
    }

    /// What it says on a button or in a list.
    pub fn label(self, app: &App) -> String {
        let named = |verb: &str, name: Option<&str>| match name {
            Some(name) => format!("{verb} {}", lowered(name)),
            None => verb.to_owned(),
        };
        let history = app.document().map(|d| &d.history);
        match self {
            Action::OpenDemo(i) => format!("Open the demo job: {}", crate::app::demo::JOBS[i].title),
            Action::Practise(i) => format!("Practise: {}", EXERCISES[i].title),
            Action::PractiseHere => "Practise on this part".into(),
            Action::EndPractice => "End practice".into(),
            Action::Open => "Open…".into(),
            Action::Save => "Save".into(),
            Action::SaveAs => "Save as…".into(),
            Action::CloseJob => "Close the job".into(),
            Action::Undo => named("Undo", history.and_then(|h| h.undo_name())),
            Action::Redo => named("Redo", history.and_then(|h| h.redo_name())),
            Action::Search => "Search".into(),
            Action::Propose => "Propose a whole plan".into(),
            Action::AddPart => "Add another part…".into(),
            Action::LayOutSet => "Lay the set out anew".into(),
            Action::Delete => match app.chosen() {
                Some(thing) => format!("Delete {}", thing.in_sentence()),
                None => "Delete".into(),
            },
            Action::Fit => "Fit the part to the view".into(),
            Action::Parallel => "Parallel view".into(),
            Action::Section => "Cut through".into(),
            Action::SeeThrough => "See through the part".into(),
            Action::LookFrom(view) => format!("View from {}", from_where(view)),
            Action::PrintSheet => "Print the setup sheet".into(),
            Action::WriteSheet => "Write the setup sheet…".into(),
            Action::WriteTemplates => "Write templates…".into(),
            Action::Issue => "Issue the sheet".into(),
            Action::WritePieces => "Write loose pieces…".into(),
            Action::WriteHalves => "Write both halves…".into(),
            Action::ShopFigures => "The shop's figures…".into(),
            Action::Theme => "Light or dark".into(),
            Action::GoTo(step) => format!("Go to {}", step.name()),
        }
    }

    /// What it does, in one line.
    pub fn tooltip(self) -> &'static str {
        match self {
            Action::OpenDemo(_) => "An invented job to try everything on; nothing of it is lost when you change it",
            Action::Practise(_) => "Hang, feed and vent an invented part, pour, and see how it went",
            Action::PractiseHere => "The plan is laid aside and comes back as it was",
            Action::EndPractice => "Back to where you were; nothing of practice is kept",
            Action::Open => "A plan (.ron) or a mesh (.stl)",
            Action::Save => "Writes the plan to its file",
            Action::SaveAs => "Writes the plan to another file",
            Action::CloseJob => "Back to the welcome page",
            Action::Undo => "Takes the last change back",
            Action::Redo => "Makes the change again that was taken back",
            Action::Search => "Finds anything that can be done, by its name",
            Action::Propose => "Hang, draw, gate and vents for the part as it is; one change that can be undone",
            Action::AddPart => "Another mesh that is cast in the same shot",
            Action::LayOutSet => "All parts in one cut, with the least rubber between them and room for the runner",
            Action::Delete => "Takes the chosen thing out of the plan",
            Action::Fit => "Shows the whole part",
            Action::Parallel => "Equal lengths stay equal, with a scale bar",
            Action::Section => "Cuts the part open so that you see inside",
            Action::SeeThrough => "Draws the part as glass",
            Action::LookFrom(_) => "Turns the view",
            Action::PrintSheet => "Opens the sheet in the program that this machine prints PDF files with",
            Action::WriteSheet => "Writes the sheet as a PDF file where you want it",
            Action::WriteTemplates => {
                "Writes lid, floor, walls and knife marks at full size to a folder: PDF for paper, SVG and DXF for a cutter"
            }
            Action::Issue => "Counts the revision up with today's date; the next sheet tells what was changed since",
            Action::WritePieces => {
                "Writes a closed mesh (.stl) of each loose piece to a folder, as it sits in the block"
            }
            Action::WriteHalves => "Writes a closed mesh (.stl) of each half of the cut block to a folder",
            Action::ShopFigures => "Materials, boxes, vessels, limits and habits of this shop, each with its source",
            Action::Theme => "Switches the colours of the window",
            Action::GoTo(_) => "Opens this step of the job card",
        }
    }

    /// Its keys; the first is shown.
    pub fn shortcuts(self) -> Vec<KeyboardShortcut> {
        let shift = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        match self {
            Action::Open => vec![ctrl(Key::O)],
            Action::Save => vec![ctrl(Key::S)],
            Action::SaveAs => vec![KeyboardShortcut::new(shift, Key::S)],
            Action::Undo => vec![ctrl(Key::Z)],
            Action::Redo => vec![KeyboardShortcut::new(shift, Key::Z), ctrl(Key::Y)],
            Action::Search => vec![ctrl(Key::K), plain(Key::Slash)],
            Action::Propose => vec![ctrl(Key::Enter)],
            Action::Delete => vec![plain(Key::Delete), plain(Key::Backspace)],
            Action::Fit => vec![plain(Key::Home)],
            Action::Parallel => vec![plain(Key::P)],
            Action::Section => vec![plain(Key::C)],
            Action::SeeThrough => vec![plain(Key::T)],
            Action::PrintSheet => vec![ctrl(Key::P)],
            _ => Vec::new(),
        }
    }

    /// Its first key in words, also the two-key ones.
    pub fn key_words(self, ctx: &egui::Context) -> String {
        match self {
            Action::LookFrom(view) => match view {
                StandardView::Front => "V, ↓".into(),
                StandardView::Back => "V, ↑".into(),
                StandardView::Left => "V, ←".into(),
                StandardView::Right => "V, →".into(),
                StandardView::Top => "V, Page up".into(),
                StandardView::Bottom => "V, Page down".into(),
                StandardView::Corner => "V, Home".into(),
            },
            _ => self.shortcuts().first().map(|s| ctx.format_shortcut(s)).unwrap_or_default(),
        }
    }

    /// Why it can't be done now; none where it can.
    pub fn why_not(self, app: &App) -> Option<String> {
        let no_job = app.document().is_none();
        let history = app.document().map(|d| &d.history);
        let says = |no: bool, why: &str| no.then(|| why.to_owned());
        let practising = app.practice().is_some();
        match self {
            Action::OpenDemo(_) | Action::Open | Action::Search | Action::Theme | Action::Practise(_) => None,
            Action::ShopFigures => says(practising, "Not in practice; end it first"),
            Action::EndPractice => says(!practising, "There is no practice under way"),
            _ if no_job => Some("Open a job first".into()),
            Action::Propose
            | Action::Undo
            | Action::Redo
            | Action::Delete
            | Action::AddPart
            | Action::LayOutSet
            | Action::PractiseHere
                if app.is_at_shop_page() =>
            {
                Some("Go back to the job first".into())
            }
            Action::Propose
            | Action::Save
            | Action::SaveAs
            | Action::PrintSheet
            | Action::WriteSheet
            | Action::PractiseHere
                if practising =>
            {
                Some("Not in practice; end it first".into())
            }
            Action::GoTo(step) => says(practising && !STEPS.contains(&step), "Practice is about hang, feed and vents"),
            Action::PractiseHere => says(!app.known().has_part(), "The part is not read yet"),
            Action::Undo => {
                says(history.is_none_or(|h| h.undo_name().is_none()), "Nothing was changed since the job was opened")
            }
            Action::Redo => says(history.is_none_or(|h| h.redo_name().is_none()), "Nothing was undone"),
            Action::Delete => {
                says(app.chosen().is_none(), "Choose a gate, vent, insert, pin or mark first, in the view or in a list")
            }
            Action::Propose => says(!app.known().has_part(), "The part is not read yet"),
            Action::AddPart | Action::LayOutSet if practising => Some("Not in practice; end it first".into()),
            Action::AddPart | Action::LayOutSet if app.is_proposing() => {
                Some("Still working on the last proposal".into())
            }
            Action::AddPart => says(!app.known().has_part(), "The part is not read yet"),
            Action::LayOutSet => says(
                app.plan().is_none_or(|p| p.parts.len() < 2),
                "There is one part alone; add a copy or another part in the part step",
            ),
            Action::WritePieces if app.plan().is_none_or(|p| p.parting.loose_pieces.is_empty()) => {
                Some("The plan has no loose piece; put one in the parting step".into())
            }
            Action::WritePieces if app.is_writing() => Some("Still writing the files asked for before".into()),
            Action::WritePieces => {
                let release = app.known().facts.as_ref().and_then(|f| f.release.as_ref());
                says(release.is_none(), "Still working: the pieces are not made yet")
            }
            Action::WriteHalves if app.is_writing() => Some("Still writing the files asked for before".into()),
            Action::WriteHalves => match app.known().facts.as_ref().and_then(|f| f.cut.as_ref()) {
                None => Some("Still working: the cut is not laid yet".into()),
                Some(cut) => cut.surface.as_ref().err().map(|e| format!("The block can't be cut: {e}")),
            },
            Action::PrintSheet | Action::WriteSheet | Action::WriteTemplates | Action::Issue => {
                says(app.known().report.is_none(), "Still working: the sheet needs all the numbers")
            }
            _ => None,
        }
    }
}

/// A name with a small first letter, as it stands inside a sentence.
pub fn lowered(name: &str) -> String {
    let mut letters = name.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

fn from_where(view: StandardView) -> &'static str {
    match view {
        StandardView::Front => "the front",
        StandardView::Back => "behind",
        StandardView::Left => "the left",
        StandardView::Right => "the right",
        StandardView::Top => "above",
        StandardView::Bottom => "below",
        StandardView::Corner => "a corner",
    }
}

/// Saving is asked for by its keys also while a text field has them.
pub fn pressed_anywhere(ctx: &egui::Context) -> Option<Action> {
    let mut keyed =
        [Action::SaveAs, Action::Save].into_iter().flat_map(|a| a.shortcuts().into_iter().map(move |s| (s, a)));
    keyed.find(|(s, _)| ctx.input_mut(|i| i.consume_shortcut(s))).map(|(_, action)| action)
}

/// The action whose keys were pressed; none while a text field has the keys.
///
/// V is followed by a second key: an arrow, Page up or down, or Home. `v_pressed` remembers it.
pub fn pressed(ctx: &egui::Context, v_pressed: &mut bool) -> Option<Action> {
    if ctx.text_edit_focused() || egui::Popup::is_any_open(ctx) {
        *v_pressed = false;
        return None;
    }
    if *v_pressed {
        let views = [
            (Key::ArrowDown, StandardView::Front),
            (Key::ArrowUp, StandardView::Back),
            (Key::ArrowLeft, StandardView::Left),
            (Key::ArrowRight, StandardView::Right),
            (Key::PageUp, StandardView::Top),
            (Key::PageDown, StandardView::Bottom),
            (Key::Home, StandardView::Corner),
        ];
        for (key, view) in views {
            if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
                *v_pressed = false;
                return Some(Action::LookFrom(view));
            }
        }
    }
    if ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::V)) {
        *v_pressed = true;
        return None;
    }
    // Longer chords first: Ctrl+Shift+Z is not Ctrl+Z.
    let mut keyed: Vec<(KeyboardShortcut, Action)> =
        Action::all().into_iter().flat_map(|a| a.shortcuts().into_iter().map(move |s| (s, a))).collect();
    keyed.sort_by_key(|(s, _)| std::cmp::Reverse(u8::from(s.modifiers.shift) + u8::from(s.modifiers.command)));
    let found = keyed.into_iter().find(|(s, _)| ctx.input_mut(|i| i.consume_shortcut(s)));
    if found.is_some() {
        *v_pressed = false;
    }
    found.map(|(_, action)| action)
}
