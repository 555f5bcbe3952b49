//! Where a half has to be pulled over something: connected surface hidden from the half it is given to.

use super::regions::middle_of_triangles;
use super::surface::{self, Surface};
use super::visibility::Visibility;
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;
use std::f32::consts::TAU;

/// One undercut.
#[derive(Clone, Debug, PartialEq)]
pub struct Undercut {
    /// The half that is held.
    pub half: Half,
    /// Area hidden from that half, mm².
    pub area_mm2: f64,
    /// How far its rubber must move aside, square to the draw, before it can leave, millimetres.
    pub depth_mm: f64,
    /// A point of the surface in its middle.
    pub middle: Vec3,
    /// Its triangles, in order.
    pub triangles: Vec<u32>,
}

/// Places in one undercut at which the depth is measured.
const PLACES: usize = 96;
/// Directions square to the draw that are tried at each place, besides the one straight off the surface.
const DIRECTIONS: usize = 24;

/// All undercuts of a labelling of at least `least_mm2`, the largest first.
pub fn undercuts(
    surface: &Surface,
    tree: &Tree,
    visibility: &Visibility,
    halves: &[Half],
    draw: Vec3,
    least_mm2: f64,
    run: &Run,
) -> Result<Vec<Undercut>, Cancelled> {
    let hidden = |f: usize| visibility.from(halves[f])[f];
    let (group, count) =
        surface::groups(&surface.across, |f, _, g| hidden(f) > 0.0 && hidden(g) > 0.0 && halves[f] == halves[g]);
    let mut list: Vec<(f64, Vec<u32>)> = vec![(0.0, Vec::new()); count];
    for f in 0..surface.len() {
        if hidden(f) > 0.0 {
            let (area, triangles) = &mut list[group[f] as usize];
            *area += (hidden(f) * surface.area_mm2[f]) as f64;
            triangles.push(f as u32);
        }
    }
    list.retain(|(area, triangles)| !triangles.is_empty() && *area >= least_mm2);
    list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1[0].cmp(&b.1[0])));
    list.into_iter()
        .map(|(area_mm2, triangles)| {
            run.check()?;
            let half = halves[triangles[0] as usize];
            let depth_mm = depth(surface, tree, &triangles, along(draw, half), visibility.from(half), run)? as f64;
            let middle = middle_of_triangles(surface, triangles.iter().map(|&f| f as usize));
            Ok(Undercut { half, area_mm2, depth_mm, middle, triangles })
        })
        .collect()
}

/// The direction in which a half leaves.
pub fn along(draw: Vec3, half: Half) -> Vec3 {
    match half {
        Half::One => draw,
        Half::Two => -draw,
    }
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
    let own: Vec<u32> = triangles.iter().copied().filter(|&f| hidden[f as usize] > 0.5).collect();
    let stride = own.len().div_ceil(PLACES).max(1);
    let farthest = surface.mesh.bounds().diagonal();
    let depths: Vec<f32> = own
        .par_iter()
        .step_by(stride)
        .map(|&f| {
            run.check()?;
            Ok(depth_at(surface, tree, f as usize, away, farthest))
        })
        .collect::<Result<_, Cancelled>>()?;
    Ok(depths.into_iter().fold(0.0, f32::max))
}

fn depth_at(surface: &Surface, tree: &Tree, f: usize, away: Vec3, farthest: f32) -> f32 {
    let n = surface.normal[f];
    let start = surface.centroid[f] + n * surface.hair_mm;
    let (u, v) = crate::mesh::solids::frame_square_to(away);
    let off = n - away * n.dot(away);
    let straight = (off.length() > 0.2).then(|| off.normalize());
    let round = (0..DIRECTIONS).map(|i| {
        let (s, c) = (TAU * i as f32 / DIRECTIONS as f32).sin_cos();
        u * c + v * s
    });
    let mut clear = f32::INFINITY;
    let mut through = f32::INFINITY;
    for direction in straight.into_iter().chain(round) {
        if direction.dot(n) < -1e-3 {
            continue;
        }
        let blocked = tree.first_hit(start, direction, clear.min(farthest)).map_or(f32::INFINITY, |hit| hit.t);
        if let Some(s) = first_free(tree, start, direction, away, clear.min(farthest)) {
            if s <= blocked {
                clear = clear.min(s);
            } else {
                through = through.min(s);
            }
        }
    }
    if clear.is_finite() { clear } else { through.min(farthest) }
}

/// The shortest way along `direction`, up to `most`, after which a ray along `away` leaves freely.
fn first_free(tree: &Tree, start: Vec3, direction: Vec3, away: Vec3, most: f32) -> Option<f32> {
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
