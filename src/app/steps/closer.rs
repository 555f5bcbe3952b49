//! The picture of a finding: the section of the part through its place.

use crate::app::theme::{self, look};
use crate::plan::Half;
use crate::sheet::section::hatched;
use crate::study::lessons::closer_look::{CloserLook, Upright};
use crate::view::palette;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, pos2, vec2};
use glam::DVec2;

/// Height of the picture, points.
const HIGH: f32 = 170.0;
/// Between hatching lines, points.
const HATCH: f32 = 7.0;
/// Lengths a scale bar may have, millimetres.
const BARS_MM: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];

/// Draws it.
pub fn show(ui: &mut Ui, closer: &CloserLook) {
    let look = look(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HIGH), Sense::hover());
    let words = words(closer);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &words));
    let paper = Paper::of(rect, closer.reach_mm);
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, look.card);
    let outline: Vec<[DVec2; 2]> = closer.part.iter().map(|p| p.ends).collect();
    let reach = paper.reach_mm(rect);
    paper.lines(&painter, &hatched(&outline, &[], f64::from(HATCH / paper.scale), reach), 0.6, look.rule);
    let air = theme::on_screen(palette::VERMILION);
    // A little wider than the step, so that no ground shines through between the lines.
    let thick = closer.air_step_mm as f32 * paper.scale + 1.0;
    paper.lines(&painter, &closer.air, thick, air.gamma_multiply(0.75));
    for rod in &closer.rods {
        let colour = theme::on_screen(if rod.vent { palette::VENT } else { palette::FEED });
        let wide = (2.0 * rod.radius_mm as f32 * paper.scale).max(2.0);
        painter.line_segment(rod.ends.map(|p| paper.at(p)), Stroke::new(wide, colour.gamma_multiply(0.8)));
    }
    for piece in &closer.part {
        let (width, colour) = match piece.half {
            Some(Half::One) => (2.4, theme::on_screen(palette::HALF_1)),
            Some(Half::Two) => (2.4, theme::on_screen(palette::HALF_2)),
            None => (1.3, look.ink),
        };
        painter.line_segment(piece.ends.map(|p| paper.at(p)), Stroke::new(width, colour));
    }
    paper.lines(&painter, &hatched(&closer.metal, &[], f64::from(0.4 * HATCH / paper.scale), reach), 0.7, look.ink);
    paper.lines(&painter, &closer.metal, 1.3, look.ink);
    if let Some(level) = closer.level_mm {
        let y = paper.at(DVec2::new(0.0, level)).y;
        let ends = [pos2(rect.left(), y), pos2(rect.right(), y)];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(1.4, look.accent), 6.0, 4.0));
        label(
            &painter,
            pos2(rect.right() - 6.0, y + 2.0),
            Align2::RIGHT_TOP,
            "resin stops here",
            look.accent,
            look.card,
        );
    }
    painter.circle_stroke(paper.at(DVec2::ZERO), 5.0, Stroke::new(1.8, air));
    up_arrow(&painter, rect, closer.upright, look.ink, look.card);
    bar(&painter, rect, &paper, look.ink, look.card);
    response.on_hover_text(words);
}

fn words(closer: &CloserLook) -> String {
    let up = match closer.upright {
        Upright::Cast => "up as resin is poured",
        Upright::Draw => "half 1 lifts off upwards",
        Upright::Outwards => "out of the part is up",
    };
    let air = if closer.air.is_empty() { "" } else { "; the air that stays is filled in" };
    format!("Section of the part through this place, {:.0} mm high, {up}{air}", 2.0 * closer.reach_mm)
}

fn label(painter: &Painter, at: Pos2, align: Align2, text: &str, colour: Color32, ground: Color32) {
    let galley = painter.layout_no_wrap(text.into(), FontId::proportional(10.5), colour);
    let rect = align.anchor_size(at, galley.size());
    painter.rect_filled(rect.expand(1.0), 2.0, ground.gamma_multiply(0.85));
    painter.galley(rect.min, galley, colour);
}

fn up_arrow(painter: &Painter, rect: Rect, upright: Upright, ink: Color32, ground: Color32) {
    let foot = pos2(rect.left() + 12.0, rect.top() + 30.0);
    painter.arrow(foot, vec2(0.0, -20.0), Stroke::new(1.6, ink));
    let text = match upright {
        Upright::Cast => "up",
        Upright::Draw => "half 1",
        Upright::Outwards => "outside",
    };
    label(painter, pos2(rect.left() + 20.0, rect.top() + 8.0), Align2::LEFT_TOP, text, ink, ground);
}

fn bar(painter: &Painter, rect: Rect, paper: &Paper, ink: Color32, ground: Color32) {
    let room = f64::from(rect.width() * 0.3 / paper.scale);
    let Some(mm) = BARS_MM.into_iter().rev().find(|mm| *mm <= room) else { return };
    let long = mm as f32 * paper.scale;
    let y = rect.bottom() - 8.0;
    painter.line_segment([pos2(rect.left() + 8.0, y), pos2(rect.left() + 8.0 + long, y)], Stroke::new(2.4, ink));
    label(painter, pos2(rect.left() + 8.0, y - 4.0), Align2::LEFT_BOTTOM, &format!("{mm} mm"), ink, ground);
}

/// Where millimetres of the section lie on the screen.
struct Paper {
    centre: Pos2,
    /// Points a millimetre.
    scale: f32,
}

impl Paper {
    fn of(rect: Rect, reach_mm: f64) -> Paper {
        Paper { centre: rect.center(), scale: rect.height() * 0.5 / reach_mm as f32 }
    }

    fn at(&self, p: DVec2) -> Pos2 {
        let p = p.as_vec2() * self.scale;
        pos2(self.centre.x + p.x, self.centre.y - p.y)
    }

    /// Radius about the middle that holds the picture, millimetres.
    fn reach_mm(&self, rect: Rect) -> f64 {
        f64::from(rect.size().length() * 0.5 / self.scale)
    }

    fn lines(&self, painter: &Painter, pieces: &[[DVec2; 2]], width: f32, colour: Color32) {
        for piece in pieces {
            painter.line_segment(piece.map(|p| self.at(p)), Stroke::new(width, colour));
        }
    }
}
