//! The row of view controls above the part: colouring, see through, cut, parallel, standard views.

use super::sight::Colouring;
use crate::app::App;
use crate::app::action::Action;
use crate::app::top_line;
use crate::view::camera::StandardView;
use egui::Ui;

/// What leaves the colour to each step.
pub const AS_THE_STEP_SHOWS: &str = "As the step shows";

/// Draws the row.
pub fn show(app: &mut App, ui: &mut Ui) {
    // In a narrow view what finds no room goes to the next row.
    let frame = egui::Frame::side_top_panel(ui.style()).inner_margin(egui::Margin::symmetric(8, 5));
    egui::Panel::top("view bar").frame(frame).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            let now = app.canvas().colouring;
            let label = ui.label("Colour");
            let words = |one: Option<Colouring>| one.map_or(AS_THE_STEP_SHOWS, Colouring::label);
            let combo = egui::ComboBox::from_id_salt("colouring").width(136.0).selected_text(words(now));
            let combo = combo.show_ui(ui, |ui| {
                for one in std::iter::once(None).chain(Colouring::ALL.map(Some)) {
                    if ui.selectable_label(one == now, words(one)).clicked() {
                        app.canvas_mut().colouring = one;
                    }
                }
            });
            combo.response.labelled_by(label.id);
            let (glass, parallel) = (app.canvas().see_through, app.canvas().is_parallel());
            top_line::toggle(app, ui, Action::SeeThrough, glass);
            top_line::toggle(app, ui, Action::Parallel, parallel);
            let is_cut = app.canvas().cut.is_some();
            top_line::toggle(app, ui, Action::Section, is_cut);
            cut(app, ui);
            ui.menu_button("View", |ui| {
                for view in StandardView::ALL {
                    let action = Action::LookFrom(view);
                    let entry = egui::Button::new(action.label(app)).shortcut_text(action.key_words(ui.ctx()));
                    if ui.add(entry).clicked() {
                        ui.close();
                        app.perform(action);
                    }
                }
                ui.separator();
                if ui.button(Action::Fit.label(app)).clicked() {
                    ui.close();
                    app.perform(Action::Fit);
                }
            });
        });
    });
}

/// Where the cut is.
fn cut(app: &mut App, ui: &mut Ui) {
    let Some(mut cut) = app.canvas().cut else { return };
    for (axis, name) in ["X", "Y", "Z"].into_iter().enumerate() {
        let button = egui::Button::new(name).selected(cut.axis == axis);
        if ui.add(button).on_hover_text(format!("Cut square to {name} of the box")).clicked() {
            cut.axis = axis;
        }
    }
    ui.spacing_mut().slider_width = 64.0;
    let slider = egui::Slider::new(&mut cut.at, 0.0..=1.0).show_value(false);
    ui.add(slider).accessible_name("Where the cut is");
    if ui.button("Flip").on_hover_text("Keeps the other side").clicked() {
        cut.flipped = !cut.flipped;
    }
    app.canvas_mut().cut = Some(cut);
}
