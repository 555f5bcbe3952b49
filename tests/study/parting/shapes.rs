//! Shapes for the parting tests, built without the library's own solids where those have none.

use glam::{Mat3, Quat, Vec3};
use mouldbench::mesh::Mesh;
use std::collections::HashMap;

/// The surface of a set of cubes of edge `edge`, two triangles to each open square, vertices shared. Cubes that touch
/// only along an edge make edges with four triangles.
pub fn cells(size: [usize; 3], edge: f32, full: impl Fn(usize, usize, usize) -> bool) -> Mesh {
    let filled = |i: i32, j: i32, k: i32| {
        let inside = |v: i32, n: usize| v >= 0 && (v as usize) < n;
        inside(i, size[0]) && inside(j, size[1]) && inside(k, size[2]) && full(i as usize, j as usize, k as usize)
    };
    let mut mesh = Mesh::default();
    let mut numbers: HashMap<[i32; 3], u32> = HashMap::new();
    for k in 0..size[2] as i32 {
        for j in 0..size[1] as i32 {
            for i in 0..size[0] as i32 {
                if !filled(i, j, k) {
                    continue;
                }
                for axis in 0..3 {
                    for up in [false, true] {
                        let mut next = [i, j, k];
                        next[axis] += if up { 1 } else { -1 };
                        if filled(next[0], next[1], next[2]) {
                            continue;
                        }
                        let (a, b) = ((axis + 1) % 3, (axis + 2) % 3);
                        let mut corner = |s: i32, t: i32| {
                            let mut p = [i, j, k];
                            p[axis] += up as i32;
                            p[a] += s;
                            p[b] += t;
                            *numbers.entry(p).or_insert_with(|| {
                                mesh.positions.push(Vec3::new(p[0] as f32, p[1] as f32, p[2] as f32) * edge);
                                mesh.positions.len() as u32 - 1
                            })
                        };
                        let (p, q, r, s) = (corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1));
                        if up {
                            mesh.triangles.extend([[p, q, r], [p, r, s]]);
                        } else {
                            mesh.triangles.extend([[p, r, q], [p, s, r]]);
                        }
                    }
                }
            }
        }
    }
    mesh
}

/// A solid of revolution about Z: `profile` lists (radius, z) from the bottom end of the axis to the top end, both of
/// radius 0, with radii above 0 between.
pub fn revolved(profile: &[(f32, f32)], sides: u32) -> Mesh {
    let mut mesh = Mesh::default();
    let rings = profile.len() - 2;
    for &(r, z) in &profile[1..=rings] {
        for i in 0..sides {
            let (s, c) = (std::f64::consts::TAU * i as f64 / sides as f64).sin_cos();
            mesh.positions.push(Vec3::new((r as f64 * c) as f32, (r as f64 * s) as f32, z));
        }
    }
    let bottom = mesh.positions.len() as u32;
    mesh.positions.push(Vec3::new(0.0, 0.0, profile[0].1));
    mesh.positions.push(Vec3::new(0.0, 0.0, profile[rings + 1].1));
    for i in 0..sides {
        let j = (i + 1) % sides;
        mesh.triangles.push([bottom, j, i]);
        for ring in 0..rings as u32 - 1 {
            let (low, high) = (ring * sides, (ring + 1) * sides);
            mesh.triangles.extend([[low + i, low + j, high + j], [low + i, high + j, high + i]]);
        }
        let last = (rings as u32 - 1) * sides;
        mesh.triangles.push([bottom + 1, last + i, last + j]);
    }
    mesh
}

/// A cube of edge `edge` about the origin with a through hole of radius `radius` along Z, `sides` (a multiple of 4)
/// facets round the hole, two triangles a wall and one facet from end to end of the hole.
pub fn drilled_cube(edge: f32, radius: f32, sides: u32) -> Mesh {
    assert!(sides.is_multiple_of(4));
    let h = edge / 2.0;
    let mut mesh = Mesh::default();
    for z in [-h, h] {
        for i in 0..sides {
            let (s, c) = (std::f64::consts::TAU * i as f64 / sides as f64).sin_cos();
            mesh.positions.push(Vec3::new((radius as f64 * c) as f32, (radius as f64 * s) as f32, z));
        }
    }
    let corner = mesh.positions.len() as u32;
    for z in [-h, h] {
        for (x, y) in [(h, h), (-h, h), (-h, -h), (h, -h)] {
            mesh.positions.push(Vec3::new(x, y, z));
        }
    }
    let quarter = sides / 4;
    for q in 0..4 {
        let before = (q + 3) % 4;
        for i in q * quarter..(q + 1) * quarter {
            let j = (i + 1) % sides;
            mesh.triangles.extend([[corner + q, i, j], [corner + 4 + q, sides + j, sides + i]]);
            mesh.triangles.extend([[j, i, sides + i], [j, sides + i, sides + j]]);
        }
        let i = q * quarter;
        mesh.triangles.push([corner + before, i, corner + q]);
        mesh.triangles.push([corner + 4 + before, corner + 4 + q, sides + i]);
        let next = (q + 1) % 4;
        mesh.triangles
            .extend([[corner + q, corner + next, corner + 4 + next], [corner + q, corner + 4 + next, corner + 4 + q]]);
    }
    mesh
}

/// The mesh turned about the origin.
pub fn turned(mesh: &Mesh, by: Quat) -> Mesh {
    Mesh { positions: mesh.positions.iter().map(|&p| by * p).collect(), triangles: mesh.triangles.clone() }
}

/// Some rotation that is in no way special, a different one for each `seed`.
pub fn some_turn(seed: u32) -> Quat {
    let s = seed as f32;
    Quat::from_mat3(&Mat3::from_rotation_z(0.7 + 1.9 * s))
        * Quat::from_axis_angle(Vec3::new(0.3, -0.5, 0.8 + 0.1 * s).normalize(), 1.1 + 0.83 * s)
}

/// Total area, mm².
pub fn area(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len()).map(|t| mesh.double_area_normal(t).length() as f64 / 2.0).sum()
}

/// The enclosed volume, mm³; positive where triangles face outwards.
pub fn volume(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = mesh.corners_f64(t);
            a.dot(b.cross(c)) / 6.0
        })
        .sum()
}

mod checks {
    use super::*;
    use std::f64::consts::PI;

    /// The shapes themselves are closed, face outwards and have the volume they should.
    #[test]
    fn shapes_have_their_volume() {
        let ell = cells([2, 1, 2], 10.0, |i, _, k| i == 0 || k == 0);
        assert!((volume(&ell) - 3000.0).abs() < 1e-6);
        let n = 64;
        let polygon = n as f64 / 2.0 * (2.0 * PI / n as f64).sin();
        let rod = revolved(&[(0.0, 0.0), (5.0, 0.0), (5.0, 20.0), (0.0, 20.0)], n);
        assert!((volume(&rod) - polygon * 25.0 * 20.0).abs() < 1e-3);
        let drilled = drilled_cube(40.0, 10.0, n);
        assert!((volume(&drilled) - (64000.0 - polygon * 100.0 * 40.0)).abs() < 0.1);
        for mesh in [&ell, &rod, &drilled] {
            let mut edges = HashMap::new();
            for t in &mesh.triangles {
                for k in 0..3 {
                    *edges.entry((t[k], t[(k + 1) % 3])).or_insert(0) += 1;
                }
            }
            assert!(edges.iter().all(|(&(a, b), &n)| n == 1 && edges.get(&(b, a)) == Some(&1)));
        }
    }
}
