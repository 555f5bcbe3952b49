//! Meshes of the placed things: rods, balls, discs, rings, arrows.

use crate::mesh::{Mesh, solids};
use crate::view::scene::Shape;
use glam::{DAffine3, Vec3};
use std::f32::consts::TAU;
use std::sync::Arc;

/// Sides of round things.
const SIDES: u32 = 48;

/// The mesh of a shape and where it stands.
pub(crate) fn mesh_of(shape: &Shape) -> (Arc<Mesh>, DAffine3) {
    let made = match shape {
        Shape::Mesh { mesh, world_from_mesh } => return (mesh.clone(), *world_from_mesh),
        Shape::Rod { from, to, radius_from_mm, radius_to_mm } => {
            solids::frustum(*from, *to, *radius_from_mm, *radius_to_mm, SIDES)
        }
        Shape::Ball { centre, radius_mm } => solids::ball(*centre, *radius_mm, 3),
        Shape::Disc { centre, normal, radius_mm } => {
            let half = *normal * (*radius_mm * 0.06);
            solids::cylinder(*centre - half, *centre + half, *radius_mm, SIDES)
        }
        Shape::Ring { centre, axis, radius_mm, tube_mm } => ring(*centre, *axis, *radius_mm, *tube_mm),
        Shape::Arrow { from, to, radius_mm } => arrow(*from, *to, *radius_mm),
    };
    (Arc::new(made), DAffine3::IDENTITY)
}

fn ring(centre: Vec3, axis: Vec3, radius_mm: f32, tube_mm: f32) -> Mesh {
    let (u, v) = solids::frame_square_to(axis);
    let w = axis.normalize_or(Vec3::Z);
    let mut mesh = solids::torus(radius_mm, tube_mm, SIDES, 16);
    for p in &mut mesh.positions {
        *p = centre + u * p.x + v * p.y + w * p.z;
    }
    mesh
}

/// A turned arrow: shaft, shoulder, point.
fn arrow(from: Vec3, to: Vec3, radius_mm: f32) -> Mesh {
    let along = to - from;
    let length = along.length();
    if length <= 0.0 {
        return Mesh::default();
    }
    let head = (radius_mm * 6.0).min(length * 0.6);
    let neck = to - along * (head / length);
    let (u, v) = solids::frame_square_to(along);
    let mut mesh = Mesh::default();
    for (centre, r) in [(from, radius_mm), (neck, radius_mm), (neck, radius_mm * 2.4)] {
        for i in 0..SIDES {
            let (s, c) = (TAU * i as f32 / SIDES as f32).sin_cos();
            mesh.positions.push(centre + (u * c + v * s) * r);
        }
    }
    let (foot, point) = (3 * SIDES, 3 * SIDES + 1);
    mesh.positions.extend([from, to]);
    for i in 0..SIDES {
        let j = (i + 1) % SIDES;
        mesh.triangles.push([foot, j, i]);
        for ring in 0..2 {
            let (a, b) = (ring * SIDES, (ring + 1) * SIDES);
            mesh.triangles.extend([[a + i, a + j, b + j], [a + i, b + j, b + i]]);
        }
        mesh.triangles.push([2 * SIDES + i, 2 * SIDES + j, point]);
    }
    mesh
}
