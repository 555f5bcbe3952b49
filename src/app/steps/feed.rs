//! Where resin comes in: gates, runners and the cup.

use super::{feed_figures, placed, tools};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short, volume};
use crate::app::propose::Wanted;
use crate::app::thing::Thing;
use crate::plan::{Gate, GateKind, Made};
use egui::Ui;

/// How a channel comes to be, in words.
pub fn made_name(made: Made) -> &'static str {
    match made {
        Made::RodPulled => "Rod",
        Made::PunchedFromCavity => "Punched",
        Made::GrooveInParting => "Groove in the cut",
    }
}

/// How a straight rod comes out.
const ROD_PULLED: &str = "Its rod is straight: pulled after the cure";
/// How any other does.
const ROD_LIFTED: &str = "Its rod cannot be pulled: it is lifted out of the opened block";

/// All ways in which a channel comes to be.
pub const MADE: [Made; 3] = [Made::RodPulled, Made::PunchedFromCavity, Made::GrooveInParting];

/// Why neither can be clicked.
const FILLING: &str = "The fill is being followed; the strip below stops it";
/// What the fill leaves out, on the safe side.
const NO_JOINT: &str =
    "Air that leaves through the joint of the halves is not counted: how far it is open, nobody knows";

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    tools(app, ui, &[Tool::Gate]);
    if !app.hides_answers()
        && ui.button("Propose the feed").on_hover_text("The lowest thick place that is not shown").clicked()
    {
        app.propose(Wanted::Feed);
    }
    if app.plan().is_some_and(|p| p.feed.gates.iter().filter(|g| !g.runner.is_empty()).count() > 1)
        && ui
            .add_enabled(!app.is_proposing(), egui::Button::new("Lay the runners anew"))
            .on_hover_text(
                "Through the cut, into one another and up to one standing rod; the gates stay where they are",
            )
            .clicked()
    {
        app.propose(Wanted::Runners);
    }
    let Some(plan) = app.plan().cloned() else { return };
    let gates = plan.feed.gates.clone();
    if gates.is_empty() {
        fields::hint(ui, "No gate yet. Take “Place gates” and click the part where resin shall come in");
    }
    let things: Vec<Thing> = gates.iter().map(|g| Thing::Gate(g.number)).collect();
    placed::list(app, ui, &things, |t| {
        let gate = gates.iter().find(|g| Thing::Gate(g.number) == t);
        gate.map(|g| placed::on_part(&plan, g.at, format!("Ø{} mm", short(g.diameter_mm)))).unwrap_or_default()
    });
    if let Some(Thing::Gate(number)) = app.chosen() {
        one(app, ui, number);
    }
    cup(app, ui);
    feed_figures::show(app, ui);
    facts(app, ui);
    if !app.hides_answers() {
        fill(app, ui);
    }
}

