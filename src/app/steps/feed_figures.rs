//! What each gate comes to, and which feed is right for the part.

use crate::app::App;
use crate::app::fields::{self, short, volume};
use crate::app::theme::strong;
use crate::study::report::feed::{FeedFigures, GateReport, WayReport, from};
use egui::Ui;

/// The tables; nothing while nothing is known, and nothing that would tell the answer.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(report) = app.known().report.clone() else { return };
    let figures = &report.feed.figures;
    gates(app, ui, figures);
    let_up(ui, figures);
    if !app.hides_answers() {
        ways(app, ui, figures);
    }
}

/// A row of a table: a name, then a value for each column.
fn row(ui: &mut Ui, name: &str, values: impl IntoIterator<Item = String>) {
    ui.label(name);
    for value in values {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(value));
    }
    ui.end_row();
}

fn gates(app: &App, ui: &mut Ui, figures: &FeedFigures) {
    if figures.gates.is_empty() {
        return;
    }
    fields::heading(ui, "What the gates come to");
    let all = &figures.gates;
    let each = |f: &dyn Fn(&GateReport) -> String| all.iter().map(f).collect::<Vec<_>>();
    let hidden = app.hides_answers();
    egui::ScrollArea::horizontal().id_salt("gate figures").show(ui, |ui| {
        egui::Grid::new("gate figures").num_columns(all.len() + 1).spacing([12.0, 4.0]).show(ui, |ui| {
            row(ui, "", each(&|g| format!("Gate {}", g.number)));
            row(ui, "Fed from", each(&|g| from(g.way).to_owned()));
            row(ui, "Stands on", each(&|g| if g.on_rim { "a rim".into() } else { "a face".into() }));
            row(ui, "Wall at it", each(&|g| g.wall_mm.map_or("–".into(), |mm| format!("{} mm", short(mm)))));
            row(ui, "Gate over wall", each(&|g| g.of_wall.map_or("–".into(), |s| of_limit(s, g.of_wall_limit))));
            row(ui, "Scar", each(&|g| format!("{} mm²", short(g.scar_mm2))));
            row(ui, "Room for a blade", each(&|g| format!("{:.0}°", g.blade_deg)));
            row(ui, "Head to the lowest outlet", each(&|g| format!("{} mm", short(g.head_mm))));
            if !hidden {
                row(ui, "Resin falls", each(&|g| g.falls_mm.map_or("–".into(), falls)));
            }
            row(ui, "Its channel holds", each(&|g| volume(g.channel_mm3)));
        });
    });
}

/// A share beside its limit.
fn of_limit(share: f64, limit: f64) -> String {
    format!("{:.0} %, at most {:.0} %", 100.0 * share, 100.0 * limit)
}

/// A height that resin falls from, in tenths: less is no fall that anybody sees.
fn falls(mm: f64) -> String {
    format!("{} mm", short((10.0 * mm).round() / 10.0))
}

fn let_up(ui: &mut Ui, figures: &FeedFigures) {
    let let_up = &figures.let_up;
    if figures.gates.is_empty() || let_up.in_cup_mm <= 0.0 {
        return;
    }
    fields::fact(ui, "Letting up draws", volume(let_up.draws_mm3));
    fields::fact(ui, "So in the cup must stand", format!("{} mm", short(let_up.in_cup_mm)));
}

fn ways(app: &mut App, ui: &mut Ui, figures: &FeedFigures) {
    if figures.ways.is_empty() {
        return;
    }
    fields::heading(ui, "Which feed is right");
    fields::hint(ui, "Each way with a gate proposed afresh, not with the plan's own");
    ui.add(egui::Label::new(&figures.why).wrap());
    let all = &figures.ways;
    let each = |f: &dyn Fn(&WayReport) -> String| all.iter().map(f).collect::<Vec<_>>();
    egui::ScrollArea::horizontal().id_salt("feed ways").show(ui, |ui| {
        egui::Grid::new("feed ways").num_columns(all.len() + 1).spacing([12.0, 4.0]).show(ui, |ui| {
            ui.label("Fed from");
            for way in all {
                let name = from(way.way);
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.label(if way.right { strong(name) } else { name.into() })
                });
            }
            ui.end_row();
            row(ui, "Resin falls", each(&|w| falls(w.falls_mm)));
            row(ui, "Fills over a sill", each(&|w| volume(w.basins_mm3)));
            row(ui, "Head left", each(&|w| format!("{} mm", short(w.head_mm))));
            row(ui, "Channel drinks", each(&|w| volume(w.channel_mm3)));
            row(ui, "Wall there", each(&|w| format!("{} mm", short(w.wall_mm))));
            row(ui, "Scar", each(&|w| format!("{} mm²", short(w.scar_mm2))));
            row(ui, "Marks shown", each(&|w| w.on_shown.clone().unwrap_or_else(|| "no".into())));
        });
    });
    let air = app.known().report.as_ref().map_or(0.0, |r| r.air.trapped_lean_mm3);
    fields::fact(ui, "Air that stays, whichever feed", volume(air));
}
