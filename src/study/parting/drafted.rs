//! The contour of smooth surface: where its normal is square to the draw, drawn on the surface before anything is
//! labelled, so that the cut can follow it.

use super::surface::Surface;
use crate::mesh::score::{SNAP, Scores};
use glam::Vec3;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// Surface whose normal is square to the draw within this sine, 0.03°, has no draft: rounding of normals, and less than
/// anybody makes (set here).
const PARALLEL: f32 = 5e-4;

/// Whether the smooth surface over the original triangle round `f` is parallel to the draw but for rounding, which turns a
/// small triangle more than a large one.
pub fn is_parallel(surface: &Surface, f: usize, draw: Vec3) -> bool {
    let parent = surface.parent[f] as usize;
    let most = surface.facets.corner_normal[parent].iter().fold(0.0f32, |m, n| m.max(n.dot(draw).abs()));
    if most < PARALLEL {
        return true;
    }
    let [a, b, c] = surface.facets.triangles[parent].map(|v| surface.mesh.positions[v as usize]);
    let longest = (b - a).length().max((c - b).length()).max((a - c).length());
    let height = (b - a).cross(c - a).length() / longest.max(f32::MIN_POSITIVE);
    // A hair is some thirty times the rounding of a position.
    most < PARALLEL + 0.05 * surface.hair_mm / height.max(surface.hair_mm)
}

/// Cuts the surface along the contour for `draw`: in each triangle the straight line on which the interpolated normal is
/// square to the draw (Hertzmann & Zorin 2000). It meets itself over smooth edges, and passes through a vertex that is
/// within a fiftieth of an edge.
pub fn score_contour(surface: &mut Surface, draw: Vec3) {
    let crosses: Vec<bool> = surface
        .facets
        .corner_normal
        .par_iter()
        .map(|n| {
            let s = n.map(|n| n.dot(draw));
            s.iter().any(|&s| s > 0.0) && s.iter().any(|&s| s < 0.0)
        })
        .collect();
    let crossed: Vec<(usize, [f32; 3])> = (0..surface.len())
        .into_par_iter()
        .filter(|&f| crosses[surface.parent[f] as usize] && !is_parallel(surface, f, draw))
        .map(|f| (f, std::array::from_fn(|k| surface.smooth_normal_at_corner(f, k).dot(draw))))
        .collect();
    let contour = score_level(surface, crossed);
    surface.cut(contour);
}

/// Draws where a value given at the corners of triangles is nought. Values of neighbours that agree at a vertex but for
/// rounding are made the same.
pub fn score_level(surface: &mut Surface, mut values: Vec<(usize, [f32; 3])>) -> Scores {
    let mesh = Arc::make_mut(&mut surface.mesh);
    let mut at_vertex: HashMap<u32, f32> = HashMap::new();
    let mut common: Vec<[bool; 3]> = vec![[false; 3]; values.len()];
    for (i, (f, s)) in values.iter_mut().enumerate() {
        let span = s.iter().fold(f32::NEG_INFINITY, |m, &v| m.max(v)) - s.iter().fold(f32::INFINITY, |m, &v| m.min(v));
        for k in 0..3 {
            let first = *at_vertex.entry(mesh.triangles[*f][k]).or_insert(s[k]);
            if (first - s[k]).abs() <= 0.02 * span {
                s[k] = first;
                common[i][k] = true;
            }
        }
    }
    // Vertices that the line passes within a hair.
    let mut nought: HashSet<u32> = HashSet::new();
    for (i, (f, s)) in values.iter_mut().enumerate() {
        for k in 0..3 {
            for j in [(k + 1) % 3, (k + 2) % 3] {
                if s[k] * s[j] < 0.0 && s[k].abs() < SNAP * (s[k].abs() + s[j].abs()) {
                    if common[i][k] {
                        nought.insert(mesh.triangles[*f][k]);
                    } else {
                        s[k] = 0.0;
                    }
                }
            }
        }
    }
    for (i, (f, s)) in values.iter_mut().enumerate() {
        for k in 0..3 {
            if common[i][k] && nought.contains(&mesh.triangles[*f][k]) {
                s[k] = 0.0;
            }
        }
    }
    let mut scores = Scores::default();
    for (f, s) in values {
        let corners = mesh.triangles[f];
        let mut ends = Vec::with_capacity(3);
        for k in 0..3 {
            let j = (k + 1) % 3;
            if s[k] == 0.0 {
                ends.push(corners[k]);
            }
            if s[k] * s[j] < 0.0 {
                ends.push(scores.on_edge(mesh, &surface.across, f, k, s[k] / (s[k] - s[j])));
            }
        }
        if let [from, to] = ends[..] {
            scores.chord(f, from, to);
        }
    }
    scores
}
