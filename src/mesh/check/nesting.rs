//! Which bodies lie inside which.

use super::{Body, BodyKind};
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use glam::Vec3;
use rayon::prelude::*;

/// Directions of the rays: none along an axis or a plane of symmetry of common shapes.
const DIRECTIONS: [Vec3; 3] =
    [Vec3::new(0.8134, 0.3277, 0.4806), Vec3::new(-0.3911, 0.8527, -0.3463), Vec3::new(0.2279, -0.5413, 0.8094)];

/// For each body the closed bodies that a corner of it lies inside of, the largest first.
///
/// A body is round a corner where a ray from there passes outwards and inwards through it unequally often; of three rays
/// the majority counts, since a ray through an edge may count twice.
pub(in crate::mesh) fn containers(topology: &Topology, tree: &Tree, bodies: &[Body]) -> Vec<Vec<u32>> {
    bodies
        .par_iter()
        .enumerate()
        .map(|(b, body)| {
            let may_hold = |a: usize| {
                let other = &bodies[a];
                a != b
                    && other.kind != BodyKind::Open
                    && other.bounds.min.cmple(body.bounds.min).all()
                    && other.bounds.max.cmpge(body.bounds.max).all()
            };
            let candidates: Vec<usize> = (0..bodies.len()).filter(|&a| may_hold(a)).collect();
            if candidates.is_empty() {
                return Vec::new();
            }
            let mut votes = vec![0u32; candidates.len()];
            let mut hits = Vec::new();
            for direction in DIRECTIONS {
                tree.all_hits(body.place, direction, f32::INFINITY, &mut hits);
                for (vote, &a) in votes.iter_mut().zip(&candidates) {
                    let turns: i32 = hits
                        .iter()
                        .filter(|h| topology.body_of_triangle[h.triangle as usize] as usize == a)
                        .map(|h| if h.entering { -1 } else { 1 })
                        .sum();
                    *vote += u32::from(turns != 0);
                }
            }
            let mut around: Vec<u32> =
                candidates.iter().zip(&votes).filter(|(_, v)| **v >= 2).map(|(a, _)| *a as u32).collect();
            around.sort_by(|&x, &y| {
                let size = |a: u32| bodies[a as usize].measures.volume_mm3.abs();
                size(y).total_cmp(&size(x)).then(x.cmp(&y))
            });
            around
        })
        .collect()
}
