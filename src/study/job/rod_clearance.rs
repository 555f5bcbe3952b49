//! How near a rod passes the part on its way up through the block.

use super::body::Body;
use super::channels::Channel;
use crate::mesh::Bounds;
use crate::mesh::tree::nearest_on_triangle;
use glam::{DVec3, Vec3};

/// Least rubber between a rod's channel and the part, millimetres: set here. A rod that stands this far off is pulled
/// without tearing; between whole cavities the shop's own limit holds.
pub const BESIDE_ROD_MM: f64 = 3.0;
/// A rod that leaves the surface at less than this (sine of the angle, 20°) runs along it: set here.
pub const LEAST_RISE: f32 = 0.342;
/// Steps along a rod at which the rubber round it is measured, millimetres: where it leaves the part, and after that.
const STEPS_MM: (f64, f64) = (0.25, 1.0);
/// Most steps along the rest of a rod.
const MOST_STEPS: f64 = 400.0;
/// What single precision may take off a distance, millimetres.
const ROUNDING_MM: f32 = 1e-3;
/// Triangles so near to a mouth meet in it, and an axis so near to the surface lies on it, millimetres.
const AT_MOUTH_MM: f32 = 0.05;
/// An axis is this far inside the part before it counts as going into it, millimetres.
const INTO_MM: f64 = 0.3;

/// How a rod passes the part beyond the stretch that belongs to its own mouth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// The least rubber between the channel and the part, millimetres; where it cuts into the part, how deep, negative.
    pub rubber_mm: f64,
    /// The place of the axis there.
    pub at: Vec3,
    /// Length with less than [`BESIDE_ROD_MM`] of rubber, millimetres.
    pub near_mm: f64,
    /// Of that, length on which the channel cuts into the part, millimetres.
    pub cut_mm: f64,
    /// Of that, length on which its axis is inside the part, millimetres.
    pub inside_mm: f64,
}

/// How `channel` passes the part; none where it leaves the part at once and keeps [`BESIDE_ROD_MM`] from it after that.
///
/// A rod of radius r that leaves the surface at an angle α has that much rubber beside it from (r + limit)/sin α on; up to
/// there the nearness is that of its own mouth. One that leaves flatter than [`LEAST_RISE`] hugs the surface and is granted
/// no more than one that leaves it square.
pub fn pass(body: &Body, channel: &Channel) -> Option<Pass> {
    let limit = BESIDE_ROD_MM as f32;
    let mouth = channel.mouth();
    let rise = channel.rods.first().map_or(0.0, |r| rise(body, mouth, (r.to - r.from).normalize_or_zero()));
    let angle = if rise < LEAST_RISE { 1.0 } else { rise };
    let sunk = if body.is_inside(mouth) { body.tree.nearest(mouth).map_or(0.0, |n| n.distance) } else { 0.0 };
    // A mouth that lies a little inside comes out of the part first.
    let comes_out_mm = f64::from(sunk) / f64::from(LEAST_RISE) + INTO_MM;
    let mut found: Option<Pass> = None;
    let mut begin_mm = 0.0;
    for rod in &channel.rods {
        let length_mm = rod.length_mm();
        let own_mm = f64::from((rod.radius_mm + limit) / angle) + f64::from(sunk);
        let coarse_mm = STEPS_MM.1.max(length_mm / MOST_STEPS);
        let mut along_mm = 0.0;
        while along_mm <= length_mm && length_mm > 0.0 {
            let way_mm = begin_mm + along_mm;
            let step_mm = if way_mm < own_mm { STEPS_MM.0 } else { coarse_mm };
            let at = rod.from.lerp(rod.to, (along_mm / length_mm) as f32);
            let away = body.tree.nearest_within(at, rod.radius_mm + 2.0 * limit).map_or(f32::INFINITY, |n| n.distance);
            let inside = away > AT_MOUTH_MM && body.is_inside(at);
            let rubber = if inside { -away - rod.radius_mm } else { away - rod.radius_mm };
            let counts = way_mm > own_mm || (inside && way_mm > comes_out_mm);
            if counts && rubber < limit - ROUNDING_MM {
                let one = found.get_or_insert(Pass {
                    rubber_mm: f64::INFINITY,
                    at,
                    near_mm: 0.0,
                    cut_mm: 0.0,
                    inside_mm: 0.0,
                });
                if f64::from(rubber) < one.rubber_mm {
                    (one.rubber_mm, one.at) = (f64::from(rubber), at);
                }
                let stretch_mm = step_mm.min(length_mm - along_mm);
                one.near_mm += stretch_mm;
                one.cut_mm += if rubber < 0.0 { stretch_mm } else { 0.0 };
                one.inside_mm += if inside { stretch_mm } else { 0.0 };
            }
            along_mm += step_mm;
        }
        begin_mm += length_mm;
    }
    // Deep in a thick part no surface is near: it is as deep as the rod is thick, at least.
    if let Some(one) = &mut found
        && !one.rubber_mm.is_finite()
    {
        one.rubber_mm = -f64::from(channel.rods.iter().map(|r| r.radius_mm).fold(0.0, f32::max)) - 2.0 * BESIDE_ROD_MM;
    }
    found
}

/// The least rubber of [`pass`] and where.
pub fn closest(body: &Body, channel: &Channel) -> Option<(f64, Vec3)> {
    pass(body, channel).map(|p| (p.rubber_mm, p.at))
}

/// How square a rod along `out` leaves the surface at `mouth`: the sine of its angle to the surface, on an edge that to the
/// face that it leaves most.
pub fn rise(body: &Body, mouth: Vec3, out: Vec3) -> f32 {
    leaves(body, mouth, out).map_or(0.0, |normal| normal.dot(out))
}

/// The outward normal of the face that a rod along `out` leaves at `mouth`: on an edge the one that it leaves most.
pub fn leaves(body: &Body, mouth: Vec3, out: Vec3) -> Option<Vec3> {
    let nearest = body.tree.nearest(mouth)?;
    let at = nearest.point;
    let mut best = body.mesh.unit_normal(nearest.triangle as usize);
    body.tree.each_in(Bounds { min: at - AT_MOUTH_MM, max: at + AT_MOUTH_MM }, |triangle, corners| {
        let corners: [DVec3; 3] = corners.map(|c| c.as_dvec3());
        let (weights, _) = nearest_on_triangle(at.as_dvec3(), corners);
        let near = corners[0] * weights.x + corners[1] * weights.y + corners[2] * weights.z;
        if near.distance(at.as_dvec3()) <= f64::from(AT_MOUTH_MM) {
            let normal = body.mesh.unit_normal(triangle as usize);
            best = if normal.dot(out) > best.dot(out) { normal } else { best };
        }
    });
    Some(best)
}
