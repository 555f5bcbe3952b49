//! Trapped air against volumes worked by hand.

use super::shapes::*;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::study::air::{HighPoint, high_points, walk};
use std::f64::consts::PI;

fn points(mesh: &Mesh, up: Vec3, limit: f64) -> Vec<HighPoint> {
    high_points::high_points(&air(mesh, up, 0.0).level, limit)
}

#[track_caller]
fn close(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs().max(1e-9), "{a} is not {b}");
}

#[test]
fn two_towers_on_a_plate_by_hand() {
    // Plate 14x6x2; towers 4x6 to heights 8 and 12: sills at the plate's top, z = 2.
    let found = points(&two_towers(), Vec3::Z, 1.0);
    assert_eq!(found.len(), 2);
    close(found[0].height, 12.0, 1e-12);
    close(found[1].height, 8.0, 1e-12);
    close(found[0].pocket_mm3, 4.0 * 6.0 * 10.0, 1e-9);
    close(found[1].pocket_mm3, 4.0 * 6.0 * 6.0, 1e-9);
    for p in &found {
        close(p.sill.expect("a sill"), 2.0, 1e-12);
    }
    assert!(found[0].position.distance(Vec3::new(12.0, 3.0, 12.0)) < 1e-4, "{}", found[0].position);
    assert!(found[1].position.distance(Vec3::new(2.0, 3.0, 8.0)) < 1e-4, "{}", found[1].position);
    // The lower tower does not count once the limit is above its 144 mm³; then the whole body is one pocket.
    let one = points(&two_towers(), Vec3::Z, 145.0);
    assert_eq!(one.len(), 1);
    assert_eq!(one[0].sill, None);
    close(one[0].pocket_mm3, 14.0 * 6.0 * 2.0 + 240.0 + 144.0, 1e-9);
}

#[test]
fn a_vent_on_the_lower_tower_empties_only_that_one() {
    let air = air(&two_towers(), Vec3::Z, 0.0);
    let low = vent(4, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0);
    let trapped = air.trapped(&[low]);
    close(trapped.total_mm3, 240.0, 1e-9);
    let found = high_points::high_points(&air.level, 1.0);
    let (served, elsewhere) = high_points::served(&air.level, &found, &trapped, 3000.0);
    assert_eq!(served[0].by, None);
    assert_eq!(served[1].by, Some(low.of));
    close(served[0].trapped_mm3, 240.0, 1e-9);
    assert_eq!(served[1].trapped_mm3, 0.0);
    assert_eq!(elsewhere, 0.0);
    // Under the sill, in the plate's side: both towers and the plate above its rim stay, listed at the higher one.
    let side = vent(5, Vec3::new(0.0, 3.0, 1.0), -Vec3::X, 1.0);
    let trapped = air.trapped(&[side]);
    close(trapped.total_mm3, 240.0 + 144.0 + 14.0 * 6.0 * 0.5, 1e-6);
    let (served, _) = high_points::served(&air.level, &found, &trapped, 3000.0);
    close(served[0].trapped_mm3, trapped.total_mm3, 1e-12);
    assert_eq!(served[1].trapped_mm3, 0.0);
    close(served[0].largest_mm3, trapped.total_mm3, 1e-12);
    // In the higher tower's side, half a millimetre under its top: a slice of 4 × 6 stays there and all of the lower
    // tower; where only one high point counts both are listed at it, and its bubble is that of the larger.
    let high = vent(6, Vec3::new(14.0, 3.0, 11.0), Vec3::X, 1.0);
    let trapped = air.trapped(&[high]);
    let one = high_points::high_points(&air.level, 145.0);
    let (served, _) = high_points::served(&air.level, &one, &trapped, 3000.0);
    assert_eq!(served.len(), 1);
    close(served[0].trapped_mm3, 144.0 + 4.0 * 6.0 * 0.5, 1e-6);
    close(served[0].largest_mm3, 144.0, 1e-6);
    close(served[0].bubble_mm, mouldbench::study::air::bubble::bubble_mm(144.0, 3000.0), 1e-9);
}

