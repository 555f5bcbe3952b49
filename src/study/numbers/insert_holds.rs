//! What holds each insert: the half that its pocket lies in, whether it can be put in there, and how near the cut is.

use crate::mesh::tree::nearest_on_triangle;
use crate::plan::Half;
use crate::shop::Silicone;
use crate::solve::run::{Cancelled, Run};
use crate::study::job::body::Body;
use crate::study::job::gravity::STANDARD_GRAVITY;
use crate::study::job::insert_shapes::InsertShape;
use crate::study::parting::PartingFacts;
use crate::study::parting::line::TrueLine;
use glam::Vec3;
use rayon::prelude::*;
use std::f64::consts::PI;

/// What holds one insert.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct InsertHold {
    /// The half whose rubber the pocket lies in; none where no surface beside it looks along its axis.
    pub half: Option<Half>,
    /// Room in front of its inner end in the open half, millimetres, where rubber of the same half bounds it; none
    /// where that side is open.
    pub room_mm: Option<f64>,
    /// From its axis at the part's surface to the nearest line between the halves, millimetres.
    pub to_line_mm: f64,
}

/// The holds of all inserts, in plan order; `in_pocket_mm` are their lengths in their pockets.
///
/// # Errors
/// [`Cancelled`] where the run was.
pub fn holds(
    parting: &PartingFacts,
    body: &Body,
    inserts: &[InsertShape],
    in_pocket_mm: &[f64],
    run: &Run,
) -> Result<Vec<InsertHold>, Cancelled> {
    if let Some(told_from) = &parting.told_from {
        let mut holds = holds(told_from, body, inserts, in_pocket_mm, run)?;
        holds.iter_mut().for_each(|h| h.half = h.half.map(|half| half.other()));
        return Ok(holds);
    }
    let mut holds = Vec::with_capacity(inserts.len());
    for (insert, in_pocket) in inserts.iter().zip(in_pocket_mm) {
        run.check()?;
        let half = beside(parting, insert);
        let embedded = (insert.length_mm - in_pocket).max(0.0) as f32;
        let inner = insert.foot - insert.axis * (embedded + 0.02);
        let room_mm = half.and_then(|half| {
            let hit = body.tree.first_hit(inner, -insert.axis, f32::INFINITY).filter(|hit| !hit.entering)?;
            let at = inner - insert.axis * hit.t;
            (half_at(parting, hit.triangle, at) == Some(half)).then_some(hit.t as f64)
        });
        let to_line_mm = parting.lines.iter().map(|l| to_line(l, insert.foot)).fold(f64::INFINITY, f64::min);
        holds.push(InsertHold { half, room_mm, to_line_mm });
    }
    Ok(holds)
}

/// From a point to a line between the halves, millimetres.
fn to_line(line: &TrueLine, from: Vec3) -> f64 {
    let count = line.points.len();
    let stretches = if line.closed { count } else { count.saturating_sub(1) };
    let nearest = (0..stretches).map(|i| {
        let (a, b) = (line.points[i], line.points[(i + 1) % count]);
        let along = b - a;
        let share = ((from - a).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
        (a + along * share).distance(from) as f64
    });
    nearest.fold(f64::INFINITY, f64::min)
}

/// The half of the surface round the insert's foot: that of the nearest triangle that looks along its axis and does not
/// belong to the hollow that the insert leaves.
fn beside(parting: &PartingFacts, insert: &InsertShape) -> Option<Half> {
    let mesh = &parting.split.mesh;
    let radius = insert.radius_mm as f32 * 1.02 + 0.01;
    let nearest = (0..mesh.triangles.len())
        .into_par_iter()
        .filter_map(|t| {
            let [a, b, c] = mesh.corners(t);
            let middle = (a + b + c) / 3.0;
            let off = middle - insert.foot;
            let along = off.dot(insert.axis);
            let hollow = (off - insert.axis * along).length() < radius && along < -0.01;
            let looks = mesh.unit_normal(t).dot(insert.axis) > 0.3;
            (looks && !hollow).then(|| (off.length(), t))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    parting.split.halves.get(nearest.1).copied()
}

/// The half of the body's triangle `triangle` at `at`.
fn half_at(parting: &PartingFacts, triangle: u32, at: Vec3) -> Option<Half> {
    let split = &parting.split;
    let nearest = (0..split.parent.len())
        .into_par_iter()
        .filter(|t| split.parent[*t] == triangle)
        .map(|t| {
            let corners = split.mesh.corners(t).map(|p| p.as_dvec3());
            let (weights, _) = nearest_on_triangle(at.as_dvec3(), corners);
            let on = corners[0] * weights.x + corners[1] * weights.y + corners[2] * weights.z;
            (on.distance_squared(at.as_dvec3()), t)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    split.halves.get(nearest.1).copied()
}

/// Young's modulus of a rubber by its hardness, MPa: E = 0.0981·(56 + 7.62336·S)/(0.137505·(254 − 2.54·S)) (Gent, *Rubber
/// Chem. Technol.* 31, 1958; constants from memory). Good to a third up to 45 Shore A.
pub fn modulus_mpa(silicone: &Silicone) -> f64 {
    let s = silicone.shore_a.min(95.0);
    0.0981 * (56.0 + 7.62336 * s) / (0.137505 * (254.0 - 2.54 * s))
}

/// Force along its axis with which a socket of rubber holds a round pin, N: μ·p·π·d·l with the pressure of a hole in wide
/// rubber that is `tight_mm` too small in radius, p = E·δ/((1 + ν)·r), ν = ½ (Lamé; Timoshenko & Goodier, *Theory of
/// Elasticity*). The diameter cancels.
pub fn grip_n(modulus_mpa: f64, tight_mm: f64, length_mm: f64, friction: f64) -> f64 {
    friction * 2.0 * PI * modulus_mpa * tight_mm * length_mm / 1.5
}

/// Weight of `volume_mm3` of a density, N.
pub fn weight_n(volume_mm3: f64, density_g_cm3: f64) -> f64 {
    volume_mm3 * density_g_cm3 * 1e-6 * STANDARD_GRAVITY
}
