//! A part whose mesh is not where the plan says: told in the middle of the window, with a way to the file.

use super::App;
use super::asking::{Asking, Purpose};
use super::document::mesh_names;
use crate::app::theme::{look, strong};
use egui::{RichText, Ui};
use std::path::Path;

/// Meshes that were looked for in vain, by their names in the plan.
#[derive(Clone, Debug, Default)]
pub struct Missing {
    /// Those that no file is at.
    names: Vec<String>,
    /// The one that a file is being asked for.
    asked_for: Option<String>,
}

impl App {
    /// True where the part could not be read, so that there is nothing to be seen.
    pub fn part_is_missing(&self) -> bool {
        self.document().is_some() && !self.known().has_part() && self.known().trouble.is_some()
    }

    /// Notes which meshes are not there, once it is known that the part could not be read. Where all files are there, the
    /// fault lies in one of them, and another may be taken for any.
    pub(super) fn note_missing(&mut self) {
        let Some(plan) = self.plan() else { return };
        let mut plan = plan.clone();
        let mut all: Vec<String> = mesh_names(&mut plan).map(|n| n.clone()).collect();
        all.dedup();
        let gone: Vec<String> = all.iter().filter(|n| !Path::new(n).is_file()).cloned().collect();
        self.missing.names = if gone.is_empty() { all } else { gone };
    }

    /// Takes another file for the mesh that was asked for. Whether it is the one that the plan was made with is seen from
    /// its content, as ever.
    pub(super) fn mesh_was_found(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        if let (Some(name), Some(document)) = (self.missing.asked_for.take(), &mut self.document) {
            document.mesh_lies_at(&name, &path);
        }
    }
}

/// Draws what is said in place of the part.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(words) = app.known().trouble.clone() else { return };
    let look = look(ui);
    ui.painter().rect_filled(ui.max_rect(), 0.0, look.card);
    let width = (ui.available_width() - 48.0).clamp(120.0, 560.0);
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.25);
        ui.set_max_width(width);
        ui.label(strong("The part is not there to be shown").size(18.0));
        ui.add_space(6.0);
        ui.add(egui::Label::new(RichText::new(words).color(look.stop)).wrap());
        ui.add_space(6.0);
        let hint = "The plan itself is whole and can be saved. Nothing can be worked out until its mesh is found";
        ui.add(egui::Label::new(RichText::new(hint).color(look.quiet)).wrap());
        ui.add_space(10.0);
        for name in app.missing.names.clone() {
            let path = Path::new(&name);
            let file = path.file_name().map_or(name.as_str().into(), |f| f.to_string_lossy());
            if ui.button(format!("Find {file}…")).on_hover_text(&name).clicked() {
                let start = path.ancestors().find(|p| p.is_dir()).map(|folder| folder.join(&*file));
                app.missing.asked_for = Some(name.clone());
                app.ask(Asking::file(Purpose::FindMesh, start, None));
            }
        }
    });
}
