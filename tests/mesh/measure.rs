//! Volume, area, centroid and normals against closed forms.

use super::awkward::{far_away, turn};
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::measure::{Measures, vertex_normals};
use mouldbench::mesh::solids::{ball, cuboid, cylinder, frustum, torus};
use mouldbench::mesh::topology::Topology;
use std::f64::consts::PI;

/// Volume of an n-sided figure of revolution over the true one: (n/2π)·sin(2π/n).
fn sides_ratio(n: f64) -> f64 {
    n / (2.0 * PI) * (2.0 * PI / n).sin()
}

fn close(value: f64, expected: f64, relative: f64) {
    assert!((value / expected - 1.0).abs() <= relative, "{value} is not {expected} within {relative:e}");
}

/// Positions are stored in single precision, which moves each vertex by up to 6e-8 of its distance from the origin.
const STORED: f64 = 3e-7;

#[test]
fn balls_have_the_volume_and_area_of_their_level() {
    // Deficits of an icosahedron subdivided by midpoints and projected, per cent, computed apart in double precision.
    let levels = [
        (0, 39.45386, 23.80822),
        (1, 12.65468, 7.165468),
        (2, 3.383925, 1.882182),
        (3, 0.8606157, 0.4764930),
        (4, 0.2160828, 0.1194994),
        (5, 0.05407899, 0.02989842),
    ];
    for (level, volume_deficit, area_deficit) in levels {
        let mesh = ball(Vec3::new(7.0, -3.0, 11.0), 10.0, level);
        let m = Measures::of(&mesh);
        close(m.volume_mm3, 4.0 / 3.0 * PI * 1000.0 * (1.0 - volume_deficit / 100.0), 5e-7);
        close(m.area_mm2, 4.0 * PI * 100.0 * (1.0 - area_deficit / 100.0), 5e-7);
        assert!(m.centroid_mm.distance(DVec3::new(7.0, -3.0, 11.0)) < 1e-5);
    }
}

#[test]
fn bodies_of_revolution_have_the_exact_polygon_ratio() {
    // Every body of revolution meshed with n half-planes has (n/2π)·sin(2π/n) of the volume of its polygonal profile.
    for n in [8u32, 24, 97] {
        let m = Measures::of(&cylinder(Vec3::new(1.0, 2.0, 3.0), Vec3::new(1.0, 2.0, 43.0), 10.0, n));
        close(m.volume_mm3, PI * 100.0 * 40.0 * sides_ratio(n.into()), STORED);
        let m = Measures::of(&frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 20.0, 10.0, n));
        close(m.volume_mm3, 21991.14858 * sides_ratio(n.into()), STORED);
        close(m.centroid_mm.z, 11.78571429, STORED);
    }
    for (ring, tube, deficit) in [(24u32, 12u32, 5.5941), (48, 24, 1.4205), (96, 48, 0.35651)] {
        let m = Measures::of(&torus(30.0, 10.0, ring, tube));
        // Pappus: 2π²Rr², times the ratio of the tube's polygon and of the ring.
        close(m.volume_mm3, 59217.62641 * sides_ratio(ring.into()) * sides_ratio(tube.into()), STORED);
        close(m.volume_mm3, 59217.62641 * (1.0 - deficit / 100.0), 1e-5);
    }
}

/// Convex hull of few points by brute force: every plane through three points that has all others on one side.
fn hull(points: &[DVec3]) -> Mesh {
    let centre = points.iter().sum::<DVec3>() / points.len() as f64;
    let mut mesh = Mesh { positions: points.iter().map(|p| p.as_vec3()).collect(), triangles: Vec::new() };
    let mut faces: Vec<Vec<usize>> = Vec::new();
    for i in 0..points.len() {
        for j in i + 1..points.len() {
            for k in j + 1..points.len() {
                let n = (points[j] - points[i]).cross(points[k] - points[i]);
                let d: Vec<f64> = points.iter().map(|p| (*p - points[i]).dot(n)).collect();
                if d.iter().all(|&d| d < 1e-9) || d.iter().all(|&d| d > -1e-9) {
                    let face: Vec<usize> = (0..points.len()).filter(|&v| d[v].abs() < 1e-9).collect();
                    if !faces.contains(&face) {
                        faces.push(face);
                    }
                }
            }
        }
    }
    for face in faces {
        let middle = face.iter().map(|&v| points[v]).sum::<DVec3>() / face.len() as f64;
        let out = (middle - centre).normalize();
        let first = (points[face[0]] - middle).normalize();
        let mut ring = face.clone();
        ring.sort_by(|&a, &b| {
            let angle = |v: usize| {
                let d = points[v] - middle;
                out.cross(first).dot(d).atan2(first.dot(d))
            };
            angle(a).total_cmp(&angle(b))
        });
        for i in 1..ring.len() - 1 {
            mesh.triangles.push([ring[0] as u32, ring[i] as u32, ring[i + 1] as u32]);
        }
    }
    mesh
}