fn one(app: &mut App, ui: &mut Ui, number: u32) {
    let Some(gate) = app.plan().and_then(|p| p.feed.gates.iter().find(|g| g.number == number)).cloned() else {
        return;
    };
    let change = |p: &mut crate::plan::Plan, f: &dyn Fn(&mut crate::plan::Gate)| {
        if let Some(gate) = p.feed.gates.iter_mut().find(|g| g.number == number) {
            f(gate);
        }
    };
    fields::heading(ui, &format!("Gate {number}"));
    let mut name = gate.name.clone();
    let response = fields::text(ui, "Name", &mut name, &format!("Gate {number}"));
    app.after(&response, &format!("Rename gate {number}"), |p| change(p, &|g| g.name = name.clone()));
    let kinds = [GateKind::Top, GateKind::Bottom, GateKind::Side];
    let kind_name = |k: GateKind| match k {
        GateKind::Top => "From above".to_owned(),
        GateKind::Bottom => "From below".to_owned(),
        GateKind::Side => "From the side".to_owned(),
    };
    if let Some(kind) = fields::choice(ui, "Resin comes", gate.kind, &kinds, kind_name) {
        app.set_gate_kind(number, kind);
    }
    let mut diameter = gate.diameter_mm;
    let response = fields::length(ui, "Diameter at the part", &mut diameter, 0.5..=40.0);
    app.after(&response, &format!("Change gate {number}"), |p| change(p, &|g| g.diameter_mm = diameter));
    let mut land = gate.land_mm;
    let response = fields::length(ui, "Length at that diameter", &mut land, 0.5..=200.0);
    app.after(&response, &format!("Change gate {number}"), |p| change(p, &|g| g.land_mm = land));
    let mut runner = gate.runner_diameter_mm;
    let response = fields::length(ui, "Diameter of the runner", &mut runner, 0.5..=60.0);
    app.after(&response, &format!("Change gate {number}"), |p| change(p, &|g| g.runner_diameter_mm = runner));
    if let Some(made) = fields::choice(ui, "Made by", gate.made, &MADE, |m| made_name(m).into()) {
        app.edit(&format!("Change how gate {number} is made"), |p| change(p, &|g| g.made = made));
    }
    let runners = app.known().report.as_ref().map(|r| &r.feed.runners);
    if let Some(runner) = runners.and_then(|all| all.iter().find(|r| r.number == number && r.rod_mm.is_some())) {
        fields::hint(ui, if runner.pulled { ROD_PULLED } else { ROD_LIFTED });
    }
    joins(app, ui, &gate);
    let mut lets_air = gate.lets_air_out;
    if ui
        .checkbox(&mut lets_air, "Air may leave through it")
        .on_hover_text("A gate full of resin is no way out")
        .changed()
    {
        app.edit(&format!("Change gate {number}"), |p| change(p, &|g| g.lets_air_out = lets_air));
    }
    placed::exact_place(app, ui, Thing::Gate(number));
}

/// Where the runner of a gate goes: up to the cup, or into another's.
fn joins(app: &mut App, ui: &mut Ui, gate: &Gate) {
    let number = gate.number;
    let Some(plan) = app.plan() else { return };
    // What leads through this gate cannot be led into.
    let comes_here = |other: &Gate| {
        let mut at = other.joins;
        (0..plan.feed.gates.len()).any(|_| {
            let here = at == Some(number);
            at = at.and_then(|n| plan.feed.gates.iter().find(|g| g.number == n)).and_then(|g| g.joins);
            here
        })
    };
    let others = plan.feed.gates.iter().filter(|g| g.number != number && !comes_here(g)).map(|g| Some(g.number));
    let all: Vec<Option<u32>> = std::iter::once(None).chain(others).collect();
    if all.len() < 2 {
        return;
    }
    let name_of = |n: Option<u32>| n.map_or("Up to the cup".to_owned(), |n| format!("Into the runner of gate {n}"));
    if let Some(chosen) = fields::choice(ui, "Its runner goes", gate.joins, &all, name_of) {
        let name = format!("Lead gate {number} another way");
        app.edit(&name, |p| {
            if let Some(gate) = p.feed.gates.iter_mut().find(|g| g.number == number) {
                gate.joins = chosen;
            }
        });
        app.want_runner(number, Some(true), &name);
    }
}

fn cup(app: &mut App, ui: &mut Ui) {
    let Some(cup) = app.plan().map(|p| p.feed.cup) else { return };
    fields::heading(ui, "Cup");
    let (mut diameter, mut height) = (cup.diameter_mm, cup.height_mm);
    let response = fields::length(ui, "Inside diameter", &mut diameter, 5.0..=300.0);
    app.after(&response, "Change the cup", |p| p.feed.cup.diameter_mm = diameter);
    let response = fields::length(ui, "Height above the block", &mut height, 5.0..=300.0);
    app.after(&response, "Change the cup", |p| p.feed.cup.height_mm = height);
}

