//! What two parts have in common.

use super::faceted::Faceted;
use super::near::Near;
use super::sample::{Sample, State};
use crate::mesh::boolean::{self, BooleanError};
use crate::mesh::measure::Measures;
use crate::mesh::topology::Topology;
use crate::mesh::{Bounds, Mesh};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Less than this in common is rounding, mm³: set here.
const LEAST_MM3: f64 = 0.01;
/// Depths are looked for at this many places a triangle along each edge at most.
const MOST_CUTS: u32 = 24;
/// Distance of those places, millimetres.
const PLACES_MM: f32 = 1.0;

/// What two parts have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    /// Its volume, mm³.
    pub volume_mm3: f64,
    /// How deep one stands in the other, millimetres.
    pub depth_mm: f64,
    /// Where it is deepest.
    pub at: Vec3,
    /// True where it was added up from the surface, because the parts could not be cut with each other.
    pub by_samples: bool,
}

/// What `hard` and `soft` have in common, without bodies that are nowhere deeper than the tolerance: slivers where the
/// facets of two meshes of one surface cross.
///
/// # Errors
/// [`Cancelled`] where the run was.
pub fn overlap(
    hard: &Faceted,
    soft: &Faceted,
    near: Near,
    samples: &[Sample],
    run: &Run,
) -> Result<Option<Overlap>, Cancelled> {
    run.check()?;
    let apart = |a: &Bounds, b: &Bounds| (a.max.cmplt(b.min) | b.max.cmplt(a.min)).any();
    if apart(&hard.mesh.bounds(), &soft.mesh.bounds()) {
        return Ok(None);
    }
    let shared = match boolean::intersect(hard.mesh, soft.mesh) {
        Ok(mesh) => mesh,
        Err(BooleanError::Empty) => return Ok(None),
        Err(_) => return Ok(from_samples(samples)),
    };
    run.check()?;
    Ok(deep_bodies(&shared, hard, soft, near))
}

fn deep_bodies(shared: &Mesh, hard: &Faceted, soft: &Faceted, near: Near) -> Option<Overlap> {
    let topology = Topology::of(shared);
    let bodies = Measures::of_groups(shared, &topology.body_of_triangle, topology.bodies);
    let places: Vec<Option<Deep>> =
        (0..shared.triangles.len()).into_par_iter().map(|t| deepest_of(shared.corners(t), hard, soft, near)).collect();
    let mut deepest: Vec<Option<Deep>> = vec![None; bodies.len()];
    for (place, body) in places.into_iter().zip(&topology.body_of_triangle) {
        let here = &mut deepest[*body as usize];
        *here = deeper(*here, place);
    }
    let mut found: Option<Overlap> = None;
    for (measures, deep) in bodies.iter().zip(&deepest) {
        let Some(deep) = deep.filter(|_| measures.volume_mm3 > LEAST_MM3) else { continue };
        let all = found.get_or_insert(Overlap { volume_mm3: 0.0, depth_mm: 0.0, at: deep.at, by_samples: false });
        all.volume_mm3 += measures.volume_mm3;
        if deep.depth_mm > all.depth_mm {
            (all.depth_mm, all.at) = (deep.depth_mm, deep.at);
        }
    }
    found
}

#[derive(Clone, Copy)]
struct Deep {
    depth_mm: f64,
    at: Vec3,
}

fn deeper(a: Option<Deep>, b: Option<Deep>) -> Option<Deep> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.depth_mm > a.depth_mm { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// The deepest place of a triangle of what is shared that is deeper than the tolerance there. It lies on the surface of one
/// part; its distance from the other's is how deep it stands in that.
fn deepest_of([a, b, c]: [Vec3; 3], hard: &Faceted, soft: &Faceted, near: Near) -> Option<Deep> {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    let cuts = ((longest / PLACES_MM).ceil() as u32).clamp(1, MOST_CUTS);
    let mut best = None;
    for i in 0..cuts {
        for j in 0..cuts - i {
            let (u, v) = ((i as f32 + 1.0 / 3.0) / cuts as f32, (j as f32 + 1.0 / 3.0) / cuts as f32);
            let at = a + (b - a) * u + (c - a) * v;
            let (Some(h), Some(s)) = (hard.tree.nearest(at), soft.tree.nearest(at)) else { continue };
            let carried = hard.chord_mm[h.triangle as usize] + soft.chord_mm[s.triangle as usize];
            let depth_mm = f64::from(h.distance.max(s.distance));
            if depth_mm > near.touch_mm + f64::from(carried) {
                best = deeper(best, Some(Deep { depth_mm, at }));
            }
        }
    }
    best
}

fn from_samples(samples: &[Sample]) -> Option<Overlap> {
    let mut found: Option<Overlap> = None;
    for s in samples {
        let State::Inside(depth) = s.state else { continue };
        let all = found.get_or_insert(Overlap { volume_mm3: 0.0, depth_mm: 0.0, at: s.at, by_samples: true });
        all.volume_mm3 += s.area_mm2 * depth;
        if depth > all.depth_mm {
            (all.depth_mm, all.at) = (depth, s.at);
        }
    }
    found
}
