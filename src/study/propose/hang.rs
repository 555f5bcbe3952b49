//! Which way up: many directions scored by how much air they keep.
//!
//! Scored in vents: a near-level ceiling, a tall block and a shown surface that faces up are weighed against one vent
//! more. The weights are set here.

use crate::mesh::Mesh;
use crate::shop::Limits;
use crate::solve::closed_surface::ClosedSurface;
use crate::solve::run::{Cancelled, Run};
use crate::study::air::AirTree;
use crate::study::air::high_points::high_points;
use crate::study::body::Body;
use glam::{Quat, Vec3};
use rayon::prelude::*;
use std::f32::consts::{PI, TAU};
use std::sync::Arc;

/// Triangles swept in all, which bounds the time of the search.
const SWEPT: usize = 12_000_000;
/// Fewest and most directions of the first round.
const DIRECTIONS: std::ops::RangeInclusive<usize> = 40..=220;
/// Large flat sides tried besides, each up and down.
const SIDES: usize = 8;
/// Directions of the first round that are looked round.
const BEST: usize = 4;
/// Tilts tried round each of them, degrees.
const TILTS_DEG: [f32; 3] = [5.0, 10.0, 16.0];
/// Sides to which each tilt goes.
const ROUND: usize = 8;
/// A ceiling within this of level keeps bubbles, degrees.
pub const NEAR_LEVEL_DEG: f32 = 5.0;
/// Vents that a body is worth whose whole upper side is one near-level ceiling.
const CEILING_VENTS: f64 = 8.0;
/// Vents that the tallest hang is worth over the lowest.
const HEIGHT_VENTS: f64 = 1.0;
/// Vents that a shown surface facing straight up is worth.
const SHOWN_VENTS: f64 = 2.0;

/// One direction with its score.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scored {
    /// Up, a unit vector in `work`.
    pub up: Vec3,
    /// High points that matter.
    pub high_points: usize,
    /// Surface facing up within 5° of level, mm².
    pub ceiling_mm2: f64,
    /// Height of the part, millimetres.
    pub height_mm: f64,
    /// Cost, in vents; less is better.
    pub cost: f64,
}

impl Scored {
    /// Why it was chosen, in words.
    pub fn reason(&self) -> String {
        let peaks = match self.high_points {
            1 => "one high point".to_owned(),
            n => format!("{n} high points"),
        };
        format!(
            "Hung this way it has {peaks} and {:.0} mm² of near-level ceiling, and stands {:.0} mm tall",
            self.ceiling_mm2, self.height_mm
        )
    }
}

/// The best direction for `body`; `shown` are outward normals of shown surfaces.
///
/// # Errors
/// [`Cancelled`].
pub fn search(body: &Body, limits: &Limits, shown: &[Vec3], run: &Run) -> Result<Scored, Cancelled> {
    let mesh = &body.mesh;
    let judge = Judge { body, limits, shown, surface: ClosedSurface::new(mesh.clone(), body.tree.clone(), run).ok() };
    let judge = Judge { surface: judge.surface.filter(|_| body.trouble.is_none()), ..judge };
    let count = (SWEPT / mesh.triangles.len().max(1)).clamp(*DIRECTIONS.start(), *DIRECTIONS.end());
    let mut directions = vec![Vec3::Z, -Vec3::Z, Vec3::X, -Vec3::X, Vec3::Y, -Vec3::Y];
    directions.extend(large_sides(mesh).into_iter().flat_map(|n| [n, -n]));
    directions.extend(spiral(count));
    let mut scored = judge.all(&directions, run)?;
    run.progress(0.25);
    let closer: Vec<Vec3> = scored.iter().take(BEST).flat_map(|s| tilts(s.up)).collect();
    scored.extend(judge.all(&closer, run)?);
    sort(&mut scored);
    Ok(scored[0])
}

fn sort(scored: &mut [Scored]) {
    let key = |s: &Scored| (s.up.z, s.up.y, s.up.x);
    scored.sort_by(|a, b| {
        a.cost.total_cmp(&b.cost).then_with(|| key(b).partial_cmp(&key(a)).unwrap_or(std::cmp::Ordering::Equal))
    });
}

