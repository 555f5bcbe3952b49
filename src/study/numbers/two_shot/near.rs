//! What counts as touching.

use crate::shop::Limits;

/// What counts as touching.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// Surfaces no farther apart than this touch, beside what their facets carry, millimetres.
    pub touch_mm: f64,
    /// Surfaces no farther apart than this are meant to touch, millimetres.
    pub gap_mm: f64,
}

impl Near {
    /// As the shop has it.
    pub fn of(limits: &Limits) -> Near {
        Near { touch_mm: limits.shots_touch_mm, gap_mm: limits.shots_gap_mm }
    }
}
