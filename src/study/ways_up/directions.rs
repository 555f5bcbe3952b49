//! Which directions are looked at.

use super::found::HangSearch;
use crate::mesh::Mesh;
use glam::{Quat, Vec3};
use std::f32::consts::{PI, TAU};

/// Large flat sides tried besides.
const SIDES: usize = 8;
/// Tilts tried round the best, degrees.
const TILTS_DEG: [f32; 3] = [5.0, 10.0, 16.0];
/// Sides to which each tilt goes.
const ROUND: usize = 8;
/// Directions nearer to one that was measured say nothing new, degrees.
const SAME_DEG: f32 = 2.0;
/// Flat sides whose normals differ by less are one: cosine of about one degree.
const ONE_SIDE: f32 = 0.9998;

/// Axes whose two ends are measured: those of the part, those square to the largest flat sides of each of `meshes`, and an
/// equal-area spiral over the half sphere (Swinbank & Purser 2006).
pub fn axes(meshes: &[&Mesh], count: usize) -> Vec<Vec3> {
    let mut all = vec![Vec3::Z, Vec3::X, Vec3::Y];
    let same = |all: &[Vec3], d: Vec3| all.iter().any(|a| a.dot(d).abs() > ONE_SIDE);
    for side in meshes.iter().flat_map(|m| large_sides(m)) {
        if !same(&all, side) {
            all.push(side);
        }
    }
    let golden = PI * (3.0 - 5f32.sqrt());
    all.extend((0..count).map(|i| {
        let z = (i as f32 + 0.5) / count as f32;
        let r = (1.0 - z * z).max(0.0).sqrt();
        let (s, c) = (golden * i as f32).sin_cos();
        Vec3::new(r * c, r * s, z).normalize()
    }));
    all
}

/// Directions tilted off `up` by some degrees to every side, without those that were measured already.
pub fn round(up: Vec3, known: &HangSearch) -> Vec<Vec3> {
    let side = up.any_orthonormal_vector();
    let near = SAME_DEG.to_radians().cos();
    let mut all = Vec::with_capacity(TILTS_DEG.len() * ROUND);
    for tilt in TILTS_DEG {
        for i in 0..ROUND {
            let axis = Quat::from_axis_angle(up, TAU * i as f32 / ROUND as f32) * side;
            let tilted = (Quat::from_axis_angle(axis, tilt.to_radians()) * up).normalize();
            if known.scored.iter().all(|s| s.up.dot(tilted) < near) {
                all.push(tilted);
            }
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
        match sides.iter().position(|s| s.0.dot(n) > ONE_SIDE) {
            Some(side) => sides[side].1 += area,
            None if sides.len() < 256 => sides.push((n, area)),
            None => {}
        }
    }
    sides.sort_by(|a, b| b.1.total_cmp(&a.1));
    sides.into_iter().take(SIDES).map(|s| s.0).filter(|n| *n != Vec3::ZERO).collect()
}
