//! Winding numbers and signed distances.

use super::awkward::{Dice, far_away, turn};
use glam::Vec3;
use mouldbench::mesh::Mesh;
use mouldbench::mesh::signed::Pseudonormals;
use mouldbench::mesh::solids::{ball, cuboid, cylinder, torus};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::winding::Winding;

#[test]
fn closed_bodies_are_one_inside_and_nothing_outside() {
    let cube_distance: fn(Vec3) -> f32 = |p| p.abs().max_element() - 10.0;
    let ball_distance: fn(Vec3) -> f32 = |p| p.length() - 10.0;
    let torus_distance: fn(Vec3) -> f32 = |p| (p.truncate().length() - 30.0).hypot(p.z) - 10.0;
    let cases = [
        ("cube", cuboid(Vec3::splat(-10.0), Vec3::splat(10.0)), cube_distance),
        ("ball", ball(Vec3::ZERO, 10.0, 4), ball_distance),
        ("torus", torus(30.0, 10.0, 96, 48), torus_distance),
    ];
    for (name, mesh, distance) in cases {
        let winding = Winding::of(&mesh);
        let mut dice = Dice(9);
        let (mut inside, mut outside) = (0, 0);
        for _ in 0..2000 {
            let p = dice.point(mesh.bounds().size().max_element() * 0.7);
            let d = distance(p);
            if d.abs() < 0.2 {
                continue; // the polygon lies up to here inside the true shape
            }
            let expected = if d < 0.0 { 1.0 } else { 0.0 };
            assert!((winding.at(p) - expected).abs() < 0.02, "{name} {p}: {} for {expected}", winding.at(p));
            assert_eq!(winding.is_inside(p), d < 0.0);
            if d < 0.0 { inside += 1 } else { outside += 1 }
        }
        assert!(inside > 50 && outside > 50, "{name}: {inside} {outside}");
    }
}

#[test]
fn overlaps_count_twice_and_flipped_bodies_negative() {
    let mut mesh = ball(Vec3::ZERO, 10.0, 3);
    mesh.append(&cuboid(Vec3::splat(-3.0), Vec3::splat(30.0)));
    let mut flipped = ball(Vec3::new(100.0, 0.0, 0.0), 10.0, 3);
    flipped.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    mesh.append(&flipped);
    let winding = Winding::of(&mesh.transformed(&turn(5)));
    let at = |p: Vec3| winding.at(turn(5).transform_point3(p.as_dvec3()).as_vec3());
    for (p, expected) in [
        (Vec3::ZERO, 2.0),
        (Vec3::splat(-5.0), 1.0),
        (Vec3::splat(20.0), 1.0),
        (Vec3::splat(-12.0), 0.0),
        (Vec3::new(101.0, 2.0, 1.0), -1.0),
    ] {
        assert!((at(p) - expected).abs() < 0.02, "{p}: {}", at(p));
    }
}

#[test]
fn an_open_disc_is_seen_under_its_solid_angle() {
    // A disc of radius R seen from height h on its axis: Ω = 2π(1 − h/√(h² + R²)), so the winding number is half of the
    // bracket, positive behind the disc. A 720-gon has (n/2π)·sin(2π/n) of the area, a difference far below 1e-4.
    let n = 720;
    let mut mesh = Mesh { positions: vec![Vec3::ZERO], triangles: Vec::new() };
    for i in 0..n {
        let (s, c) = (std::f32::consts::TAU * i as f32 / n as f32).sin_cos();
        mesh.positions.push(Vec3::new(10.0 * c, 10.0 * s, 0.0));
        mesh.triangles.push([0, i + 1, (i + 1) % n + 1]);
    }
    let winding = Winding::of(&mesh);
    for h in [0.5f32, 2.0, 10.0, 40.0, 300.0] {
        let expected = 0.5 * (1.0 - f64::from(h) / (f64::from(h).powi(2) + 100.0).sqrt());
        assert!((winding.at(Vec3::new(0.0, 0.0, -h)) - expected).abs() < 2e-3, "{h}");
        assert!((winding.at(Vec3::new(0.0, 0.0, h)) + expected).abs() < 2e-3, "{h}");
    }
}

