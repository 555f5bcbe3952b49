//! The way aside: how far rubber in a shadow must move square to the draw before it can leave along it.

use super::surface::Surface;
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;
use std::f32::consts::TAU;

/// Places in one undercut at which the way aside is sought.
const PLACES: usize = 96;
/// Directions square to the draw that are tried at each place, besides the one straight off the surface.
const DIRECTIONS: usize = 24;

/// The direction in which a half leaves.
pub fn along(draw: Vec3, half: Half) -> Vec3 {
    match half {
        Half::One => draw,
        Half::Two => -draw,
    }
}

/// The shortest way aside from one place of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// The triangle.
    pub triangle: u32,
    /// The place, a hair off the surface.
    pub start: Vec3,
    /// Which way, a unit vector square to the draw.
    pub direction: Vec3,
    /// How far until a straight line along the draw leaves freely, millimetres.
    pub length_mm: f32,
    /// Whether the way lies clear of the part. Where no clear way is, this is the shortest one through it.
    pub clear: bool,
}

/// How far the rubber on `triangles` must move aside before it can leave along `away`: at each place the shortest way
/// square to `away`, clear of the part, to where a ray along `away` leaves freely; the greatest of these. Where a place
/// has no clear way aside the shortest one through the part counts.
pub fn depth(
    surface: &Surface,
    tree: &Tree,
    triangles: &[u32],
    away: Vec3,
    hidden: &[f32],
    run: &Run,
) -> Result<f32, Cancelled> {
    let ways = ways(surface, tree, triangles, away, hidden, run)?;
    Ok(ways.iter().map(|w| w.length_mm).fold(0.0, f32::max))
}

/// The ways aside from some hundred places spread over those of `triangles` that are `hidden` for the most part.
pub fn ways(
    surface: &Surface,
    tree: &Tree,
    triangles: &[u32],
    away: Vec3,
    hidden: &[f32],
    run: &Run,
) -> Result<Vec<Way>, Cancelled> {
    let own: Vec<u32> = triangles.iter().copied().filter(|&f| hidden[f as usize] > 0.5).collect();
    let stride = own.len().div_ceil(PLACES).max(1);
    own.par_iter()
        .step_by(stride)
        .map(|&f| {
            run.check()?;
            let at = surface.centroid[f as usize];
            Ok(way_from(surface, tree, f, at, away))
        })
        .collect()
}

/// The shortest way aside from the place `at` in triangle `f`.
pub fn way_from(surface: &Surface, tree: &Tree, f: u32, at: Vec3, away: Vec3) -> Way {
    let farthest = surface.mesh.bounds().diagonal();
    let n = surface.normal[f as usize];
    let start = at + n * surface.hair_mm;
    let (u, v) = crate::mesh::solids::frame_square_to(away);
    let off = n - away * n.dot(away);
    let straight = (off.length() > 0.2).then(|| off.normalize());
    let round = (0..DIRECTIONS).map(|i| {
        let (s, c) = (TAU * i as f32 / DIRECTIONS as f32).sin_cos();
        u * c + v * s
    });
    let mut clear = (f32::INFINITY, u);
    let mut through = (f32::INFINITY, u);
    for direction in straight.into_iter().chain(round) {
        if direction.dot(n) < -1e-3 {
            continue;
        }
        let most = clear.0.min(farthest);
        let blocked = tree.first_hit(start, direction, most).map_or(f32::INFINITY, |hit| hit.t);
        if let Some(s) = first_free(tree, start, direction, away, most) {
            let best = if s <= blocked { &mut clear } else { &mut through };
            if s < best.0 {
                *best = (s, direction);
            }
        }
    }
    let is_clear = clear.0.is_finite();
    let (length, direction) = if is_clear { clear } else { through };
    Way { triangle: f, start, direction, length_mm: length.min(farthest), clear: is_clear }
}

/// The shortest way along `direction`, up to `most`, after which a ray along `away` leaves freely.
pub fn first_free(tree: &Tree, start: Vec3, direction: Vec3, away: Vec3, most: f32) -> Option<f32> {
    let held = |s: f32| tree.any_hit(start + direction * s, away, f32::INFINITY);
    let mut low = 0.0;
    let mut high = (most * 2e-3).min(0.05);
    while held(high) {
        low = high;
        if high >= most {
            return None;
        }
        high = (high * 1.2).min(most);
    }
    for _ in 0..12 {
        let middle = 0.5 * (low + high);
        if held(middle) { low = middle } else { high = middle }
    }
    Some(high)
}

/// How far the free run goes on along `direction` beyond `from`, which is free, up to `most`: to where a ray along
/// `away` is first held again.
pub fn free_until(tree: &Tree, start: Vec3, direction: Vec3, away: Vec3, from: f32, most: f32) -> f32 {
    const STEPS: usize = 64;
    let held = |s: f32| tree.any_hit(start + direction * s, away, f32::INFINITY);
    let step = (most - from) / STEPS as f32;
    let mut low = from;
    for i in 1..=STEPS {
        let mut high = from + step * i as f32;
        if held(high) {
            for _ in 0..12 {
                let middle = 0.5 * (low + high);
                if held(middle) { high = middle } else { low = middle }
            }
            return low;
        }
        low = high;
    }
    most
}
