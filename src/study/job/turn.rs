//! How the block is turned about its upright axis.

use crate::plan::Attitude;
use glam::DVec3;

/// The turn about up that brings the level part of `draw` to the box's Y; none where the draw is upright.
pub fn turn_to_draw(attitude: &Attitude, draw: DVec3) -> f64 {
    let upright = Attitude { turn: 0.0, ..*attitude }.upright_from_set() * draw;
    if upright.truncate().length() < 0.2 {
        return 0.0;
    }
    std::f64::consts::FRAC_PI_2 - upright.y.atan2(upright.x)
}
