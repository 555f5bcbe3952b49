//! Small windows that ask: what to open, where to save, and, the only question ever asked twice, whether unsaved work
//! may go.

use crate::app::App;
use crate::app::theme::{look, strong};
use crate::app::waker::Waker;
use crate::files::output::{Guard, Kind};
use crate::plan::file;
use egui::text::CCursor;
use egui::{Id, Key, Modal, Modifiers, Ui};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};

/// What a file is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// A plan or a mesh to open.
    Open,
    /// A mesh that is cast in the same block.
    AddPart,
    /// The mesh of the other shot.
    OtherPart,
    /// Where a mesh lies that is not where the plan says.
    FindMesh,
    /// A place for the plan.
    SavePlan,
    /// A place for the sheet.
    SaveSheet,
    /// A folder for loose pieces.
    PiecesFolder,
    /// A folder for templates.
    TemplatesFolder,
    /// A folder for both halves.
    HalvesFolder,
}

impl Purpose {
    fn title(self) -> &'static str {
        match self {
            Purpose::Open => "Open a plan or a mesh",
            Purpose::AddPart => "Add another part to the block",
            Purpose::OtherPart => "Add the other shot's part",
            Purpose::FindMesh => "Find the mesh file",
            Purpose::SavePlan => "Save the plan",
            Purpose::SaveSheet => "Write the setup sheet",
            Purpose::PiecesFolder => "Write loose pieces to a folder",
            Purpose::TemplatesFolder => "Write templates to a folder",
            Purpose::HalvesFolder => "Write both halves to a folder",
        }
    }

    fn button(self) -> &'static str {
        match self {
            Purpose::Open => "Open",
            Purpose::AddPart | Purpose::OtherPart => "Add",
            Purpose::FindMesh => "Take this file",
            Purpose::SavePlan => "Save",
            Purpose::SaveSheet | Purpose::PiecesFolder | Purpose::HalvesFolder | Purpose::TemplatesFolder => "Write",
        }
    }

    /// True where a file that is there would be replaced.
    fn writes(self) -> bool {
        !matches!(self, Purpose::Open | Purpose::AddPart | Purpose::OtherPart | Purpose::FindMesh)
    }

    /// Why `path` will not do, in words; none where nothing is known against it.
    fn refuses(self, path: &Path, guard: &Guard) -> Option<String> {
        let missing = || (!path.is_file()).then(|| format!("There is no such file: {}", path.display()));
        match self {
            Purpose::Open => missing().or_else(|| {
                let mesh = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
                if mesh { None } else { file::read(path).err().map(|e| e.to_string()) }
            }),
            Purpose::AddPart | Purpose::OtherPart | Purpose::FindMesh => missing(),
            // Saving itself tells.
            Purpose::SavePlan => None,
            Purpose::SaveSheet => {
                let folder = path.parent().filter(|f| !f.as_os_str().is_empty() && !f.is_dir());
                if let Some(folder) = folder {
                    Some(format!("There is no such folder: {}", folder.display()))
                } else {
                    guard.allows(path, Kind::Pdf).err().map(|e| e.to_string())
                }
            }
            Purpose::PiecesFolder | Purpose::TemplatesFolder | Purpose::HalvesFolder => {
                path.is_file().then(|| format!("That is a file, not a folder. Choose another name: {}", path.display()))
            }
        }
    }
}

/// What to do once unsaved work was saved or given up.
#[derive(Clone, Debug, PartialEq)]
pub enum Then {
    /// Close the window.
    Quit,
    /// Go to the welcome page.
    CloseJob,
    /// Open a file.
    OpenFile(PathBuf),
    /// Open a job of the demo.
    OpenDemo(usize),
}

/// A question that stands.
#[derive(Debug)]
pub enum Asking {
    /// A path, typed or picked.
    File {
        /// What for.
        purpose: Purpose,
        /// The path so far.
        typed: String,
        /// What to do after saving.
        then: Option<Then>,
        /// True until the field had the keys once.
        fresh: bool,
        /// The system's dialog, while it is open.
        dialog: Option<Receiver<Option<PathBuf>>>,
        /// What is said below the field.
        remark: Option<String>,
        /// Why the path that was asked for will not do.
        refusal: Option<String>,
    },
    /// Unsaved work would be lost.
    Unsaved(Then),
}

