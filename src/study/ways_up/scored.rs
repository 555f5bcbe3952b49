//! One direction with all that was measured of it.

use crate::study::ways_up::criteria::Criteria;
use glam::Vec3;

/// One direction with all that was measured of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scored {
    /// Up, a unit vector in `work`.
    pub up: Vec3,
    /// The turn about up that opens the block along the box's Y for the plan's draw, radians.
    pub turn: f64,
    /// What was measured.
    pub criteria: Criteria,
}
