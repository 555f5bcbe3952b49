//! The panel at the right: the open step's controls, its findings, and what is open elsewhere.

mod block;
mod bodies;
mod casting;
mod closer;
mod days;
mod fault;
mod feed;
mod feed_figures;
pub mod findings;
mod hang;
pub mod hang_map;
mod hang_ways;
mod help;
mod inserts;
mod knife;
mod locked;
mod master;
mod part;
mod parting;
pub mod parting_lines;
pub mod placed;
mod practice;
mod set;
mod sheet;
mod shut_offs;
mod size;
mod two_shot;
mod undercuts;
mod vents;

use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields;
use crate::app::theme::look;
use crate::plan::Stage;
use crate::study::findings::Step;
use egui::Ui;

/// Draws the panel of the open step.
pub fn show(app: &mut App, ui: &mut Ui) {
    egui::Panel::right("step").default_size(312.0).size_range(264.0..=460.0).show(ui, |ui| {
        egui::Panel::bottom("elsewhere").show_separator_line(true).show(ui, |ui| findings::elsewhere(app, ui));
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            ui.add_space(4.0);
            practice::show(app, ui);
            ui.heading(app.step().name());
            fixed(app, ui);
            match app.step() {
                Step::Part => part::show(app, ui),
                Step::Hang => hang::show(app, ui),
                Step::Parting => parting::show(app, ui),
                Step::Feed => feed::show(app, ui),
                Step::Vents => vents::show(app, ui),
                Step::Inserts => inserts::show(app, ui),
                Step::Block => block::show(app, ui),
                Step::Casting => casting::show(app, ui),
                Step::Sheet => sheet::show(app, ui),
            }
            findings::of_step(app, ui);
            if app.step() == Step::Hang {
                hang::below(app, ui);
            }
            ui.add_space(12.0);
        });
    });
}

/// Says where the stage of the job fixes what this step decides.
fn fixed(app: &App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let needs = match app.step() {
        Step::Hang | Step::Block | Step::Inserts | Step::Part => Stage::Poured,
        Step::Parting | Step::Feed | Step::Vents => Stage::Cut,
        Step::Casting | Step::Sheet => return,
    };
    if plan.stage >= needs {
        let done = if needs == Stage::Poured { "the rubber is poured" } else { "the block is cut" };
        let warn = look(ui).warn;
        let words = format!("Fixed: {done}. What you change here no longer matches the block");
        ui.add(egui::Label::new(egui::RichText::new(words).color(warn)).wrap());
    }
}

/// A row of tools, one of which is in hand.
fn tools(app: &mut App, ui: &mut Ui, tools: &[Tool]) {
    tool_buttons(app, ui, tools);
    fields::hint(ui, app.tool().tooltip());
}

/// The buttons alone, where a step has more than one row of them.
fn tool_buttons(app: &mut App, ui: &mut Ui, tools: &[Tool]) {
    ui.horizontal_wrapped(|ui| {
        for &tool in tools {
            let in_hand = app.tool() == tool;
            if ui.add(egui::Button::new(tool.label()).selected(in_hand)).on_hover_text(tool.tooltip()).clicked() {
                app.take(if in_hand { Tool::Look } else { tool });
            }
        }
    });
}