impl Asking {
    /// Asks for a file.
    pub fn file(purpose: Purpose, start: Option<PathBuf>, then: Option<Then>) -> Asking {
        let typed = start.map(|p| p.to_string_lossy().into_owned()).unwrap_or_default();
        Asking::File { purpose, typed, then, fresh: true, dialog: None, remark: None, refusal: None }
    }
}

/// What a person answered.
enum Answer {
    Wait,
    Cancel,
    File(PathBuf),
    Save(Then),
    GiveUp(Then),
}

/// Draws the question that stands, if any, and acts on its answer.
pub fn show(app: &mut App, ui: &mut Ui, waker: &Waker) {
    let Some(mut asking) = app.take_asking() else { return };
    let mut answer = Answer::Wait;
    let response = Modal::new(Id::unique("asking")).show(ui.ctx(), |ui| {
        ui.set_width(460.0);
        answer = match &mut asking {
            Asking::File { .. } => ask_file(ui, &mut asking, waker),
            Asking::Unsaved(then) => ask_unsaved(ui, app, then),
        };
    });
    if matches!(answer, Answer::Wait) && response.should_close() {
        answer = Answer::Cancel;
    }
    match (answer, asking) {
        (Answer::Wait, asking) => app.ask(asking),
        (Answer::Cancel, _) => {}
        (Answer::File(path), mut asking @ Asking::File { .. }) => {
            let Asking::File { purpose, then, refusal, .. } = &mut asking else { return };
            let saved = match purpose.refuses(&path, &app.guard()) {
                Some(words) => Err(words),
                None if *purpose == Purpose::SavePlan => app.try_to_save(&path),
                None => Ok(()),
            };
            match saved {
                // What was typed stands, to be put right.
                Err(words) => {
                    *refusal = Some(words);
                    app.ask(asking);
                }
                Ok(()) => taken(app, *purpose, path, then.take()),
            }
        }
        (Answer::Save(then), _) => app.save_then(then),
        (Answer::GiveUp(then), _) => {
            app.give_up_unsaved();
            app.go_on(then);
        }
        _ => {}
    }
}

/// Does what the path was wanted for; a plan is saved by now.
fn taken(app: &mut App, purpose: Purpose, path: PathBuf, then: Option<Then>) {
    match purpose {
        Purpose::Open => app.open_or_ask(path),
        Purpose::AddPart => app.add_part(&path),
        Purpose::OtherPart => app.add_other_part(&path),
        Purpose::FindMesh => app.mesh_was_found(&path),
        Purpose::SavePlan => {
            if let Some(then) = then {
                app.go_on(then);
            }
        }
        Purpose::SaveSheet => app.write_sheet_to(&path),
        Purpose::PiecesFolder => app.write_pieces_to(path),
        Purpose::HalvesFolder => app.write_halves_to(path),
        Purpose::TemplatesFolder => app.write_templates_to(&path),
    }
}

fn ask_file(ui: &mut Ui, asking: &mut Asking, waker: &Waker) -> Answer {
    let Asking::File { purpose, typed, fresh, dialog, remark, refusal, .. } = asking else { return Answer::Cancel };
    let purpose = *purpose;
    ui.heading(purpose.title());
    ui.add_space(6.0);
    let label = ui.label("Path");
    let field = egui::TextEdit::singleline(typed).desired_width(f32::INFINITY).hint_text(match purpose {
        Purpose::Open => "A plan (.ron) or a mesh (.stl); or drop the file on the window",
        Purpose::AddPart | Purpose::FindMesh => "A mesh (.stl)",
        Purpose::OtherPart => "A mesh (.stl) drawn in the same frame as this part",
        Purpose::SavePlan => "plan.ron",
        Purpose::SaveSheet => "sheet.pdf",
        Purpose::PiecesFolder | Purpose::HalvesFolder | Purpose::TemplatesFolder => {
            "A folder; it is made where it is not there"
        }
    });
    let field = ui.add(field).labelled_by(label.id);
    if std::mem::take(fresh) {
        field.request_focus();
        // What is typed takes the place of what stands there.
        let mut state = egui::text_edit::TextEditState::load(ui.ctx(), field.id).unwrap_or_default();
        let all = egui::text::CCursorRange::two(CCursor::new(0), CCursor::new(typed.chars().count()));
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), field.id);
    }
    if field.changed() {
        (*remark, *refusal) = (None, None);
    }
    let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if let Some(receiver) = dialog
        && let Ok(picked) = receiver.try_recv()
    {
        *dialog = None;
        match picked {
            Some(path) => return Answer::File(path),
            // On some systems no dialog opens at all; the field is always there.
            None => {
                *remark = Some("Nothing was picked. The path can be typed above".into());
                field.request_focus();
            }
        }
    }
    let path = completed(purpose, typed);
    let replaces = purpose.writes() && path.as_ref().is_some_and(|p| p.exists());
    let there = match purpose {
        Purpose::PiecesFolder | Purpose::HalvesFolder | Purpose::TemplatesFolder => {
            "The folder is there; files of the same name in it will be replaced"
        }
        _ => "The file is there and will be replaced",
    };
    if let Some(words) = refusal {
        let stop = look(ui).stop;
        ui.add(egui::Label::new(egui::RichText::new(words.as_str()).color(stop)).wrap());
    } else if let Some(words) = remark.as_deref().or(replaces.then_some(there)) {
        let quiet = look(ui).quiet;
        ui.label(egui::RichText::new(words).color(quiet));
    }
    ui.add_space(8.0);
    let mut answer = Answer::Wait;
    ui.horizontal(|ui| {
        let button = ui.add_enabled(path.is_some(), egui::Button::new(strong(purpose.button())));
        let pressed = button.on_disabled_hover_text("Type a path first").clicked();
        if (pressed || enter)
            && let Some(path) = path
        {
            answer = Answer::File(path);
        }
        if ui.add_enabled(dialog.is_none(), egui::Button::new("Browse…")).clicked() {
            *dialog = Some(pick(purpose, typed, waker.clone()));
        }
        if ui.button("Cancel").clicked() {
            answer = Answer::Cancel;
        }
    });
    answer
}

