//! How much air in one body matters: what leaves a bubble after let-up that is a fault where it lies.

use super::bubble::sealed_mm3;
use crate::plan::Plan;
use crate::shop::Limits;
use crate::study::job::frames::Frames;
use glam::Vec3;

/// A bubble gathers under surface that faces up, or at the top of a wall: one that faces down more than this (cosine) has
/// none.
const FACES_DOWN: f32 = -0.1;

/// The limits of a shop for one plan, as volumes before let-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Matters {
    mm3: f64,
    shown_mm3: f64,
    bubble_mm: f64,
    bubble_shown_mm: f64,
    /// Middle and radius of what is shown and may gather a bubble.
    shown: Vec<(Vec3, f32)>,
}

impl Matters {
    /// From `limit_mm3` on, everywhere.
    pub fn from(limit_mm3: f64) -> Matters {
        Matters { mm3: limit_mm3, shown_mm3: limit_mm3, bubble_mm: 0.0, bubble_shown_mm: 0.0, shown: Vec::new() }
    }

    /// The bubble that the shop calls a fault, a smaller one on the shown surfaces of `plan`; never less than the smallest
    /// pocket that the shop looks at.
    pub fn of(plan: &Plan, frames: &Frames, limits: &Limits) -> Matters {
        let bubble_shown_mm = limits.bubble_shown_mm.min(limits.bubble_mm);
        let from = |bubble_mm: f64| sealed_mm3(bubble_mm, limits.chamber_pa).max(limits.air_pocket_mm3);
        let up = frames.cast_up();
        let shown = plan.shown.iter().flat_map(|s| s.stroke.iter().map(|at| (s.radius_mm, at)));
        let shown = shown
            .filter(|(_, at)| frames.normal_in_work(at).dot(up) > FACES_DOWN)
            .map(|(radius_mm, at)| (frames.spot_in_work(at), radius_mm as f32));
        Matters {
            mm3: from(limits.bubble_mm),
            shown_mm3: from(bubble_shown_mm),
            bubble_mm: limits.bubble_mm,
            bubble_shown_mm,
            shown: shown.collect(),
        }
    }

    /// True where `volume_mm3` of air in one body is a fault; `place` is asked only where it depends on it.
    pub fn is_fault(&self, volume_mm3: f64, place: impl FnOnce() -> Vec3) -> bool {
        volume_mm3 >= self.mm3 || (volume_mm3 >= self.shown_mm3 && self.is_shown(place()))
    }

    /// The bubble after let-up that is a fault there, diameter in millimetres.
    pub fn bubble_mm(&self, place: Vec3) -> f64 {
        if self.is_shown(place) { self.bubble_shown_mm } else { self.bubble_mm }
    }

    /// True where air that gathers at `place` leaves its bubble on a shown surface.
    pub fn is_shown(&self, place: Vec3) -> bool {
        self.shown.iter().any(|(at, radius_mm)| at.distance(place) < radius_mm + self.bubble_shown_mm as f32)
    }
}
