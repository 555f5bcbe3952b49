//! Where a runner can lie in the cut although the lines go up and down along the draw.
//!
//! The cut comes down to every line, and between them it is no steeper than a blade follows. A runner square to the draw
//! that passes a stretch of line which lies much higher or lower would need a steeper one, and lies beside the cut there.

use crate::study::parting::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use glam::{Vec2, Vec3};

/// Steepest that the cut may have to be between a runner and a line, along the draw over across: set here, a little under what
/// the cut itself takes.
const STEEPEST: f32 = 1.0;
/// What the cut gives way by anyhow, millimetres.
const SLACK_MM: f32 = 0.3;
/// So near to its line a runner is in the cut anyhow, millimetres.
const OFF_LINE_MM: f32 = 1.0;
/// Places along a stretch that are looked at.
const LOOKS: usize = 48;
/// About so many places of the lines are looked at.
const PLACES: usize = 2000;

/// Places of the parting lines, across the draw and along it.
#[derive(Clone, Debug, Default)]
pub struct BesideLines {
    e1: Vec3,
    e2: Vec3,
    draw: Vec3,
    places: Vec<(Vec2, f32)>,
}

impl BesideLines {
    /// Of a parting; every place is let where it has no line.
    pub fn of(parting: &PartingFacts) -> BesideLines {
        let draw = parting.draw.normalize_or(Vec3::Z);
        let (e1, e2) = draw.any_orthonormal_pair();
        let lines = parting.lines.iter().filter(|l| l.kind == LoopKind::Parting);
        let points: Vec<Vec3> = lines.flat_map(|l| l.points.iter().copied()).collect();
        let some = points.iter().step_by((points.len() / PLACES).max(1));
        let places = some.map(|p| (Vec2::new(p.dot(e1), p.dot(e2)), p.dot(draw))).collect();
        BesideLines { e1, e2, draw, places }
    }

    /// True where a cut that is not steep goes through `p` and all lines.
    pub fn lets(&self, p: Vec3) -> bool {
        let (at, height) = (Vec2::new(p.dot(self.e1), p.dot(self.e2)), p.dot(self.draw));
        self.places.iter().all(|(q, z)| {
            let rise = (z - height).abs() - SLACK_MM;
            rise <= 0.0 || rise * rise <= STEEPEST * STEEPEST * q.distance_squared(at)
        })
    }

    /// The same for every place of a stretch.
    pub fn let_stretch(&self, from: Vec3, to: Vec3) -> bool {
        (0..=LOOKS).all(|i| self.lets(from.lerp(to, i as f32 / LOOKS as f32)))
    }

    /// The same for a stretch that leaves a line at `at` along `out`.
    pub fn let_leave(&self, at: Vec3, out: Vec3, to: Vec3) -> bool {
        self.let_stretch(at + out * OFF_LINE_MM, to)
    }
}