/// The typed path with its usual ending where none was typed; none where nothing was typed.
fn completed(purpose: Purpose, typed: &str) -> Option<PathBuf> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let path = match (typed.strip_prefix("~/"), std::env::var_os("HOME")) {
        (Some(rest), Some(home)) => PathBuf::from(home).join(rest),
        _ => PathBuf::from(typed),
    };
    Some(match (purpose, path.extension()) {
        (Purpose::SavePlan, None) => path.with_extension("ron"),
        (Purpose::SaveSheet, None) => path.with_extension("pdf"),
        _ => path,
    })
}

/// Opens the system's dialog on a thread of its own.
fn pick(purpose: Purpose, typed: &str, waker: Waker) -> Receiver<Option<PathBuf>> {
    let (answer, receiver) = channel();
    let start = PathBuf::from(typed);
    let work = move || {
        let mut dialog = rfd::FileDialog::new().set_title(purpose.title());
        if let Some(folder) = start.parent().filter(|f| f.is_dir()) {
            dialog = dialog.set_directory(folder);
        }
        if let Some(name) = start.file_name().filter(|_| purpose.writes()) {
            dialog = dialog.set_file_name(name.to_string_lossy());
        }
        let picked = match purpose {
            Purpose::Open => dialog.add_filter("Plans and meshes", &["ron", "stl", "STL"]).pick_file(),
            Purpose::AddPart | Purpose::OtherPart | Purpose::FindMesh => {
                dialog.add_filter("Meshes", &["stl", "STL"]).pick_file()
            }
            Purpose::SavePlan => dialog.add_filter("Plan", &["ron"]).save_file(),
            Purpose::SaveSheet => dialog.add_filter("PDF", &["pdf"]).save_file(),
            Purpose::PiecesFolder | Purpose::HalvesFolder | Purpose::TemplatesFolder => dialog.pick_folder(),
        };
        // The window may be gone by now; then nobody waits for the answer.
        let _ = answer.send(picked);
        waker.wake();
    };
    if std::thread::Builder::new().name("file dialog".into()).spawn(work).is_err() {
        return channel().1;
    }
    receiver
}

fn ask_unsaved(ui: &mut Ui, app: &App, then: &Then) -> Answer {
    let title = app.document().map(|d| d.title()).unwrap_or_default();
    ui.heading("Save first?");
    ui.add_space(6.0);
    ui.add(egui::Label::new(format!("“{title}” has changes that are not saved.")).wrap());
    ui.add_space(8.0);
    let mut answer = Answer::Wait;
    ui.horizontal(|ui| {
        if ui.button(strong("Save")).clicked() {
            answer = Answer::Save(then.clone());
        }
        if ui.button("Don't save").clicked() {
            answer = Answer::GiveUp(then.clone());
        }
        if ui.button("Cancel").clicked() {
            answer = Answer::Cancel;
        }
    });
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
        answer = Answer::Save(then.clone());
    }
    answer
}
