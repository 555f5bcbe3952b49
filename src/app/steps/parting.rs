//! Where the block opens: draw, line by hand, what hides from its half.

use super::{placed, tools};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short};
use crate::app::propose::Wanted;
use crate::app::thing::Thing;
use crate::plan::{Half, Separation, ShutOffChoice};
use crate::study::report::LoopKind;
use egui::Ui;
use glam::DVec3;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    draw(app, ui);
    fields::heading(ui, "The line by hand");
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
        Some(thing @ Thing::Mark(_)) => {
            if ui.button("Delete").on_hover_text("Can be undone").clicked() {
                app.delete(thing);
            }
        }
        _ => {}
    }
    facts(app, ui);
}

fn draw(app: &mut App, ui: &mut Ui) {
    let Some(draw) = app.plan().map(|p| p.parting.draw.normalize_or(DVec3::Y)) else { return };
    fields::heading(ui, "Draw of half 1");
    ui.horizontal_wrapped(|ui| {
        if let Some((name, along)) = fields::directions(ui, draw) {
            app.edit(&format!("Draw along {name}"), |p| p.parting.draw = along);
        }
    });
    let mut typed = draw;
    for (name, axis) in [("Along X", 0), ("Along Y", 1), ("Along Z", 2)] {
        let response = fields::number(ui, name, &mut typed[axis], "", -1.0..=1.0, 0.01);
        app.after(&response, "Turn the draw", |p| {
            if let Some(unit) = typed.try_normalize() {
                p.parting.draw = unit;
            }
        });
    }
    ui.horizontal(|ui| {
        if ui.button("Propose the draw").on_hover_text("The direction that hides the least from both halves").clicked()
        {
            app.propose(Wanted::Draw);
        }
        if ui.button("Swap halves").on_hover_text("Half 1 becomes half 2").clicked() {
            app.edit("Swap the halves", |p| {
                p.parting.draw = -p.parting.draw;
                for mark in &mut p.parting.marks {
                    mark.half = mark.half.other();
                }
            });
        }
    });
}

fn facts(app: &mut App, ui: &mut Ui) {
    let Some(parting) = app.known().facts.as_ref().and_then(|f| f.parting.clone()) else { return };
    fields::heading(ui, "What follows");
    let area = |mm2: f64| format!("{} cm²", short(mm2 / 100.0));
    fields::fact(ui, "Half 1 makes", area(parting.half_1_mm2));
    fields::fact(ui, "Half 2 makes", area(parting.half_2_mm2));
    fields::fact(ui, "Hidden from both", format!("{} mm²", short(parting.hidden_from_both_mm2)));
    for (i, undercut) in parting.undercuts.iter().take(12).enumerate() {
        let words =
            format!("Undercut {}: {} mm², {} mm deep", i + 1, short(undercut.area_mm2), short(undercut.depth_mm));
        let response = ui.add(egui::Button::new(words).frame(false));
        if response.hovered() {
            app.light(Some(undercut.middle));
        }
        if response.clicked() {
            app.fly_to(undercut.middle, None);
        }
    }
    let shut_offs: Vec<_> = parting.loops.iter().filter(|l| l.kind == LoopKind::ShutOff).collect();
    if shut_offs.is_empty() {
        return;
    }
    fields::heading(ui, "Shut-offs");
    let all = [Separation::Taped, Separation::Cut, Separation::Torn, Separation::FilledAndDrilled];
    for (i, one) in shut_offs.iter().take(12).enumerate() {
        let Some(&middle) = one.points.first() else { continue };
        let (index, current) = choice_near(app, middle);
        let name = format!("Shut-off {}", i + 1);
        if let Some(separation) = fields::choice(ui, &name, current, &all, |s| separation_name(s).into()) {
            let Some(spot) = app.spot_near(middle) else { continue };
            app.edit(&format!("Change how {} is kept apart", name.to_lowercase()), |p| match index {
                Some(i) => p.parting.shut_offs[i].separation = separation,
                None => p.parting.shut_offs.push(ShutOffChoice { near: spot, separation }),
            });
        }
    }
}

/// The choice that was made for the shut-off at a place, if any.
fn choice_near(app: &App, place: glam::Vec3) -> (Option<usize>, Separation) {
    let (Some(plan), Some(setting)) = (app.plan(), app.known().setting()) else { return (None, Separation::default()) };
    let near = plan
        .parting
        .shut_offs
        .iter()
        .enumerate()
        .find(|(_, c)| setting.frames.spot_in_work(&c.near).distance(place) < 2.0);
    near.map_or((None, Separation::default()), |(i, c)| (Some(i), c.separation))
}

fn separation_name(separation: Separation) -> &'static str {
    match separation {
        Separation::Taped => "Taped",
        Separation::Cut => "Cut",
        Separation::Torn => "Torn",
        Separation::FilledAndDrilled => "Filled, drilled",
    }
}
