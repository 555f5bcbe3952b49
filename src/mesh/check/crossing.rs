//! Bodies whose own surface runs through itself.
//!
//! Two triangles cross where an edge of one goes clean through the inside of the other. What only touches, or crosses by less
//! than the rounding of the file and of the exporter can tell, is none: tangent fillets and slivers do that in sound parts.

use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use crate::mesh::winding::Winding;
use crate::mesh::{Bounds, Mesh};
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};

/// How far within a triangle's sides an edge must go through it, as a share of the mesh's diagonal: some rounding steps of
/// single precision. Set here.
const WITHIN: f64 = 4e-6;
/// How far its ends must reach beyond it, millimetres: what a file far from its origin is rounded to, and less than any bench
/// can see. Set here.
const DEEP_MM: f64 = 0.01;
/// Pairs of triangles that are looked at for each triangle of the mesh, on the whole: a sound mesh has some ten. Set here.
const PAIRS_A_TRIANGLE: u64 = 500;
/// Pairs that are looked at however small the mesh is.
const LEAST_PAIRS: u64 = 1_000_000;

/// Triangles whose outer side is looked at for being inside the body, at most. Set here.
const LOOKED_AT: usize = 500;
/// Meshes of more triangles are not looked at so: the winding numbers of a large one take longer than all else.
const MOST_LOOKED_AT: usize = 200_000;

/// Where the outer side of a closed body lies inside the body itself, so that part of it is there twice: a surface that runs
/// through itself at single points only, as that of a spindle torus on its axis, crosses nowhere cleanly. Some triangles, spread
/// over the mesh, are looked at by winding number. `facing` is −1 for a body that faces inwards.
pub(super) fn doubled(mesh: &Mesh, facing: f64) -> Vec<Vec3> {
    let n = mesh.triangles.len();
    if n == 0 || n > MOST_LOOKED_AT {
        return Vec::new();
    }
    let winding = Winding::of(mesh);
    let off = facing as f32 * 1e-4 * mesh.bounds().size().length();
    let at = |t: usize| {
        let [a, b, c] = mesh.corners(t);
        let (middle, out) = ((a + b + c) / 3.0, mesh.double_area_normal(t).try_normalize()?);
        (facing * winding.at(middle + off * out) > 0.75).then_some(middle)
    };
    (0..n).step_by(n.div_ceil(LOOKED_AT)).filter_map(at).collect()
}

/// Where triangles of one body cross: the first place of each triangle that another goes through, in order. The work is bounded
/// by the number of triangles; in a mesh so tangled that the bound is met, what was found until then is told.
pub(super) fn crossings(mesh: &Mesh, topology: &Topology, tree: &Tree) -> Vec<Vec3> {
    let bounds = mesh.bounds();
    let margin = WITHIN * f64::from(bounds.size().length());
    let budget = LEAST_PAIRS + PAIRS_A_TRIANGLE * mesh.triangles.len() as u64;
    let spent = AtomicU64::new(0);
    let one = |t: usize| {
        if spent.load(Ordering::Relaxed) > budget {
            return None;
        }
        let (own, corners) = (mesh.triangles[t], mesh.corners(t));
        let body = topology.body_of_triangle[t];
        let (mut pairs, mut found) = (0, None::<(u32, Vec3)>);
        tree.each_in(Bounds::of(corners), |u, far| {
            pairs += 1;
            let other = mesh.triangles[u as usize];
            let shared = own.iter().filter(|v| other.contains(v)).count();
            let is_new = found.is_none_or(|(n, _)| u < n);
            if !is_new || shared > 1 || u as usize == t || topology.body_of_triangle[u as usize] != body {
                return;
            }
            for k in 0..3 {
                let (a, b) = (own[k], own[(k + 1) % 3]);
                if other.contains(&a) || other.contains(&b) {
                    continue;
                }
                if let Some(at) = goes_through(corners[k], corners[(k + 1) % 3], far, margin) {
                    found = Some((u, at));
                    return;
                }
            }
        });
        spent.fetch_add(pairs, Ordering::Relaxed);
        found.map(|f| f.1)
    };
    (0..mesh.triangles.len()).into_par_iter().with_min_len(256).filter_map(one).collect()
}

/// Where the edge goes through the inside of the triangle, both ends beyond it and the place so far within its sides.
fn goes_through(from: Vec3, to: Vec3, triangle: &[Vec3; 3], margin: f64) -> Option<Vec3> {
    let [a, b, c] = triangle.map(|p| p.as_dvec3());
    let normal = (b - a).cross(c - a).try_normalize()?;
    let (from, to) = (from.as_dvec3(), to.as_dvec3());
    let (low, high) = ((from - a).dot(normal), (to - a).dot(normal));
    let deep = DEEP_MM.max(margin);
    if low.abs() < deep || high.abs() < deep || (low > 0.0) == (high > 0.0) {
        return None;
    }
    let at = from + (to - from) * (low / (low - high));
    let within = |p: DVec3, q: DVec3| {
        let inwards = normal.cross(q - p).normalize_or_zero();
        (at - p).dot(inwards) > margin
    };
    (within(a, b) && within(b, c) && within(c, a)).then(|| at.as_vec3())
}
