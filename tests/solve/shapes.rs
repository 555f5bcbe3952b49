//! Shapes with coarse walls, and turned copies of them.

use glam::{DAffine3, DQuat, DVec3, Vec2, Vec3};
use mouldbench::mesh::Mesh;
use proptest::prelude::*;

/// A band between two loops of the same count, counter-clockwise, raised from `low` to `high`.
pub fn band(outer: &[Vec2], inner: &[Vec2], low: f32, high: f32) -> Mesh {
    assert_eq!(outer.len(), inner.len());
    let n = outer.len() as u32;
    let mut mesh = Mesh::default();
    for (loop_, z) in [(outer, low), (inner, low), (outer, high), (inner, high)] {
        mesh.positions.extend(loop_.iter().map(|p| p.extend(z)));
    }
    let (ol, il, oh, ih) = (0, n, 2 * n, 3 * n);
    for i in 0..n {
        let j = (i + 1) % n;
        mesh.triangles.extend([[ol + i, ol + j, oh + j], [ol + i, oh + j, oh + i]]);
        mesh.triangles.extend([[il + i, ih + j, il + j], [il + i, ih + i, ih + j]]);
        mesh.triangles.extend([[oh + i, oh + j, ih + j], [oh + i, ih + j, ih + i]]);
        mesh.triangles.extend([[ol + i, il + j, ol + j], [ol + i, il + i, il + j]]);
    }
    mesh
}

/// A circle of `n` corners.
pub fn circle(radius: f32, n: usize) -> Vec<Vec2> {
    (0..n)
        .map(|i| {
            let (s, c) = (std::f64::consts::TAU * i as f64 / n as f64).sin_cos();
            Vec2::new((radius as f64 * c) as f32, (radius as f64 * s) as f32)
        })
        .collect()
}

/// The square of half side `half` seen from the middle in the directions of `circle(_, n)`.
pub fn square(half: f32, n: usize) -> Vec<Vec2> {
    circle(1.0, n).into_iter().map(|d| d * (half / d.abs().max_element())).collect()
}

/// A prism over a polygon, counter-clockwise, whose faces are fans of the triangles `fan`.
pub fn prism(corners: &[Vec2], fan: &[[u32; 3]], low: f32, high: f32) -> Mesh {
    let n = corners.len() as u32;
    let mut mesh = Mesh::default();
    for z in [low, high] {
        mesh.positions.extend(corners.iter().map(|p| p.extend(z)));
    }
    for &[a, b, c] in fan {
        mesh.triangles.extend([[n + a, n + b, n + c], [a, c, b]]);
    }
    for i in 0..n {
        let j = (i + 1) % n;
        mesh.triangles.extend([[i, j, n + j], [i, n + j, n + i]]);
    }
    mesh
}

/// The corridor 2×2 without its upper right unit square, `size` times as large: two triangles a wall.
pub fn corridor(size: f32, low: f32, high: f32) -> Mesh {
    let corners = [(0., 0.), (2., 0.), (2., 1.), (1., 1.), (1., 2.), (0., 2.)].map(|(x, y)| Vec2::new(x, y) * size);
    prism(&corners, &[[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]], low, high)
}

/// The mesh turned by `turn` and then moved.
pub fn moved(mesh: &Mesh, turn: DQuat, by: DVec3) -> Mesh {
    mesh.transformed(&DAffine3::from_rotation_translation(turn, by))
}

/// A point carried along with [`moved`].
pub fn carried(point: Vec3, turn: DQuat, by: DVec3) -> Vec3 {
    (turn * point.as_dvec3() + by).as_vec3()
}

/// Any rotation, evenly spread (Shoemake 1992).
pub fn any_turn() -> impl Strategy<Value = DQuat> {
    (0.0..1.0f64, 0.0..std::f64::consts::TAU, 0.0..std::f64::consts::TAU).prop_map(|(u, a, b)| {
        let (r, s) = ((1.0 - u).sqrt(), u.sqrt());
        DQuat::from_xyzw(r * a.sin(), r * a.cos(), s * b.sin(), s * b.cos())
    })
}
