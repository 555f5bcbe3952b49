//! What a click will do, drawn under the cursor before it is done, and numbers beside what is being dragged.

use super::tool::Tool;
use super::{Canvas, Hold, Situation};
use crate::app::fields::short;
use crate::app::theme::{look, on_screen};
use crate::mesh::solids;
use crate::study::findings::Step;
use egui::{Align2, Color32, FontId, Pos2, Stroke};
use glam::Vec3;
use std::f32::consts::TAU;

/// Draws the preview over the view.
pub fn show(canvas: &Canvas, ui: &mut egui::Ui, response: &egui::Response, now: &Situation<'_>) {
    if let Some(missed) = &canvas.missed
        && let Some(words) = missed.tool.missed()
    {
        // A name of its own, for those who do not see it.
        let there = egui::Rect::from_center_size(missed.at, egui::Vec2::splat(1.0));
        let told = ui.interact(there, ui.scope_id().with("missed"), egui::Sense::hover());
        told.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, words));
        say(ui, missed.at, words);
        return;
    }
    let Some(at) = response.hover_pos().or(response.interact_pointer_pos()) else { return };
    if let Some(hold) = &canvas.hold {
        match hold {
            Hold::Thing(thing) => {
                if let Some(p) = canvas.cursor_in_box {
                    let words = format!("{}   X {:.1}  Y {:.1}  Z {:.1} mm", thing.title(now.plan), p.x, p.y, p.z);
                    say(ui, at, &words);
                }
            }
            Hold::Stroke(spots) => {
                let Some(setting) = now.known.setting() else { return };
                let colour = on_screen(now.tool.colour());
                for spot in spots {
                    let (p, n) = (setting.frames.spot_in_work(spot), setting.frames.normal_in_work(spot));
                    ring(canvas, ui, p, n, now.radius_mm as f32, colour, true);
                }
            }
            Hold::Line { .. } => {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
                say(ui, at, "The line passes here. Hold Shift to leave creases");
            }
            Hold::Camera(_) | Hold::Turn(_) => {}
        }
        return;
    }
    if let Some(thing) = canvas.thing_at(at) {
        ui.ctx().set_cursor_icon(egui::CursorIcon::PointingHand);
        say(ui, at, &thing.title(now.plan));
        return;
    }
    if now.step == Step::Parting
        && !now.tool.strokes()
        && let Some((parting, _)) = now.known.parting_to_draw()
        && let Some(grab) = canvas.line_at(at, &parting.lines)
    {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
        let line = &parting.lines[grab.line];
        let what = crate::app::steps::parting_lines::line_name(&parting.lines, grab.line);
        say(ui, at, &format!("{what}, {} mm: drag it where it shall pass", short(line.length_mm)));
        return;
    }
    let Some((point, normal)) = canvas.surface_at(at) else { return };
    if now.tool == Tool::Turn {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
    }
    let Some(promise) = now.tool.promise() else { return };
    ui.ctx().set_cursor_icon(egui::CursorIcon::Crosshair);
    let colour = on_screen(now.tool.colour());
    match now.tool {
        Tool::FaceDown | Tool::FaceUp => {
            let length = setting_size(now) * 0.12;
            let from = if now.tool == Tool::FaceDown { point + normal * length } else { point };
            let to = if now.tool == Tool::FaceDown { point } else { point + normal * length };
            if let (Some(a), Some(b)) = (canvas.on_screen(from), canvas.on_screen(to)) {
                ui.painter().arrow(a, b - a, Stroke::new(3.0, look(ui).accent));
            }
        }
        tool => ring(canvas, ui, point, normal, now.radius_mm as f32, colour, tool.strokes()),
    }
    say(ui, at, promise);
}

fn setting_size(now: &Situation<'_>) -> f32 {
    now.known.setting().map_or(100.0, |s| s.block.size_mm.max_element() as f32)
}

/// A ring on the surface, seen in perspective, light inside dark so that it shows on every ground.
fn ring(canvas: &Canvas, ui: &egui::Ui, centre: Vec3, normal: Vec3, radius: f32, colour: Color32, filled: bool) {
    let (u, v) = solids::frame_square_to(normal);
    let points: Vec<Pos2> = (0..36)
        .filter_map(|i| {
            let (s, c) = (TAU * i as f32 / 36.0).sin_cos();
            canvas.on_screen(centre + (u * c + v * s) * radius.max(0.3))
        })
        .collect();
    if points.len() < 36 {
        return;
    }
    let painter = ui.painter();
    if filled {
        let fill = colour.gamma_multiply(0.35);
        painter.add(egui::Shape::convex_polygon(points.clone(), fill, Stroke::NONE));
    }
    painter.add(egui::Shape::closed_line(points.clone(), Stroke::new(4.0, Color32::from_black_alpha(150))));
    painter.add(egui::Shape::closed_line(points, Stroke::new(2.0, colour)));
}

/// A few words beside the cursor, on a ground of their own.
fn say(ui: &egui::Ui, at: Pos2, words: &str) {
    let look = look(ui);
    let galley = ui.painter().layout_no_wrap(words.to_owned(), FontId::proportional(12.0), look.ink);
    let clip = ui.clip_rect();
    let mut place = Align2::LEFT_TOP.anchor_size(at + egui::vec2(16.0, 14.0), galley.size());
    let over = (place.max + egui::vec2(8.0, 6.0) - clip.max).max(egui::Vec2::ZERO);
    place = place.translate(-over);
    ui.painter().rect(
        place.expand2(egui::vec2(6.0, 3.0)),
        4.0,
        look.card.gamma_multiply(0.95),
        Stroke::new(1.0, look.rule),
        egui::StrokeKind::Outside,
    );
    ui.painter().galley(place.min, galley, look.ink);
}