#[test]
fn platonic_solids() {
    // Coxeter, Regular Polytopes, table I: volume and area for edge 1, and edge of the coordinates used here.
    let g = (1.0 + 5f64.sqrt()) / 2.0;
    let signs = [-1.0, 1.0];
    let cube: Vec<DVec3> = (0..8).map(|i| DVec3::new(signs[i & 1], signs[i >> 1 & 1], signs[i >> 2])).collect();
    let tetra: Vec<DVec3> = cube.iter().copied().filter(|p| p.x * p.y * p.z > 0.0).collect();
    let octa: Vec<DVec3> = DVec3::AXES.iter().flat_map(|&a| [a, -a]).collect();
    let cyclic = |a: f64, b: f64| {
        let mut points = Vec::new();
        for s in signs {
            for t in signs {
                let (a, b) = (a * s, b * t);
                points.extend([DVec3::new(0.0, a, b), DVec3::new(a, b, 0.0), DVec3::new(b, 0.0, a)]);
            }
        }
        points
    };
    let icosa = cyclic(1.0, g);
    let mut dodeca = cube.clone();
    dodeca.extend(cyclic(1.0 / g, g));
    for (points, edge, volume, area, faces) in [
        (tetra, 8f64.sqrt(), 0.1178511302, 1.732050808, 4),
        (cube, 2.0, 1.0, 6.0, 12),
        (octa, 2f64.sqrt(), 0.4714045208, 3.464101615, 8),
        (dodeca, 2.0 / g, 7.663118961, 20.64572881, 36),
        (icosa, 2.0, 2.181694991, 8.660254038, 20),
    ] {
        let mesh = hull(&points);
        assert_eq!(mesh.triangles.len(), faces);
        assert!(Topology::of(&mesh).is_closed());
        let m = Measures::of(&mesh);
        close(m.volume_mm3, volume * edge.powi(3), STORED);
        close(m.area_mm2, area * edge * edge, STORED);
    }
}

#[test]
fn corner_tetrahedron() {
    // Mirtich (1996): volume 1/6, centroid 1/4, area (3 + √3)/2. All exact in single precision.
    let mesh = Mesh {
        positions: vec![Vec3::ZERO, Vec3::X, Vec3::Y, Vec3::Z],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
    };
    let m = Measures::of(&mesh);
    close(m.volume_mm3, 1.0 / 6.0, 1e-14);
    close(m.area_mm2, 2.366025403784439, 1e-14);
    assert!(m.centroid_mm.distance(DVec3::splat(0.25)) < 1e-14);
}

#[test]
fn moving_changes_nothing_and_turning_inside_out_changes_the_sign() {
    // Moved by whole numbers, a cube keeps exact coordinates.
    let here = Measures::of(&cuboid(Vec3::ZERO, Vec3::new(3.0, 5.0, 7.0)));
    let there = Measures::of(&cuboid(Vec3::new(1e5, -2e5, 5e4), Vec3::new(1e5 + 3.0, 5.0 - 2e5, 5e4 + 7.0)));
    close(there.volume_mm3, here.volume_mm3, 1e-14);
    close(there.area_mm2, 142.0, 1e-14);
    assert!(there.centroid_mm.distance(DVec3::new(1e5 + 1.5, 2.5 - 2e5, 5e4 + 3.5)) < 1e-9);
    // Turned and far, coordinates are rounded to 1/128 mm.
    let ball = ball(Vec3::ZERO, 50.0, 3);
    close(Measures::of(&ball.transformed(&turn(1))).volume_mm3, Measures::of(&ball).volume_mm3, 1e-6);
    close(Measures::of(&ball.transformed(&far_away(1))).volume_mm3, Measures::of(&ball).volume_mm3, 1e-4);
    let mut flipped = ball.clone();
    flipped.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    let (a, b) = (Measures::of(&ball), Measures::of(&flipped));
    close(b.volume_mm3, -a.volume_mm3, 1e-13);
    close(b.area_mm2, a.area_mm2, 1e-13);
}

#[test]
fn bodies_are_measured_apart() {
    let mut mesh = cuboid(Vec3::ZERO, Vec3::new(2.0, 3.0, 4.0));
    mesh.append(&cuboid(Vec3::splat(1e4), Vec3::splat(1e4 + 5.0)));
    let topology = Topology::of(&mesh);
    let parts = Measures::of_groups(&mesh, &topology.body_of_triangle, topology.bodies);
    assert_eq!(parts.len(), 2);
    close(parts[0].volume_mm3, 24.0, 1e-14);
    close(parts[1].volume_mm3, 125.0, 1e-14);
    assert!(parts[1].centroid_mm.distance(DVec3::splat(1e4 + 2.5)) < 1e-9);
}

#[test]
fn an_empty_mesh_measures_nothing() {
    assert_eq!(Measures::of(&Mesh::default()), Default::default());
}

#[test]
fn vertex_normals_do_not_depend_on_how_walls_are_cut() {
    // At a cube's corner the three walls count alike however many triangles they bring.
    let mesh = cuboid(Vec3::splat(-1.0), Vec3::splat(1.0));
    for (p, n) in mesh.positions.iter().zip(vertex_normals(&mesh)) {
        assert!(n.distance(p.normalize()) < 1e-6, "{p} {n}");
    }
    let ball = ball(Vec3::ZERO, 10.0, 4);
    for (p, n) in ball.positions.iter().zip(vertex_normals(&ball)) {
        assert!(n.dot(p.normalize()) > 0.9999);
    }
}
