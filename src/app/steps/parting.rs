//! Where the block opens: draw, line by hand, what hides from its half.

use super::{help, knife, locked, parting_lines, placed, tools, undercuts};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short};
use crate::app::propose::Wanted;
use crate::app::thing::Thing;
use crate::plan::Half;
use egui::Ui;
use glam::DVec3;

/// What leaving the plane is called.
pub const SEEK: &str = "Seek the line again";

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    locked::show(app, ui);
    draw(app, ui);
    plane(app, ui);
    let chosen = matches!(app.chosen(), Some(Thing::Pin(_) | Thing::Mark(_)));
    fields::fold(ui, "The line by hand", "", true, chosen, |ui| by_hand(app, ui));
    parting_lines::show(app, ui);
    knife::show(app, ui);
    facts(app, ui);
    undercuts::show(app, ui);
    help::show(app, ui);
}

fn by_hand(app: &mut App, ui: &mut Ui) {
    fields::hint(ui, "Drag the line where it shall pass; with Shift it leaves creases. Each drag leaves a pin");
    tools(app, ui, &[Tool::Pin, Tool::Mark(Half::One), Tool::Mark(Half::Two)]);
    if app.tool().strokes() {
        let mut radius = app.stroke_radius_mm();
        if fields::length(ui, "Width of the stroke", &mut radius, 0.5..=50.0).changed() {
            app.set_stroke_radius_mm(radius);
        }
    }
    let Some(plan) = app.plan() else { return };
    let halves: Vec<Half> = plan.parting.marks.iter().map(|m| m.half).collect();
    let pins = (0..plan.parting.pins.len()).map(Thing::Pin);
    let things: Vec<Thing> = pins.chain((0..halves.len()).map(Thing::Mark)).collect();
    placed::list(app, ui, &things, |t| match t {
        Thing::Mark(i) if halves[i] == Half::One => "Half 1".into(),
        Thing::Mark(_) => "Half 2".into(),
        _ => String::new(),
    });
    match app.chosen() {
        Some(thing @ Thing::Pin(_)) => placed::exact_place(app, ui, thing),
        Some(thing @ Thing::Mark(_)) => placed::show_and_delete(app, ui, thing),
        _ => {}
    }
}

fn draw(app: &mut App, ui: &mut Ui) {
    let Some(draw) = app.plan().map(|p| p.parting.draw.normalize_or(DVec3::Y)) else { return };
    fields::heading(ui, "Draw of half 1");
    ui.horizontal_wrapped(|ui| {
        if let Some((name, along)) = fields::directions(ui, draw) {
            app.edit(&format!("Draw along {name}"), |p| p.parting.draw = along);
        }
    });
    let along = draw.to_array().map(short).join(", ");
    fields::fold(ui, "In numbers", &along, false, false, |ui| {
        let mut typed = draw;
        for (name, axis) in [("Along X", 0), ("Along Y", 1), ("Along Z", 2)] {
            let response = fields::number(ui, name, &mut typed[axis], "", -1.0..=1.0, 0.01);
            app.after(&response, "Turn the draw", |p| {
                if let Some(unit) = typed.try_normalize() {
                    p.parting.draw = unit;
                }
            });
        }
    });
    ui.horizontal(|ui| {
        if ui.button("Propose the draw").on_hover_text("The direction that hides the least from both halves").clicked()
        {
            app.propose(Wanted::Draw);
        }
        if ui.button("Swap halves").on_hover_text("Half 1 becomes half 2; the line stays where it is").clicked() {
            app.edit("Swap the halves", crate::plan::Plan::swap_halves);
        }
    });
}

/// The simplest choice: the section with a plane square to the draw.
fn plane(app: &mut App, ui: &mut Ui) {
    let Some(parting) = app.plan().map(|p| (p.parting.draw.normalize_or(DVec3::Y), p.parting.plane_mm)) else { return };
    let (draw, height) = parting;
    let mut on = height.is_some();
    let about = "The line is the section with a plane square to the draw; pins are not used then";
    if ui.checkbox(&mut on, "Part by a plane").on_hover_text(about).changed() {
        let name = if on { "Part by a plane" } else { SEEK };
        // Through the middle of the parts to begin with.
        let poured_round = app.plan().map_or(0, |p| if p.loaded_hard().is_some() { usize::MAX } else { p.parts.len() });
        let bounds = app.known().part_bounds.iter().take(poured_round).copied();
        let bounds = bounds.fold(crate::mesh::Bounds::EMPTY, |a, b| a.union(b));
        let middle = app
            .known()
            .setting()
            .filter(|_| !bounds.is_empty())
            .map_or(0.0, |s| s.frames.set_point_from_work((bounds.min + bounds.max) * 0.5).dot(draw));
        app.edit(name, |p| p.parting.plane_mm = on.then_some((middle * 100.0).round() / 100.0));
    }
    if let Some(mut height) = height {
        let response = fields::length(ui, "Height along the draw", &mut height, -1e5..=1e5);
        app.after(&response, "Move the parting plane", |p| p.parting.plane_mm = Some(height));
    }
}

fn facts(app: &mut App, ui: &mut Ui) {
    let Some(parting) = app.known().facts.as_ref().and_then(|f| f.parting.clone()) else { return };
    let hidden = format!("{} mm²", short(parting.hidden_from_both_mm2));
    fields::fold(ui, "What follows", &format!("{hidden} hidden"), false, false, |ui| {
        let area = |mm2: f64| format!("{} cm²", short(mm2 / 100.0));
        fields::fact(ui, "Half 1 makes", area(parting.half_1_mm2));
        fields::fact(ui, "Half 2 makes", area(parting.half_2_mm2));
        fields::fact(ui, "Hidden from both", &hidden);
    });
}
