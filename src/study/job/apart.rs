//! How much rubber stands between the parts of a set.

use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;
use std::sync::Arc;

/// Places from which the least distance is followed down.
const STARTS: usize = 24;
/// Most steps of one descent.
const STEPS: usize = 200;
/// A descent that gains less than this in a step has come down, millimetres.
const STILL_MM: f32 = 1e-5;
/// A line along no axis and no usual angle of a drawn part.
const SKEW: Vec3 = Vec3::new(0.295, 0.537, 0.790);

/// Two parts and what lies between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// Their places in the plan, the lower first.
    pub parts: [usize; 2],
    /// Least distance between their surfaces, millimetres; 0 where they touch or run into each other.
    pub distance_mm: f64,
    /// Where that is, in `work`: half-way between them.
    pub place: Vec3,
    /// True where one runs into the other.
    pub overlap: bool,
}

/// Every two of `meshes`, whose trees are `trees`.
///
/// The distance is found by projecting from one surface to the other and back, from the places that come nearest among
/// vertices, middles of edges and of triangles (von Neumann's alternating projections; between convex pieces they come
/// down to the least distance).
///
/// # Errors
/// [`Cancelled`].
pub fn between(meshes: &[Arc<Mesh>], trees: &[Tree], run: &Run) -> Result<Vec<Between>, Cancelled> {
    if meshes.len() < 2 {
        return Ok(Vec::new());
    }
    let pairs: Vec<[usize; 2]> = (0..meshes.len()).flat_map(|b| (0..b).map(move |a| [a, b])).collect();
    run.check()?;
    Ok(pairs
        .into_par_iter()
        .map(|parts| {
            let [(a, ta), (b, tb)] = parts.map(|i| (&*meshes[i], &trees[i]));
            let met = meets(a, ta, tb).or_else(|| meets(b, tb, ta));
            match met {
                Some(place) => Between { parts, distance_mm: 0.0, place, overlap: true },
                None => {
                    let (distance, place) = least(a, ta, tb);
                    Between { parts, distance_mm: f64::from(distance), place, overlap: false }
                }
            }
        })
        .collect())
}

/// A place where `mesh` is in the other or passes its surface.
fn meets(mesh: &Mesh, own: &Tree, other: &Tree) -> Option<Vec3> {
    let (mine, room) = (own.bounds(), other.bounds());
    if !mine.overlaps(&room) {
        return None;
    }
    // One vertex tells for a whole body that lies inside; a body that is partly inside has an edge that goes through.
    let inside = |p: Vec3| other.first_hit(p, SKEW.normalize(), f32::INFINITY).is_some_and(|hit| !hit.entering);
    let through = (0..mesh.triangles.len()).into_par_iter().find_map_first(|t| {
        let corners = mesh.corners(t);
        if !Bounds::of(corners).overlaps(&room) {
            return None;
        }
        (0..3).find_map(|k| {
            let (from, to) = (corners[k], corners[(k + 1) % 3]);
            let along = to - from;
            // Touching is no crossing: a hair of either end is left out.
            let hit = other.first_hit(from, along, 1.0 - 1e-5)?;
            (hit.t > 1e-5 && !grazes(other, from.lerp(to, hit.t), along)).then(|| from.lerp(to, hit.t))
        })
    });
    through.or_else(|| {
        let step = (mesh.positions.len() / 64).max(1);
        let held = |p: &&Vec3| (p.cmpge(room.min) & p.cmple(room.max)).all();
        let deep = |p: Vec3| inside(p) && !other.is_within(p, 1e-4);
        mesh.positions.iter().step_by(step).filter(held).copied().find(|p| deep(*p))
    })
}

/// True where a line along `along` only slides over the surface at `at`.
fn grazes(tree: &Tree, at: Vec3, along: Vec3) -> bool {
    let reach = 0.01f32.min(along.length() * 0.01);
    let step = along.normalize_or_zero() * reach;
    let side = |p: Vec3| tree.first_hit(p, SKEW.normalize(), f32::INFINITY).is_some_and(|hit| !hit.entering);
    side(at - step) == side(at + step)
}

/// Least distance between two surfaces that do not cross, and the place half-way.
fn least(mesh: &Mesh, own: &Tree, other: &Tree) -> (f32, Vec3) {
    let room = other.bounds();
    let to_box = |p: Vec3| p.distance(p.clamp(room.min, room.max));
    // Places of the surface by how near they come to the other's box, which is a lower bound.
    let corners = mesh.triangles.par_iter().flat_map_iter(|t| {
        let [a, b, c] = t.map(|i| mesh.positions[i as usize]);
        [a, b, c, (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0, (a + b + c) / 3.0]
    });
    let mut starts: Vec<(f32, Vec3)> = corners.map(|p| (to_box(p), p)).collect();
    starts.par_sort_by(|a, b| {
        a.0.total_cmp(&b.0).then_with(|| a.1.to_array().partial_cmp(&b.1.to_array()).expect("numbers"))
    });
    starts.dedup();
    let mut best: Vec<(f32, Vec3)> = Vec::new();
    let mut limit = f32::INFINITY;
    for (lower, p) in starts {
        if lower > limit {
            break;
        }
        let Some(near) = other.nearest_within(p, limit) else { continue };
        best.push((near.distance, p));
        best.sort_by(|a, b| a.0.total_cmp(&b.0));
        if best.len() > STARTS {
            best.pop();
            limit = best[STARTS - 1].0;
        }
    }
    let descended = best.into_iter().map(|(_, start)| {
        let (mut p, mut distance, mut q) = (start, f32::INFINITY, start);
        for _ in 0..STEPS {
            let Some(there) = other.nearest(p) else { break };
            q = there.point;
            let Some(back) = own.nearest(q) else { break };
            p = back.point;
            if distance - back.distance < STILL_MM {
                distance = distance.min(back.distance);
                break;
            }
            distance = back.distance;
        }
        (distance, (p + q) / 2.0)
    });
    descended.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((f32::INFINITY, Vec3::ZERO))
}
