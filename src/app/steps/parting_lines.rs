//! The lines of the parting one by one: what each is and how long, held or free, and how a shut-off is kept apart.

use crate::app::App;
use crate::app::fields::{self, short};
use crate::plan::{HeldLoop, Separation, ShutOffChoice};
use crate::study::parting::line::TrueLine;
use crate::study::report::LoopKind;
use egui::Ui;
use glam::Vec3;
use std::sync::Arc;

/// Most lines that are listed; a part with more of them is parted the wrong way.
const MOST: usize = 24;
/// A choice belongs to the shut-off that comes this near to the place where it was made, millimetres.
const NEAR_MM: f32 = 2.0;
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
    fields::heading(ui, "Lines");
    for i in 0..parting.lines.len().min(MOST) {
        ui.push_id(("line", i), |ui| one(app, ui, &parting.lines, i));
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
                let_go(app, i);
            }
        });
    }
}

/// Lets a held loop be found anew like the others.
pub fn let_go(app: &mut App, i: usize) {
    app.edit(&format!("Let go of loop {}", i + 1), |p| {
        if i < p.parting.held_loops.len() {
            p.parting.held_loops.remove(i);
        }
    });
}

fn one(app: &mut App, ui: &mut Ui, lines: &[TrueLine], i: usize) {
    let (line, name) = (&lines[i], line_name(lines, i));
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
    if line.kind != LoopKind::ShutOff {
        return;
    }
    let all = [Separation::Taped, Separation::Cut, Separation::Torn, Separation::FilledAndDrilled];
    let (index, current) = choice_near(app, line);
    let label = format!("{name} is");
    if let Some(separation) = fields::choice(ui, &label, current, &all, |s| separation_name(s).into()) {
        let Some(spot) = app.spot_near(first) else { return };
        app.edit(&format!("Change how {} is kept apart", name.to_lowercase()), |p| match index {
            Some(i) => p.parting.shut_offs[i].separation = separation,
            None => p.parting.shut_offs.push(ShutOffChoice { near: spot, separation, held: Vec::new() }),
        });
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
fn distance_to(line: &TrueLine, p: Vec3) -> f32 {
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

/// The numbers of the points that a closed line needs so that it strays no further than `stray_mm` from itself (Douglas &
/// Peucker 1973, on the two halves of the loop).
fn few_points(points: &[Vec3], stray_mm: f32) -> Vec<usize> {
    let n = points.len();
    if n < 4 {
        return (0..n).collect();
    }
    let mut keep = vec![false; n + 1];
    let middle = n / 2;
    (keep[0], keep[middle], keep[n]) = (true, true, true);
    let mut stretches = vec![(0, middle), (middle, n)];
    while let Some((from, to)) = stretches.pop() {
        let (a, b) = (points[from], points[to % n]);
        let ab = b - a;
        let off = |i: usize| {
            let t = ((points[i] - a).dot(ab) / ab.length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
            (a + ab * t).distance(points[i])
        };
        let farthest = (from + 1..to).max_by(|&i, &j| off(i).total_cmp(&off(j)));
        if let Some(i) = farthest.filter(|&i| off(i) > stray_mm) {
            keep[i] = true;
            stretches.extend([(from, i), (i, to)]);
        }
    }
    (0..n).filter(|&i| keep[i]).collect()
}

/// The choice that was made for the shut-off at a place, if any.
fn choice_near(app: &App, line: &TrueLine) -> (Option<usize>, Separation) {
    let (Some(plan), Some(setting)) = (app.plan(), app.known().setting()) else { return (None, Separation::default()) };
    let near = plan
        .parting
        .shut_offs
        .iter()
        .enumerate()
        .find(|(_, c)| distance_to(line, setting.frames.spot_in_work(&c.near)) < NEAR_MM);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loop_is_kept_by_few_points_that_hardly_stray() {
        let circle: Vec<Vec3> = (0..1000)
            .map(|i| {
                let (s, c) = (std::f32::consts::TAU * i as f32 / 1000.0).sin_cos();
                Vec3::new(20.0 * c, 20.0 * s, 0.0)
            })
            .collect();
        let kept = few_points(&circle, 0.02);
        assert!(kept.len() < 200 && kept.len() > 40, "{} of 1000", kept.len());
        for (i, p) in circle.iter().enumerate() {
            let after = kept.iter().position(|&k| k > i).unwrap_or(0);
            let before = (after + kept.len() - 1) % kept.len();
            let (a, b) = (circle[kept[before]], circle[kept[after]]);
            let t = ((*p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
            assert!((a + (b - a) * t).distance(*p) <= 0.0201);
        }
        // A square keeps its corners and what starts it.
        let square: Vec<Vec3> = (0..40)
            .map(|i| {
                let (side, t) = (i / 10, (i % 10) as f32);
                [
                    Vec3::new(t, 0.0, 0.0),
                    Vec3::new(10.0, t, 0.0),
                    Vec3::new(10.0 - t, 10.0, 0.0),
                    Vec3::new(0.0, 10.0 - t, 0.0),
                ][side]
            })
            .collect();
        assert_eq!(few_points(&square, 0.02), vec![0, 10, 20, 30]);
    }
}