struct Judge<'a> {
    body: &'a Body,
    limits: &'a Limits,
    shown: &'a [Vec3],
    /// None where the body is not closed; high points are then not counted.
    surface: Option<ClosedSurface>,
}

impl Judge<'_> {
    /// All directions scored, best first.
    fn all(&self, directions: &[Vec3], run: &Run) -> Result<Vec<Scored>, Cancelled> {
        let surface = self.surface.clone().map(Arc::new);
        let mut scored = directions
            .par_iter()
            .map(|up| {
                run.check()?;
                let points = match &surface {
                    Some(s) => AirTree::exact(s, up.as_dvec3(), run)
                        .map_or(0, |t| high_points(&t, self.limits.air_pocket_mm3).len()),
                    None => 0,
                };
                Ok(self.score(*up, points))
            })
            .collect::<Result<Vec<_>, Cancelled>>()?;
        sort(&mut scored);
        Ok(scored)
    }

    fn score(&self, up: Vec3, high_points: usize) -> Scored {
        let mesh = &self.body.mesh;
        let level = NEAR_LEVEL_DEG.to_radians().cos();
        let (mut ceiling, mut upper) = (0.0f64, 0.0f64);
        for t in 0..mesh.triangles.len() {
            let n = mesh.double_area_normal(t);
            let rise = n.dot(up);
            if rise > 0.0 {
                upper += rise as f64 * 0.5;
                if rise >= level * n.length() {
                    ceiling += n.length() as f64 * 0.5;
                }
            }
        }
        let heights = mesh.positions.iter().map(|p| p.dot(up));
        let (low, high) = heights.fold((f32::INFINITY, f32::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
        let height_mm = (high - low).max(0.0) as f64;
        let shown = self.shown.iter().map(|n| n.dot(up).max(0.0) as f64).fold(0.0, f64::max);
        let cost = high_points as f64
            + CEILING_VENTS * ceiling / upper.max(1e-9)
            + HEIGHT_VENTS * height_mm / (self.body.bounds.diagonal() as f64).max(1e-9)
            + SHOWN_VENTS * shown;
        Scored { up, high_points, ceiling_mm2: ceiling, height_mm, cost }
    }
}

/// `count` directions evenly over the sphere (a golden spiral).
fn spiral(count: usize) -> impl Iterator<Item = Vec3> {
    let golden = PI * (3.0 - 5f32.sqrt());
    (0..count).map(move |i| {
        let z = 1.0 - (2.0 * i as f32 + 1.0) / count as f32;
        let r = (1.0 - z * z).max(0.0).sqrt();
        let (s, c) = (golden * i as f32).sin_cos();
        Vec3::new(r * c, r * s, z).normalize()
    })
}

/// Directions tilted off `up` by some degrees to every side.
fn tilts(up: Vec3) -> Vec<Vec3> {
    let side = up.any_orthonormal_vector();
    let mut all = Vec::with_capacity(TILTS_DEG.len() * ROUND);
    for tilt in TILTS_DEG {
        for i in 0..ROUND {
            let axis = Quat::from_axis_angle(up, TAU * i as f32 / ROUND as f32) * side;
            all.push((Quat::from_axis_angle(axis, tilt.to_radians()) * up).normalize());
        }
    }
    all
}

/// Outward normals of the largest flat sides, largest first.
fn large_sides(mesh: &Mesh) -> Vec<Vec3> {
    let mut sides: Vec<(Vec3, f32)> = Vec::new();
    let mut order: Vec<(f32, usize)> =
        (0..mesh.triangles.len()).map(|t| (mesh.double_area_normal(t).length(), t)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    for (area, t) in order.into_iter().take(20_000) {
        let n = mesh.unit_normal(t);
        match sides.iter().position(|s| s.0.dot(n) > 0.9998) {
            Some(side) => sides[side].1 += area,
            None if sides.len() < 256 => sides.push((n, area)),
            None => {}
        }
    }
    sides.sort_by(|a, b| b.1.total_cmp(&a.1));
    sides.into_iter().take(SIDES).map(|s| s.0).filter(|n| *n != Vec3::ZERO).collect()
}
