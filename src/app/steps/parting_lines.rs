//! The lines of the parting one by one: what each is and how long, held or free.

use super::shut_offs;
use crate::app::App;
use crate::app::fields::{self, short};
use crate::plan::HeldLoop;
use crate::study::findings::Remedy;
use crate::study::parting::PartingFacts;
use crate::study::parting::line::{TrueLine, few_points};
use crate::study::parting::loop_kind::LoopKind;
use egui::Ui;
use glam::Vec3;
use std::sync::Arc;

/// Most lines that are listed; a part with more of them is parted the wrong way.
const MOST: usize = 24;
/// As many lines are shown unfolded at first.
const FEW: usize = 2;
/// A held loop is kept with points that stray this little from the line, millimetres.
const HELD_STRAY_MM: f32 = 0.02;

/// What a line is called: its kind, and its number among its kind where there are more.
pub fn line_name(lines: &[TrueLine], i: usize) -> String {
    let kind = lines[i].kind;
    let word = match kind {
        LoopKind::Parting => "Parting line",
        LoopKind::ShutOff => "Shut-off",
        LoopKind::Island => "Island",
    };
    let of_kind = |l: &&TrueLine| l.kind == kind;
    match lines.iter().filter(of_kind).count() {
        1 => word.to_owned(),
        _ => format!("{word} {}", lines[..=i].iter().filter(of_kind).count()),
    }
}

/// The list.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(parting) = app.known().parting_to_draw().map(|p| p.0.clone()) else { return };
    let more = match parting.lines.len() {
        1 => "1 line".to_owned(),
        n => format!("{n} lines"),
    };
    fields::fold(ui, "Lines", &more, parting.lines.len() <= FEW, false, |ui| list(app, ui, &parting));
}

fn list(app: &mut App, ui: &mut Ui, parting: &PartingFacts) {
    for i in 0..parting.lines.len().min(MOST) {
        // A hole keeps its name while its shut-off is dragged along it past another one in the list.
        let hole = parting.holes[i].as_ref().map(|h| h.key);
        ui.push_id(("line", hole, hole.is_none().then_some(i)), |ui| one(app, ui, parting, i));
    }
    if parting.lines.len() > MOST {
        fields::hint(ui, &format!("and {} more", parting.lines.len() - MOST));
    }
    let held = app.plan().map_or(0, |p| p.parting.held_loops.len());
    for i in 0..held {
        ui.horizontal(|ui| {
            ui.label(format!("Held loop {}", i + 1));
            let button = ui.button("Let go").on_hover_text("The loop is found anew like the others");
            button.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Let go of loop {}", i + 1))
            });
            if button.clicked() {
                super::findings::apply(app, &Remedy::LetGoOfLoop(i));
            }
        });
    }
}

fn one(app: &mut App, ui: &mut Ui, parting: &PartingFacts, i: usize) {
    let (line, name) = (&parting.lines[i], line_name(&parting.lines, i));
    let Some(&first) = line.points.first() else { return };
    ui.horizontal(|ui| {
        let words = format!("{name}, {} mm{}", short(line.length_mm), if line.closed { "" } else { ", open" });
        let response = ui.add(egui::Button::new(words).frame(false));
        if response.hovered() {
            app.light(Some(first));
        }
        if response.clicked() {
            app.fly_to(first, line.normals.first().copied());
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if line.closed && held_by(app, line).is_none() {
                let button = ui.button("Hold").on_hover_text("Keeps this loop as it is, whatever else is changed");
                let label = format!("Hold {}", name.to_lowercase());
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, label.clone()));
                if button.clicked() {
                    hold(app, line, &label);
                }
            }
        });
    });
    if line.kind == LoopKind::ShutOff {
        shut_offs::one(app, ui, parting, i, &name);
    }
}

/// Keeps a loop through every recompute.
fn hold(app: &mut App, line: &TrueLine, name: &str) {
    let Some(frames) = app.known().setting().map(|s| Arc::clone(&s.frames)) else { return };
    let Some(setting) = app.known().setting() else { return };
    let kept = few_points(&line.points, HELD_STRAY_MM);
    let spot = |i: usize| frames.spot_from_work(setting.part_at(line.points[i]), line.points[i], line.normals[i]);
    let points = kept.into_iter().map(spot).collect();
    app.edit(name, |p| p.parting.held_loops.push(HeldLoop { points }));
}

/// The held loop of the plan that a line follows.
fn held_by(app: &App, line: &TrueLine) -> Option<usize> {
    let (plan, setting) = (app.plan()?, app.known().setting()?);
    plan.parting.held_loops.iter().position(|held| {
        let step = (held.points.len() / 8).max(1);
        let mut looks = held.points.iter().step_by(step).map(|s| setting.frames.spot_in_work(s));
        !held.points.is_empty() && looks.all(|p| distance_to(line, p) < 0.5)
    })
}

/// Distance from a point to a line.
pub(super) fn distance_to(line: &TrueLine, p: Vec3) -> f32 {
    let n = line.points.len();
    let spans = if line.closed { n } else { n.saturating_sub(1) };
    (0..spans)
        .map(|i| {
            let (a, ab) = (line.points[i], line.points[(i + 1) % n] - line.points[i]);
            let t = ((p - a).dot(ab) / ab.length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
            (a + ab * t).distance(p)
        })
        .fold(f32::INFINITY, f32::min)
}