#[test]
fn a_body_with_a_hole_is_still_mostly_filled() {
    let mut mesh = ball(Vec3::ZERO, 10.0, 4);
    mesh.triangles.retain(|t| t.iter().any(|&v| mesh.positions[v as usize].z < 8.0));
    assert!(Topology::of(&mesh).open_edges > 0);
    let winding = Winding::of(&mesh);
    for (p, inside) in [(Vec3::ZERO, true), (Vec3::new(0.0, 0.0, -9.0), true), (Vec3::new(0.0, 0.0, 12.0), false)] {
        assert_eq!(winding.is_inside(p), inside, "{p}: {}", winding.at(p));
    }
    assert_eq!(Winding::of(&Mesh::default()).at(Vec3::ZERO), 0.0);
}

#[test]
fn signed_distance_is_that_of_the_shape_at_faces_edges_and_corners() {
    // A box has a closed form everywhere: the points near its edges and corners are where a plain face normal fails.
    let half = Vec3::new(10.0, 4.0, 7.0);
    let exact = |p: Vec3| {
        let q = p.abs() - half;
        q.max(Vec3::ZERO).length() + q.max_element().min(0.0)
    };
    let mesh = cuboid(-half, half);
    let (topology, tree, normals) = (Topology::of(&mesh), Tree::of(&mesh), Pseudonormals::of(&mesh));
    let mut dice = Dice(77);
    for i in 0..3000 {
        let p = if i % 3 == 0 { dice.point(14.0) } else { half * dice.point(1.0).signum() + dice.point(0.5) };
        let d = normals.signed_distance(&mesh, &topology, &tree, p);
        assert!((d - exact(p)).abs() < 2e-5, "{p}: {d} {}", exact(p));
    }
    assert_eq!(
        normals.signed_distance(&Mesh::default(), &Topology::default(), &Tree::of(&Mesh::default()), Vec3::ZERO),
        f32::INFINITY
    );
}

#[test]
fn signed_distance_and_winding_agree_on_sharp_and_far_shapes() {
    // Needle-sharp edges, where a face normal alone gives the wrong side.
    let spike = mouldbench::mesh::solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 40.0), 6.0, 0.05, 7);
    for mesh in
        [spike, cylinder(Vec3::ZERO, Vec3::X * 9.0, 4.0, 32), ball(Vec3::ZERO, 10.0, 2).transformed(&far_away(1))]
    {
        let (topology, tree, normals, winding) =
            (Topology::of(&mesh), Tree::of(&mesh), Pseudonormals::of(&mesh), Winding::of(&mesh));
        let mut dice = Dice(6);
        for _ in 0..1500 {
            let p = mesh.bounds().centre() + dice.point(mesh.bounds().diagonal() * 0.6);
            let d = normals.signed_distance(&mesh, &topology, &tree, p);
            if d.abs() > 1e-2 {
                assert_eq!(d < 0.0, winding.is_inside(p), "{p}: {d} {}", winding.at(p));
            }
        }
    }
}

#[test]
fn what_is_said_of_a_whole_ball_holds_at_every_point_of_it() {
    let mut open = cuboid(Vec3::splat(-10.0), Vec3::new(10.0, 6.0, 8.0));
    open.triangles.remove(3);
    let mut holed = ball(Vec3::ZERO, 12.0, 3);
    holed.triangles.retain(|t| t.iter().any(|&v| holed.positions[v as usize].z < 7.0));
    for mesh in [open, holed, cylinder(Vec3::ZERO, Vec3::Z * 20.0, 9.0, 24)] {
        let winding = Winding::of(&mesh);
        let mut dice = Dice(15);
        let mut told = [0, 0];
        for _ in 0..900 {
            let centre = mesh.bounds().centre() + dice.point(11.0);
            let radius = 0.2 + 3.0 * dice.roll() as f32;
            let Some(inside) = winding.all_inside(centre, radius) else { continue };
            told[usize::from(inside)] += 1;
            for _ in 0..40 {
                let p = centre + dice.direction().normalize() * radius * (dice.roll() as f32).cbrt();
                assert_eq!(winding.is_inside(p), inside, "{p} in {centre} ± {radius}: {}", winding.at(p));
            }
        }
        assert!(told[0] > 30 && told[1] > 30, "{told:?}");
    }
}