fn facts(app: &mut App, ui: &mut Ui) {
    let Some(facts) = app.known().facts.clone() else { return };
    let Some(longest) = facts.flow.as_ref().and_then(|f| f.longest.as_ref()) else { return };
    fields::heading(ui, "What follows");
    fields::fact(ui, "Longest flow path", format!("{} mm", short(longest.length_mm)));
    if let Some(reach) = app.known().report.as_ref().and_then(|r| r.flow.reach_mm) {
        fields::fact(ui, "Resin reaches", format!("{} mm", short(reach)));
    }
    if let Some(report) = &app.known().report {
        fields::fact(ui, "Resin in the feed", volume(report.feed.volume_mm3));
    }
    if ui.button("Show where the path ends").clicked() {
        app.fly_to(longest.last(), None);
    }
}

/// How the cavity fills: asked for, watched, and what came of it.
fn fill(app: &mut App, ui: &mut Ui) {
    if app.plan().is_none_or(|p| p.feed.gates.is_empty()) {
        return;
    }
    fields::heading(ui, "Fill");
    let hover = "Follows the resin through the cavity: seconds to minutes. The strip below stops it";
    let button = ui.add_enabled(!app.is_filling(), egui::Button::new("Follow the fill")).on_hover_text(hover);
    if button.on_disabled_hover_text(FILLING).clicked() {
        app.follow_the_fill();
    }
    let filling = app.is_filling();
    if let Some((times, share)) = app.fill_times() {
        let label = ui.label("Time shown");
        let longest = times.longest_s as f64;
        let slider = egui::Slider::new(share, 0.0..=1.0).custom_formatter(move |v, _| format!("{:.1} s", v * longest));
        ui.add(slider).labelled_by(label.id);
        if !times.whole && !filling {
            let words =
                format!("Stopped {:.1} s after the pour began: what comes later was not followed", times.longest_s);
            fields::hint(ui, &words);
        }
    }
    let Some(report) = app.known().report.as_ref().and_then(|r| r.fill.clone()) else { return };
    let time = |s: Option<f64>| s.map_or("never ends".to_owned(), fields::time);
    fields::fact(ui, "The pour takes", time(report.time_s));
    fields::fact(ui, "In the warm mould", time(report.time_in_warm_mould_s));
    let error = |share: f64, across: f64| format!("± {:.0} % at {across:.1} cells across a wall", 100.0 * share);
    let name = format!("Error at {:.1} cells across a wall", report.cells_across);
    fields::fact(ui, &name, format!("± {:.0} %", 100.0 * report.expected_error));
    fields::fact(ui, "Gas closed round", volume(report.closed_round_mm3));
    fields::fact(ui, "Left after let-up", volume(report.after_let_up_mm3));
    fields::hint(ui, NO_JOINT);
    let last = app.known().facts.as_ref().and_then(|f| f.fill.as_ref()).and_then(|f| f.last.first().copied());
    if let Some(last) = last
        && ui.button("Show the last place to fill").clicked()
    {
        app.fly_to(last.position, None);
    }
    if let Some(finer) = &report.finer {
        let across = report.cells_across * report.cell_mm / finer.cell_mm;
        let takes = app.fill_would_take_s(finer.times_as_long).map_or_else(
            || format!("{:.0} times as long", finer.times_as_long),
            |s| format!("about {}", crate::sheet::figures::time(s)),
        );
        fields::hint(
            ui,
            &format!(
                "Finer cells: {:.2} mm instead of {:.2}, {:.0} thousand of them, {:.0} MB, {takes}; {} then",
                finer.cell_mm,
                report.cell_mm,
                finer.cells / 1e3,
                finer.memory_mb,
                error(finer.expected_error, across),
            ),
        );
        let button = ui.add_enabled(!app.is_filling(), egui::Button::new("Follow it on finer cells"));
        if button.on_disabled_hover_text(FILLING).clicked() {
            app.follow_the_fill_finer();
        }
    }
}
