//! Loose bodies in one file: asked before anything else whether they are one part or parts of a set.

use crate::app::propose::Wanted;
use crate::app::{App, fields};
use crate::plan::Bodies;
use crate::study::job::loose_bodies::first_not_said;
use crate::study::job::mesh_store::LoadedMesh;
use egui::{Button, Ui};
use std::path::Path;

impl App {
    /// The first part of whose file nobody has said what its loose bodies are, with their number; none before it was read.
    pub fn bodies_not_said(&self) -> Option<(usize, usize)> {
        let plan = self.plan()?;
        let placed = &self.known().setting()?.placed;
        // What is known may be of a plan with other parts.
        (placed.loaded.len() == plan.parts.len()).then(|| first_not_said(plan, &placed.loaded)).flatten()
    }
}

/// The question, as long as it stands.
pub fn question(app: &mut App, ui: &mut Ui) {
    if app.hides_answers() {
        return;
    }
    let Some((i, n)) = app.bodies_not_said() else { return };
    let file = app.plan().and_then(|p| p.parts.get(i)).map(|p| p.mesh.clone()).unwrap_or_default();
    let file = Path::new(&file).file_name().map_or(file.clone(), |f| f.to_string_lossy().into_owned());
    let two_shots = app.plan().is_some_and(|p| p.second_shot.is_some());
    fields::heading(ui, "One part, or parts of a set?");
    ui.add(egui::Label::new(format!("{file} holds {n} bodies that do not touch each other.")).wrap());
    ui.horizontal_wrapped(|ui| {
        let one = format!("One part of {n} bodies");
        let about = "They belong together, as the two halves of a hinge do; each wants a gate of its own";
        if ui.button(&one).on_hover_text(about).clicked() {
            app.edit(&format!("Take the bodies as {}", one.to_lowercase()), |p| p.take_bodies_as_one(i));
        }
        let each = Button::new(format!("{n} parts of a set"));
        let about = "Each is cast as a part of its own, all in one block; they are laid out in rows";
        let each = ui.add_enabled(!two_shots && !app.is_proposing(), each).on_hover_text(about);
        let why_not = if two_shots { "A two-shot job has one part a block" } else { "Wait for the proposal under way" };
        if each.on_disabled_hover_text(why_not).clicked() {
            app.propose(Wanted::EachBody(i));
        }
    });
    fields::hint(ui, "Nothing is proposed before that is said. It can be undone");
    ui.separator();
}

/// What was said of the bodies in the file of part `i`, where there are several.
pub fn fact(app: &mut App, ui: &mut Ui, i: usize, loaded: &LoadedMesh) {
    let n = loaded.in_file;
    if n < 2 {
        return;
    }
    match app.plan().and_then(|p| p.parts.get(i)).map(|p| p.bodies) {
        Some(Bodies::OnePart) => {
            fields::fact(ui, "Loose bodies", format!("{n}, one part"));
            if ui.button("Ask again about the bodies").clicked() {
                app.edit("Ask again about the bodies", |p| p.change_kind(i, |q| q.bodies = Bodies::NotSaid));
            }
        }
        Some(Bodies::One(_)) => fields::fact(ui, "Body", format!("one of {n} in the file")),
        _ => {}
    }
}
