//! A shut-off: how the halves are kept apart there, and where along its hole it lies.

use super::parting_lines::distance_to;
use crate::app::App;
use crate::app::action::lowered;
use crate::app::fields::{self, short};
use crate::plan::{Separation, ShutOffChoice};
use crate::study::parting::PartingFacts;
use crate::study::parting::hole::Hole;
use crate::study::parting::release::wish::moved_shut_off;
use egui::Ui;
use glam::Vec3;
use std::sync::Arc;

/// A choice belongs to the shut-off that comes this near to the place where it was made, millimetres.
const NEAR_MM: f32 = 2.0;
/// Longest way along a hole that can be set, millimetres.
const FARTHEST_MM: f64 = 1e4;

/// The controls of the shut-off along loop `i` of a parting.
pub fn one(app: &mut App, ui: &mut Ui, parting: &PartingFacts, i: usize, name: &str) {
    let Some(&first) = parting.lines[i].points.first() else { return };
    let all = [Separation::Taped, Separation::Cut, Separation::Torn, Separation::FilledAndDrilled];
    let (index, current) = (choice_at(app, parting, i), separation_at(app, parting, i));
    let label = format!("{name} is");
    if let Some(separation) = fields::choice(ui, &label, current, &all, |s| separation_name(s).into()) {
        let Some(spot) = app.spot_near(first) else { return };
        app.edit(&format!("Change how {} is kept apart", lowered(name)), |p| match index {
            Some(i) => p.parting.shut_offs[i].separation = separation,
            None => {
                p.parting.shut_offs.push(ShutOffChoice { near: spot, separation, ..ShutOffChoice::default() });
            }
        });
    }
    match &parting.holes[i] {
        Some(hole) => along_hole(app, ui, parting, hole, index, current, name),
        None => fields::hint(ui, "The wall beside it is not closed round, so it stays where it is"),
    }
}

fn along_hole(
    app: &mut App,
    ui: &mut Ui,
    parting: &PartingFacts,
    hole: &Hole,
    index: Option<usize>,
    separation: Separation,
    name: &str,
) {
    let planned = index.and_then(|i| app.plan()?.parting.shut_offs.get(i)).map_or(0.0, |c| c.moved_mm);
    // Where it is proposed may be the rim itself, which lies a hair beyond the reach.
    let cap = |mm: f32| if mm.is_finite() { f64::from(mm).clamp(-FARTHEST_MM, FARTHEST_MM) } else { 0.0 };
    let [low, high] = hole.reach_mm.map(cap);
    let mut to_mm = planned;
    let response = fields::length(ui, "Moved along the hole", &mut to_mm, low.min(0.0)..=high.max(0.0));
    let signed = |mm: f64| if mm > 0.0 { format!("+{}", short(mm)) } else { short(mm).replace('-', "−") };
    let about = format!("From {} to {} mm, where the hole ends; + is towards half 1", signed(low), signed(high));
    let response = response.on_hover_text(about);
    let what = format!("Move {} along its hole", lowered(name));
    let put = |app: &mut App, to_mm: f64| {
        let setting = app.known().setting()?;
        let frames = Arc::clone(&setting.frames);
        let spot = |p: Vec3, n: Vec3| frames.spot_from_work(setting.part_at(p), p, n);
        moved_shut_off(&parting.surface, hole, to_mm, separation, spot)
    };
    // Between the rim and the nearest place that is off it there is nothing.
    if to_mm != 0.0 && low < high {
        to_mm = to_mm.clamp(low, high);
    }
    if response.changed() && to_mm != planned {
        match put(app, to_mm) {
            Some(choice) => app.after(&response, &what, |p| set(&mut p.parting.shut_offs, index, choice)),
            None => app.notices.trouble(format!(
                "The hole is not closed round {} mm from where the shut-off was proposed; it stays {} mm from there",
                signed(to_mm),
                signed(planned)
            )),
        }
    } else {
        // Only the end of a drag or of typing.
        app.after(&response, &what, |_| {});
    }
    if planned != 0.0 {
        let button = ui.button("Back to where it was proposed");
        let said = format!("Put {} back to where it was proposed", lowered(name));
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, said.clone()));
        if button.clicked()
            && let Some(choice) = put(app, 0.0)
        {
            app.edit(&said, |p| set(&mut p.parting.shut_offs, index, choice));
        }
    }
}

fn set(all: &mut Vec<ShutOffChoice>, index: Option<usize>, choice: ShutOffChoice) {
    match index.and_then(|i| all.get_mut(i)) {
        Some(there) => *there = choice,
        None => all.push(choice),
    }
}

/// The choice of the plan for the shut-off along loop `i`. While the line of a moved one is still drawn where it was, its
/// choice is found by its hole.
fn choice_at(app: &App, parting: &PartingFacts, i: usize) -> Option<usize> {
    let (plan, setting) = (app.plan()?, app.known().setting()?);
    let line = &parting.lines[i];
    let by_hole = |choice: &ShutOffChoice, near: Vec3| {
        let Some(hole) = &parting.holes[i] else { return false };
        let to_mm = (choice.moved_mm as f32).clamp(hole.reach_mm[0], hole.reach_mm[1]);
        let round = hole.round(&parting.surface, to_mm).unwrap_or_default();
        let n = round.len();
        (0..n).any(|k| {
            let (a, b) = (round[k].0, round[(k + 1) % n].0);
            let t = ((near - a).dot(b - a) / (b - a).length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
            a.lerp(b, t).distance(near) < NEAR_MM
        })
    };
    plan.parting.shut_offs.iter().position(|c| {
        let near = setting.frames.spot_in_work(&c.near);
        distance_to(line, near) < NEAR_MM || by_hole(c, near)
    })
}

/// How the halves are kept apart at loop `i`, as decided or as the program has it.
fn separation_at(app: &App, parting: &PartingFacts, i: usize) -> Separation {
    let decided = choice_at(app, parting, i).and_then(|k| app.plan()?.parting.shut_offs.get(k)).map(|c| c.separation);
    let facts = app.known().facts.as_ref();
    let found = || facts?.release.as_ref()?.shut_offs.iter().find(|s| s.at_loop == i);
    let (blades, limits) = (&app.shop().blades, &app.shop().limits);
    decided.or_else(|| found().map(|s| s.separation(blades, limits))).unwrap_or_default()
}

fn separation_name(separation: Separation) -> &'static str {
    match separation {
        Separation::Taped => "Taped",
        Separation::Cut => "Cut",
        Separation::Torn => "Torn",
        Separation::FilledAndDrilled => "Filled, drilled",
    }
}
