//! Taking hold of the parting line where it is seen.

use super::Canvas;
use crate::study::parting::line::TrueLine;
use egui::{Pos2, Vec2};
use glam::Vec3;

/// How near the cursor must be to a line to take hold of it, points.
const REACH_PT: f32 = 8.0;
/// How far a place of the line may lie behind what is seen there, in points of the picture there: it runs on the surface,
/// so that chords dip under it a little.
const DEPTH_PT: f32 = 6.0;

/// A place of a line that a hand holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grab {
    /// Which line of the parting.
    pub line: usize,
    /// The point of the line from which the held stretch starts.
    pub index: usize,
    /// The place itself, in `work`.
    pub at: Vec3,
}

impl Canvas {
    /// The place of a line under the cursor, as far as it is seen.
    pub fn line_at(&self, cursor: Pos2, lines: &[TrueLine]) -> Option<Grab> {
        let mut best: Option<(f32, Grab)> = None;
        for (line, one) in lines.iter().enumerate() {
            let n = one.points.len();
            let spans = if one.closed { n } else { n.saturating_sub(1) };
            let mut from = one.points.first().and_then(|p| self.on_screen(*p));
            for index in 0..spans {
                let (a, b) = (one.points[index], one.points[(index + 1) % n]);
                let to = self.on_screen(b);
                if let (Some(p), Some(q)) = (from, to) {
                    let (along, out): (Vec2, Vec2) = (q - p, cursor - p);
                    let t = (along.dot(out) / along.length_sq().max(1e-6)).clamp(0.0, 1.0);
                    let away = (out - along * t).length();
                    if away <= REACH_PT && best.is_none_or(|b| away < b.0) {
                        let at = a.lerp(b, t);
                        if self.sees(at, (self.mm_per_point(at) * DEPTH_PT) as f64) {
                            best = Some((away, Grab { line, index, at }));
                        }
                    }
                }
                from = to;
            }
        }
        best.map(|b| b.1)
    }

    /// Millimetres that one point of the window shows at a place of `work`.
    pub fn mm_per_point(&self, at: Vec3) -> f32 {
        let Some(painted) = &self.painted else { return 0.1 };
        let camera = painted.picture.camera();
        let side = camera.right().as_vec3();
        let pixel = |p: Vec3| camera.project(p.as_dvec3()).map(|s| s.pixel);
        match (pixel(at), pixel(at + side)) {
            (Some(a), Some(b)) if a.distance(b) > 1e-6 => self.pixels_per_point / a.distance(b) as f32,
            _ => 0.1,
        }
    }
}
