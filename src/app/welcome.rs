//! The welcome page: what the program is, the demo in one click, files to open, unsaved work to take up again.

use crate::app::action::Action;
use crate::app::asking::Then;
use crate::app::theme::{look, strong};
use crate::app::{App, demo, kept_desk, kept_work};
use crate::study::lessons::practice::exercises::EXERCISES;
use egui::{RichText, Ui};

/// Draws the page.
pub fn show(app: &mut App, ui: &mut Ui) {
    let look = look(ui);
    egui::CentralPanel::default().show(ui, |ui| {
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            let width = (ui.available_width() - 32.0).min(640.0);
            let margin = (ui.available_width() - width) * 0.5;
            let room = ui.available_rect_before_wrap();
            let column = egui::Rect::from_min_size(room.min + egui::vec2(margin, 28.0), egui::vec2(width, 10.0));
            ui.scope_builder(egui::UiBuilder::new().max_rect(column), |ui| {
                ui.set_max_width(width);
                ui.label(strong("Mouldbench").size(30.0));
                ui.add(egui::Label::new(RichText::new(
                    "Plan a silicone mould before it is poured: which way up the master hangs, where the block opens, \
                     where resin comes in and air goes out, what is moulded in, how much of everything, and the setup \
                     sheet for the bench.",
                ).size(14.5)).wrap());
                ui.add_space(16.0);
                recovered(app, ui);
                ui.label(strong("Start"));
                let big =
                    |text: &str| egui::Button::new(RichText::new(text).size(14.5)).min_size(egui::vec2(300.0, 34.0));
                if ui.add(big("Open the demo job")).on_hover_text(Action::OpenDemo(0).tooltip()).clicked() {
                    app.perform(Action::OpenDemo(0));
                }
                if ui.add(big("Open a plan or a mesh…")).on_hover_text(Action::Open.tooltip()).clicked() {
                    app.perform(Action::Open);
                }
                let words = "Or drop a plan (.ron) or a mesh (.stl) on the window.";
                ui.label(RichText::new(words).color(look.quiet));
                ui.add_space(14.0);
                ui.label(strong("The demo"));
                ui.add(egui::Label::new(RichText::new(
                    "An invented job: a growers' co-operative has housings of a hand-held greenhouse soil probe cast. \
                     Nothing in it is a real product.",
                ).color(look.quiet)).wrap());
                for (i, job) in demo::JOBS.iter().enumerate() {
                    ui.horizontal(|ui| {
                        if ui.button(job.title).clicked() {
                            app.perform(Action::OpenDemo(i));
                        }
                        ui.label(RichText::new(job.about).color(look.quiet));
                    });
                }
                ui.add_space(14.0);
                ui.label(strong("Practise"));
                let words =
                    "Hang an invented part, place gate and vents, pour, and see what was caught and what was missed.";
                ui.add(egui::Label::new(RichText::new(words).color(look.quiet)).wrap());
                for (i, exercise) in EXERCISES.iter().enumerate() {
                    ui.horizontal(|ui| {
                        if ui.button(exercise.title).on_hover_text(Action::Practise(i).tooltip()).clicked() {
                            app.perform(Action::Practise(i));
                        }
                        let words = format!("grade {}: {}", exercise.grade, exercise.about);
                        ui.label(RichText::new(words).color(look.quiet));
                    });
                }
                recent(app, ui);
                ui.add_space(18.0);
                ui.add(egui::Label::new(RichText::new(
                    "What is computed here helps to plan; it replaces no safety data sheet, no local rule and no \
                     trained person. Resins, vacuum, ovens and blades can hurt.",
                ).color(look.quiet).size(11.5)).wrap());
            });
        });
    });
}

fn recovered(app: &mut App, ui: &mut Ui) {
    if app.kept_work().is_empty() {
        return;
    }
    ui.label(strong("Unsaved work from last time"));
    kept_desk::show(app, ui, |_| true);
    if app.kept_work().len() > kept_work::MOST / 2 {
        let words = format!("The newest {} are kept, each until it is saved or thrown away.", kept_work::MOST);
        ui.label(RichText::new(words).color(look(ui).quiet));
    }
    ui.add_space(12.0);
}

fn recent(app: &mut App, ui: &mut Ui) {
    let recent = app.recent().to_vec();
    if recent.is_empty() {
        return;
    }
    ui.add_space(14.0);
    ui.label(strong("Last used"));
    for path in recent {
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let response = ui.link(name).on_hover_text(path.to_string_lossy());
        if response.clicked() {
            app.go_on(Then::OpenFile(path));
        }
    }
}
