//! One patch of a near-level ceiling, and the tilt that frees it.

use glam::Vec3;

/// A tilt of the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tilt {
    /// Level, towards the side that is raised; a unit vector in `work`.
    pub towards: Vec3,
    /// By how much, degrees.
    pub degrees: f64,
}

/// One connected patch of near-level ceiling.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// Area, mm².
    pub area_mm2: f64,
    /// Its triangles in the body, in rising order.
    pub triangles: Vec<u32>,
    /// The place of it nearest to its middle.
    pub position: Vec3,
    /// Outward normal there.
    pub normal: Vec3,
    /// The least tilt that makes it steep enough without another ceiling coming level for it; none where none up to 30°
    /// does, as on a dome.
    pub tilt: Option<Tilt>,
}