#[test]
fn a_vent_three_millimetres_below_the_peak_leaves_the_cap_above_its_rim() {
    // A cone of 48 sides, 20 tall, radius 10: above height s what stays is the cone's tip, (h−s)³/h³ of it.
    let mesh = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 20.0), 10.0, 0.0, 48);
    let mesh = mouldbench_weld(&mesh);
    let air = air(&mesh, Vec3::Z, 0.0);
    let polygon = 0.5 * 48.0 * (2.0 * PI / 48.0).sin() * 100.0;
    let whole = polygon * 20.0 / 3.0;
    close(air.trapped(&[]).total_mm3, whole, 1e-6);
    // Set on an edge of the cone, where the way up is the edge itself: the rim lies radius·cos(half angle) higher.
    let (d, along) = (3.0, DVec3::new(10.0, 0.0, -20.0).normalize());
    let edge = first_edge(&mesh);
    let at = Vec3::new(0.0, 0.0, 20.0).lerp(edge, (d / 20.0) as f32);
    let mouth = vent(1, at, Vec3::new(edge.x, edge.y, 5.0).normalize(), 1.0);
    let left = 3.0 - 0.5 * -along.z;
    let expected = whole * (left / 20.0f64).powi(3);
    close(air.trapped(&[mouth]).total_mm3, expected, 1e-4);
    // A vent right at the peak leaves nothing.
    assert_eq!(air.trapped(&[vent(1, Vec3::new(0.0, 0.0, 20.0), Vec3::Z, 1.0)]).total_mm3, 0.0);
}

fn first_edge(mesh: &Mesh) -> Vec3 {
    *mesh.positions.iter().find(|p| p.z == 0.0 && p.length() > 1.0).expect("a foot")
}

/// Welds equal positions: the tip of a cone is one vertex.
fn mouldbench_weld(mesh: &Mesh) -> Mesh {
    let mut numbers = std::collections::HashMap::new();
    let mut welded = Mesh::default();
    for t in &mesh.triangles {
        let ids = t.map(|v| {
            let p = mesh.positions[v as usize];
            *numbers.entry(p.to_array().map(|x| (x + 0.0).to_bits())).or_insert_with(|| {
                welded.positions.push(p);
                welded.positions.len() as u32 - 1
            })
        });
        if ids[0] != ids[1] && ids[1] != ids[2] && ids[2] != ids[0] {
            welded.triangles.push(ids);
        }
    }
    welded
}

#[test]
fn a_spherical_cap() {
    // Cap of height h on a ball: πh²(3R−h)/3.
    let mesh = solids::ball(Vec3::ZERO, 10.0, 5);
    let air = air(&mesh, Vec3::Z, 0.0);
    let inside = |t: usize| mesh.corners_f64(t)[0].dot(mesh.unit_normal(t).as_dvec3());
    let depth = 10.0 - (0..mesh.triangles.len()).map(inside).fold(10.0, f64::min);
    assert!(depth < 0.01);
    for h in [1.0, 3.0, 10.0, 17.0] {
        let exact = PI * h * h * (30.0 - h) / 3.0;
        // The mesh lies inside the ball by at most its deepest facet, over the cap's curved face of 2πRh.
        let least = 2.0 * PI * 10.0 * h * depth;
        let found = air.level.volume_above(0, 10.0 - h);
        assert!(found < exact && found > exact - least, "{found} for {exact}, at most {least} less");
    }
    assert_eq!(points(&mesh, Vec3::new(0.3, -0.5, 0.7), 1.0).len(), 1);
}

#[test]
fn a_torus_standing_or_lying_is_one_high_point() {
    // Standing: one maximum; its two upper saddles close a loop, and loops are not in a join tree. Lying: a whole
    // circle of maxima is one component.
    let mesh = solids::torus(30.0, 10.0, 48, 24);
    for up in [Vec3::X, Vec3::Z, -Vec3::Z, Vec3::new(1.0, 0.0, 1.0), Vec3::new(0.2, 0.9, 0.1)] {
        let found = points(&mesh, up, 0.01);
        assert_eq!(found.len(), 1, "up {up}");
        assert_eq!(found[0].sill, None);
    }
    let lying = points(&mesh, Vec3::Z, 0.01)[0];
    assert!((lying.position.z - 10.0).abs() < 1e-4 && (lying.position.truncate().length() - 30.0).abs() < 0.1);
}

#[test]
fn u_and_arch_count_their_high_points() {
    assert_eq!(points(&upright_u(), Vec3::Z, 1.0).len(), 2);
    assert_eq!(points(&inverted_u(), Vec3::Z, 1.0).len(), 1);
    assert_eq!(points(&upright_u(), -Vec3::Z, 1.0).len(), 1);
    // A U filled from one limb's top: the gate is no mouth, one vent on the other limb leaves this limb's air.
    let air = air(&upright_u(), Vec3::Z, 0.0);
    let other = vent(1, Vec3::new(14.0, 2.0, 16.0), Vec3::Z, 1.0);
    close(air.trapped(&[other]).total_mm3, 4.0 * 4.0 * 12.0, 1e-9);
    let both = [other, vent(2, Vec3::new(2.0, 2.0, 16.0), Vec3::Z, 1.0)];
    assert_eq!(air.trapped(&both).total_mm3, 0.0);
    assert_eq!(air.needless(&both, 1.0), [false, false]);
    let three = [both[0], both[1], vent(3, Vec3::new(15.0, 3.0, 16.0), Vec3::Z, 1.0)];
    // Either of the two on one limb can go, not both.
    assert_eq!(air.needless(&three, 1.0), [false, false, true]);
}

