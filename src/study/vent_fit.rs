//! How wide a vent may be where it stands: its stalk is cut off every cast, and one nearly as thick as the wall leaves a
//! hole or a sink.

use super::body::Body;
use super::thickness::Thickness;
use crate::shop::Limits;
use glam::Vec3;

/// Thinnest vent that is still made with a rod, millimetres: common practice, no source.
pub const THINNEST_VENT_MM: f64 = 0.8;

/// Thickness of the wall at `at`, millimetres; infinite where it is not known.
pub fn wall_mm(body: &Body, walls: &Thickness, at: Vec3) -> f64 {
    let triangle = body.tree.nearest(at).map(|n| n.triangle as usize);
    let wall = triangle.and_then(|t| walls.of_triangle_mm.get(t)).copied();
    wall.filter(|w| w.is_finite()).map_or(f64::INFINITY, f64::from)
}

/// The widest vent that a wall takes, millimetres; narrower than [`THINNEST_VENT_MM`] where no rod will do.
pub fn widest_mm(wall_mm: f64, limits: &Limits) -> f64 {
    limits.vent_wall_share * wall_mm
}
