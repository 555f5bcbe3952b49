//! Ways up to choose from: asked for, shown on the map, listed with what each trades, and weighed.

use super::hang_map;
use crate::app::App;
use crate::app::fields::{self, short};
use crate::app::hang_desk::Ways;
use crate::app::theme::look;
use crate::plan::HangWeights;
use crate::study::ways_up::candidates::candidates;
use crate::study::ways_up::{Criterion, words};
use egui::Ui;
use std::sync::Arc;

/// The controls; none in practice, where they would tell the answer.
pub fn show(app: &mut App, ui: &mut Ui) {
    if app.practice().is_some() {
        return;
    }
    fields::heading(ui, "Ways up");
    let busy = app.is_measuring_ways_up();
    let button = ui.add_enabled(!busy, egui::Button::new("Measure ways up"));
    let hover = "Measures hundreds of directions: high points, air, ceilings, size and undercuts. Takes seconds; the strip \
                 below stops it";
    if button.on_hover_text(hover).on_disabled_hover_text("They are being measured").clicked() {
        app.measure_ways_up();
    }
    let Some(ways) = app.ways_up().filter(|w| !w.search.scored.is_empty()) else { return };
    let holds = app.ways_up_hold(&ways);
    if !holds {
        fields::hint(ui, "These are of the job before its last change. Measure again to choose one");
    }
    let Some(weights) = app.plan().map(|p| p.hang.weights) else { return };
    let all: Vec<Option<Criterion>> = std::iter::once(None).chain(Criterion::ALL.map(Some)).collect();
    let shown = app.hang_desk().shown;
    if let Some(chosen) = fields::choice(ui, "Map by", shown, &all, |s| hang_map::label(s).to_owned()) {
        app.hang_desk().shown = chosen;
    }
    let chosen = candidates(&ways.search, &weights);
    hang_map::show(app, ui, &ways, &chosen, holds);
    if let Some(why) = &ways.search.no_air {
        fields::hint(ui, &format!("High points and air could not be counted: {why}"));
    }
    list(app, ui, &ways, &chosen, &weights, holds);
    weigh(app, ui, &weights);
}

/// How it hangs now, then the candidates, the best first.
fn list(app: &mut App, ui: &mut Ui, ways: &Arc<Ways>, chosen: &[usize], weights: &HangWeights, holds: bool) {
    let search = &ways.search;
    let hung = &search.hung;
    let total = |c: &crate::study::ways_up::Criteria| short(search.total(c, weights));
    let quiet = look(ui).quiet;
    ui.label(egui::RichText::new("As hung (ring), and what it counts in all").color(quiet));
    ui.horizontal(|ui| {
        ui.label(words::direction(hung.up));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(total(&hung.criteria)));
    });
    for (n, i) in chosen.iter().enumerate() {
        let way = search.scored[*i];
        let name = format!("{}: {}", n + 1, words::direction(way.up));
        let is_hung = way.up.dot(hung.up) > 1.0 - 1e-6;
        let row = ui.horizontal(|ui| {
            let response = ui.add_enabled(holds, egui::Button::new(&name).selected(is_hung));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(total(&way.criteria)));
            response
        });
        let response = row.inner.on_hover_ui(|ui| hang_map::numbers(ui, search, &way, weights));
        if response.on_disabled_hover_text("Measure again first").clicked() {
            app.hang_as(&way);
        }
        let said = match is_hung {
            true => "As it hangs now".to_owned(),
            false => words::trade_off(&way.criteria, &hung.criteria),
        };
        ui.add(egui::Label::new(egui::RichText::new(said).color(quiet)).wrap());
    }
}

/// What each criterion counts.
fn weigh(app: &mut App, ui: &mut Ui, weights: &HangWeights) {
    egui::CollapsingHeader::new("What counts how much").show(ui, |ui| {
        let hint = "How many more high points you would put up with to be rid of it. Point at a number to see of what";
        fields::hint(ui, hint);
        for criterion in Criterion::ALL {
            let mut value = criterion.weight(weights);
            let response = fields::number(ui, criterion.weighed(), &mut value, "points", 0.0..=1000.0, 0.05);
            let response = response.on_hover_text(criterion.weighed_in_full());
            app.after(&response, "Weigh the ways up", |p| *criterion.weight_of(&mut p.hang.weights) = value);
        }
        let usual = *weights == HangWeights::default();
        let button = ui.add_enabled(!usual, egui::Button::new("Usual weights"));
        if button.on_disabled_hover_text("They are the usual ones").clicked() {
            app.edit("Weigh the ways up as usual", |p| p.hang.weights = HangWeights::default());
        }
    });
}