#[test]
fn touching_along_an_edge_is_no_way_for_air() {
    let found = points(&touching(), Vec3::Z, 1.0);
    let told: Vec<(f64, Option<f64>, f64)> = found.iter().map(|p| (p.height, p.sill, p.pocket_mm3.round())).collect();
    // The third block is a body of its own: no sill.
    assert_eq!(told, [(14.0, None, 80.0), (12.0, Some(0.0), 432.0), (10.0, Some(0.0), 360.0)]);
}

#[test]
fn the_top_of_a_hollow_is_no_high_point() {
    for (mesh, volume) in
        [(blind_hole(), 12.0f64.powi(3) - 4.0 * 4.0 * 8.0), (hollow(), 12.0f64.powi(3) - 4.0 * 6.0 * 6.0)]
    {
        let found = points(&mesh, Vec3::Z, 1.0);
        assert_eq!(found.len(), 1);
        close(found[0].pocket_mm3, volume, 1e-9);
        let top = vent(1, Vec3::new(1.0, 11.0, 12.0), Vec3::Z, 1.0);
        assert_eq!(air(&mesh, Vec3::Z, 0.0).trapped(&[top]).total_mm3, 0.0);
    }
    // The hole turned up is a recess in the top: the wall round it is one level ring.
    let found = points(&blind_hole(), -Vec3::Z, 1.0);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].position.z, 0.0);
    let p = found[0].position;
    assert!(!(p.x > 4.0 && p.x < 8.0 && p.y > 4.0 && p.y < 8.0), "{p} must lie on the ring, not over the hole");
}

#[test]
fn a_level_plate_that_leans_by_hand() {
    // 100 x 60 x 2 with a small vent in the middle of its top: leaning by a about its short side, the half that rises
    // holds a wedge of 60·½·50²·tan a, cut where it would go deeper than the plate.
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 2.0));
    let mouth = vent(1, Vec3::new(50.0, 30.0, 2.0), Vec3::Z, 0.01);
    assert!(air(&mesh, Vec3::Z, 0.0).trapped(&[mouth]).total_mm3 < 1e-6);
    for (lean, stated) in [(1.0f64, 1300.0), (2.0, 2600.0)] {
        let air = air(&mesh, Vec3::Z, lean);
        let along = 0.5 * 60.0 * 50.0 * 50.0 * lean.to_radians().tan();
        let worst = air.worst_mm3(&[mouth]);
        // Leaning along the long side is one of the directions looked at.
        let there = walk::trapped_mm3(&air.leaning[0], &[mouth]);
        close(there, along, 1e-3);
        assert!(worst >= there && worst < 1.2 * along, "{worst}");
        close(there, stated, 0.02);
    }
}

#[test]
fn far_away_and_turned_the_answers_stay() {
    let mesh = two_towers();
    let turn = DQuat::from_axis_angle(DVec3::new(1.0, 2.0, -0.5).normalize(), 1.1);
    let up = (turn * DVec3::Z).as_vec3();
    let found = points(&turned(&mesh, turn), up, 1.0);
    assert_eq!(found.len(), 2);
    close(found[0].pocket_mm3, 240.0, 1e-4);
    close(found[1].pocket_mm3, 144.0, 1e-4);
    // At 1e5 mm single precision steps by 1/128 mm: even numbers of millimetres are kept exactly.
    let mut far = mesh.clone();
    for p in &mut far.positions {
        *p += Vec3::splat(1e5);
    }
    let found = points(&far, Vec3::Z, 1.0);
    assert_eq!(found.len(), 2);
    close(found[0].pocket_mm3, 240.0, 1e-9);
    close(found[0].sill.expect("a sill"), 1e5 + 2.0, 1e-12);
    // Far away and aslant the level tops are no longer level to a micrometre, yet they are still two.
    let mut far = turned(&mesh, turn);
    for p in &mut far.positions {
        *p += Vec3::splat(1e5);
    }
    let found = points(&far, up, 1.0);
    assert_eq!(found.len(), 2);
    close(found[0].pocket_mm3, 240.0, 5e-3);
}
