//! How wide the part is across a mouth: what a stalk is cut from, and whether all of the mouth lies on the part.
//!
//! A stalk on the rim of a plate stands on a wall as thick as the plate, however deep the plate goes below the rim. So the
//! width that counts is the shortest straight line through the part that passes a little under the mouth, straight in or
//! to the sides, between two faces that are opposed: a line that cuts a corner off is no wall.

use super::body::Body;
use crate::shop::Limits;
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Faces whose normals are further from each other than this (cosine of 130°) are opposed: the sides of a wedge of 50° are.
const OPPOSED: f32 = -0.643;
/// Depths under the mouth at which its sides are looked at: one in millimetres, the others in diameters of the mouth.
const SKIN_MM: f32 = 0.1;
const DEPTHS: [f32; 3] = [0.25, 0.5, 1.0];
/// Directions to the sides, over half a turn, and half way down to them, over a whole one.
const ASIDE: usize = 8;
const ASLANT: usize = 12;
/// A mouth may hang over an edge by this share before it is told: what the measure is good to.
pub const OVER_EDGE: f64 = 0.02;
/// Rings of the mouth in radii, each in the middle of as much area, and places on each.
const RINGS: [f32; 4] = [0.354, 0.612, 0.791, 0.935];
const ROUND: usize = 24;
/// The surface may be so far above or below the mouth's middle, in radii, and the mouth still be on it; on a square edge it
/// is one.
const BESIDE: f32 = 1.1;

/// A wall that runs flatter to the surface than this (cosine of 45°) is that of a rim.
const ASIDE_COS: f32 = std::f32::consts::FRAC_1_SQRT_2;

/// The wall at a mouth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MouthWall {
    /// The shortest way through the part, millimetres; infinite where no two faces are opposed there.
    pub mm: f64,
    /// True where that way runs along the surface rather than straight in: the mouth stands on a rim, a rib's top or an
    /// edge.
    pub rim: bool,
}

impl MouthWall {
    /// How many times as wide as the wall a gate may be there.
    pub fn share(&self, limits: &Limits) -> f64 {
        if self.rim { limits.gate_rim_share } else { limits.gate_face_share }
    }

    /// The widest gate there, millimetres.
    pub fn widest_gate_mm(&self, limits: &Limits) -> f64 {
        self.mm * self.share(limits)
    }
}

/// The shortest way through the part under a mouth of `diameter_mm` at `at`, where the part faces along `normal`,
/// millimetres; infinite where no two faces are opposed there.
pub fn wall_mm(body: &Body, at: Vec3, normal: Vec3, diameter_mm: f64) -> f64 {
    wall(body, at, normal, diameter_mm).mm
}

/// The wall under a mouth of `diameter_mm` at `at`, where the part faces along `normal`.
pub fn wall(body: &Body, at: Vec3, normal: Vec3, diameter_mm: f64) -> MouthWall {
    let none = MouthWall { mm: f64::INFINITY, rim: false };
    let Some((at, normal)) = settled(body, at, normal) else { return none };
    let side = normal.any_orthonormal_vector();
    let round = |turns: f32| Quat::from_axis_angle(normal, TAU * turns) * side;
    let depths = std::iter::once(SKIN_MM).chain(DEPTHS.iter().map(|d| d * diameter_mm as f32));
    let mut best = (f32::INFINITY, normal);
    for depth in depths {
        let under = at - normal * depth;
        let aside = (0..ASIDE).map(|k| round(0.5 * k as f32 / ASIDE as f32));
        let aslant = (0..ASLANT).map(|k| (round(k as f32 / ASLANT as f32) + normal).normalize());
        for along in std::iter::once(normal).chain(aside).chain(aslant) {
            let Some((mm, square)) = through(body, under, along) else { continue };
            // Square to both faces it is shorter than along a direction that happened to be tried.
            let again = square.try_normalize().and_then(|s| Some((through(body, under, s)?.0, s)));
            for (mm, along) in [Some((mm, along)), again].into_iter().flatten() {
                if mm < best.0 {
                    best = (mm, along);
                }
            }
        }
    }
    MouthWall { mm: f64::from(best.0), rim: best.1.dot(normal).abs() < ASIDE_COS }
}

/// Share of a mouth of `diameter_mm` that hangs over an edge of the part, 0 to 1.
pub fn over_edge(body: &Body, at: Vec3, normal: Vec3, diameter_mm: f64) -> f64 {
    let Some((at, normal)) = settled(body, at, normal) else { return 1.0 };
    let (side, radius) = (normal.any_orthonormal_vector(), diameter_mm as f32 / 2.0);
    let reach = BESIDE * radius;
    let (mut off, mut all) = (0.0f64, 0.0f64);
    for ring in RINGS {
        for k in 0..ROUND {
            let out = Quat::from_axis_angle(normal, TAU * k as f32 / ROUND as f32) * side * (ring * radius);
            let from = at + out + normal * reach;
            all += 1.0;
            off += if body.tree.any_hit(from, -normal, 2.0 * reach) { 0.0 } else { 1.0 };
        }
    }
    off / all
}

/// The place on the surface and its outward normal: the one that is given where the surface faces that way, else its own.
fn settled(body: &Body, at: Vec3, normal: Vec3) -> Option<(Vec3, Vec3)> {
    let nearest = body.tree.nearest(at)?;
    let own = body.mesh.unit_normal(nearest.triangle as usize);
    let given = normal.normalize_or_zero();
    // Just under the place lies the part, or the normal is not that of this surface.
    let faces = given != Vec3::ZERO && body.is_inside(nearest.point - given * SKIN_MM);
    Some((nearest.point, if faces { given } else { own.try_normalize()? }))
}

/// The way through the part from face to face along both directions of `along`, and the direction square to both; none where
/// the faces are not opposed.
fn through(body: &Body, from: Vec3, along: Vec3) -> Option<(f32, Vec3)> {
    let far = body.bounds.diagonal() * 2.0;
    let end = |d: Vec3| body.tree.first_hit(from, d, far).filter(|h| !h.entering);
    let (one, other) = (end(along)?, end(-along)?);
    let [a, b] = [one, other].map(|h| body.mesh.unit_normal(h.triangle as usize));
    (a.dot(b) < OPPOSED).then_some((one.t + other.t, a - b))
}
