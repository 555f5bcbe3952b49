//! Closed meshes of simple solids: the channels of a mould, stand-in inserts, and shapes for tests.
//!
//! Every solid is closed, consistently wound and outward-facing. Round ones are inscribed in the true shape, so a
//! cylinder of `n` sides has (n/2π)·sin(2π/n) of the true volume.

use super::Mesh;
use glam::Vec3;
use std::f32::consts::TAU;

/// A box between two corners.
pub fn cuboid(min: Vec3, max: Vec3) -> Mesh {
    let positions = (0..8)
        .map(|i| {
            Vec3::new(
                if i & 1 == 0 { min.x } else { max.x },
                if i & 2 == 0 { min.y } else { max.y },
                if i & 4 == 0 { min.z } else { max.z },
            )
        })
        .collect();
    let triangles = vec![
        [0, 2, 3],
        [0, 3, 1],
        [4, 5, 7],
        [4, 7, 6],
        [0, 1, 5],
        [0, 5, 4], //
        [2, 6, 7],
        [2, 7, 3],
        [0, 4, 6],
        [0, 6, 2],
        [1, 3, 7],
        [1, 7, 5],
    ];
    Mesh { positions, triangles }
}

/// Two unit vectors square to `axis` and to each other, so that (u, v, axis) is right-handed.
pub fn frame_square_to(axis: Vec3) -> (Vec3, Vec3) {
    let axis = axis.normalize_or(Vec3::Z);
    let u = axis.any_orthonormal_vector();
    (u, axis.cross(u))
}

/// A cone frustum (a cylinder where the radii are equal) from `from` to `to` with `sides` sides.
pub fn frustum(from: Vec3, to: Vec3, radius_from: f32, radius_to: f32, sides: u32) -> Mesh {
    let (u, v) = frame_square_to(to - from);
    let mut positions = Vec::with_capacity(2 * sides as usize + 2);
    for (centre, r) in [(from, radius_from), (to, radius_to)] {
        for i in 0..sides {
            let (s, c) = (TAU * i as f32 / sides as f32).sin_cos();
            positions.push(centre + (u * c + v * s) * r);
        }
    }
    positions.push(from);
    positions.push(to);
    let (low, high) = (2 * sides, 2 * sides + 1);
    let mut triangles = Vec::with_capacity(4 * sides as usize);
    for i in 0..sides {
        let j = (i + 1) % sides;
        triangles.extend([[i, j, sides + j], [i, sides + j, sides + i], [low, j, i], [high, sides + i, sides + j]]);
    }
    Mesh { positions, triangles }
}

/// A cylinder from `from` to `to`.
pub fn cylinder(from: Vec3, to: Vec3, radius: f32, sides: u32) -> Mesh {
    frustum(from, to, radius, radius, sides)
}

/// A ball made from an icosahedron by `level` midpoint subdivisions, vertices on the sphere: 20·4^level triangles.
pub fn ball(centre: Vec3, radius: f32, level: u32) -> Mesh {
    let g = (1.0 + 5f64.sqrt()) / 2.0;
    let mut points: Vec<glam::DVec3> = [
        (-1.0, g, 0.0),
        (1.0, g, 0.0),
        (-1.0, -g, 0.0),
        (1.0, -g, 0.0),
        (0.0, -1.0, g),
        (0.0, 1.0, g), //
        (0.0, -1.0, -g),
        (0.0, 1.0, -g),
        (g, 0.0, -1.0),
        (g, 0.0, 1.0),
        (-g, 0.0, -1.0),
        (-g, 0.0, 1.0),
    ]
    .iter()
    .map(|&(x, y, z)| glam::DVec3::new(x, y, z).normalize())
    .collect();
    let mut triangles: Vec<[u32; 3]> = vec![
        [0, 11, 5],
        [0, 5, 1],
        [0, 1, 7],
        [0, 7, 10],
        [0, 10, 11],
        [1, 5, 9],
        [5, 11, 4],
        [11, 10, 2],
        [10, 7, 6],
        [7, 1, 8],
        [3, 9, 4],
        [3, 4, 2],
        [3, 2, 6],
        [3, 6, 8],
        [3, 8, 9],
        [4, 9, 5],
        [2, 4, 11],
        [6, 2, 10],
        [8, 6, 7],
        [9, 8, 1],
    ];
    for _ in 0..level {
        let mut middles = std::collections::HashMap::new();
        let mut middle = |a: u32, b: u32, points: &mut Vec<glam::DVec3>| {
            *middles.entry((a.min(b), a.max(b))).or_insert_with(|| {
                points.push((points[a as usize] + points[b as usize]).normalize());
                points.len() as u32 - 1
            })
        };
        let mut finer = Vec::with_capacity(triangles.len() * 4);
        for &[a, b, c] in &triangles {
            let (ab, bc, ca) = (middle(a, b, &mut points), middle(b, c, &mut points), middle(c, a, &mut points));
            finer.extend([[a, ab, ca], [b, bc, ab], [c, ca, bc], [ab, bc, ca]]);
        }
        triangles = finer;
    }
    let positions = points.iter().map(|p| (centre.as_dvec3() + *p * radius as f64).as_vec3()).collect();
    Mesh { positions, triangles }
}

/// A torus about the Z axis through the origin: `ring` points round the axis, `tube` points round the tube.
pub fn torus(ring_radius: f32, tube_radius: f32, ring: u32, tube: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for i in 0..ring {
        let (si, ci) = (std::f64::consts::TAU * i as f64 / ring as f64).sin_cos();
        for j in 0..tube {
            let (sj, cj) = (std::f64::consts::TAU * j as f64 / tube as f64).sin_cos();
            let rho = ring_radius as f64 + tube_radius as f64 * cj;
            mesh.positions.push(Vec3::new((rho * ci) as f32, (rho * si) as f32, (tube_radius as f64 * sj) as f32));
        }
    }
    for i in 0..ring {
        for j in 0..tube {
            let (i1, j1) = ((i + 1) % ring, (j + 1) % tube);
            let (a, b, c, d) = (i * tube + j, i1 * tube + j, i1 * tube + j1, i * tube + j1);
            mesh.triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    mesh
}
