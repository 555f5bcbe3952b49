//! It came out wrong: what is wrong, where, and the likely causes with what can still be done.

use crate::app::canvas::tool::Tool;
use crate::app::theme::{look, strong};
use crate::app::{App, fields};
use crate::study::lessons::came_out_wrong::Fault;
use egui::Ui;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    fields::heading(ui, "It came out wrong");
    if let Some(fault) = fields::choice(ui, "What is wrong", app.fault(), &Fault::ALL, |f| f.name().to_owned()) {
        app.set_fault(fault);
    }
    super::tool_buttons(app, ui, &[Tool::Fault]);
    let Some(place) = app.fault_place() else {
        fields::hint(ui, "Say what is wrong with the cast, then click the place on the part");
        return;
    };
    app.light(Some(place));
    let Some(causes) = app.fault_causes() else {
        fields::hint(ui, "Still looking…");
        return;
    };
    for (i, cause) in causes.iter().enumerate() {
        let words = format!("{}. {}", i + 1, cause.what);
        let response = ui.add(egui::Button::new(strong(words)).frame(false).wrap());
        let from = cause.place.unwrap_or(place);
        if response.hovered() {
            app.light(Some(from));
        }
        if response.clicked() {
            app.fly_to(from, None);
        }
        egui::Frame::new().inner_margin(egui::Margin { left: 18, right: 0, top: 0, bottom: 6 }).show(ui, |ui| {
            ui.add(egui::Label::new(&cause.remedy).wrap());
        });
    }
    let quiet = look(ui).quiet;
    let words = "Likeliest first, by how near the place is to what makes such faults";
    ui.add(egui::Label::new(egui::RichText::new(words).color(quiet).size(11.5)).wrap());
    if ui.button("Forget the place").clicked() {
        app.forget_fault();
    }
}
