//! Sections and their hatching against closed forms.

use glam::{DAffine3, DQuat, DVec2, DVec3, Vec3};
use mouldbench::mesh::slice::{Plane, cut};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::sheet::section::{hatched, in_circle};
use std::f64::consts::PI;

fn length(pieces: &[[DVec2; 2]]) -> f64 {
    pieces.iter().map(|[a, b]| a.distance(*b)).fold(0.0, |a, b| a + b)
}

/// Area by the shoelace formula, whichever way each piece runs: from the pieces' own order of in and out along y.
fn area_by_hatching(pieces: &[[DVec2; 2]], without: &[[DVec2; 2]], radius: f64) -> f64 {
    let step = 0.01;
    length(&hatched(pieces, without, step, radius)) * step
}

/// Every end of a piece is the end of another; where the plane meets a corner, several pieces may end in pairs.
fn closes(pieces: &[[DVec2; 2]]) -> bool {
    let ends: Vec<DVec2> = pieces.iter().flatten().copied().collect();
    ends.iter().all(|a| ends.iter().filter(|b| a.distance(**b) < 1e-9).count() % 2 == 0)
}

/// A frame turned and far away, and `mesh` with it.
fn turned(mesh: &Mesh, foot: DVec3, axis: DVec3) -> Vec<(Mesh, Plane)> {
    [DQuat::IDENTITY, DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3)]
        .map(|turn| {
            let away = DAffine3::from_rotation_translation(turn, DVec3::new(100.0, -40.0, 60.0));
            let plane = Plane::along(away.transform_point3(foot), turn * axis).expect("a plane");
            (mesh.transformed(&away), plane)
        })
        .to_vec()
}

#[test]
fn a_ball_is_cut_in_a_circle() {
    // A cut 3 mm off the middle of a ball of 5 mm has a radius of 4 mm.
    let ball = solids::ball(Vec3::ZERO, 5.0, 5);
    for axis in [DVec3::X, DVec3::Y, DVec3::new(0.2, 0.5, -0.9)] {
        let probe = Plane::along(DVec3::ZERO, axis).expect("a plane");
        let off = probe.right.cross(probe.up) * 3.0;
        let plane = Plane { origin: off, ..probe };
        let pieces = cut(&ball, &plane);
        assert!(closes(&pieces));
        assert!(pieces.iter().flatten().all(|p| (p.length() - 4.0).abs() < 0.02), "on the circle");
        assert!((length(&pieces) - 8.0 * PI).abs() < 0.05, "{}", length(&pieces));
        assert!((area_by_hatching(&pieces, &[], 6.0) - 16.0 * PI).abs() < 0.1);
        // Hatching ends at the circle that it is drawn in.
        let inner = area_by_hatching(&pieces, &[], 2.0);
        assert!((inner - 4.0 * PI).abs() < 0.05, "{inner}");
    }
    assert!(cut(&ball, &Plane { origin: DVec3::Z * 9.0, right: DVec3::X, up: DVec3::Y }).is_empty());
}

#[test]
fn the_insert_is_left_bare_and_its_pocket_stands_out() {
    // A block of 20 × 20 × 10 with a pin of Ø 4, 6 of it in the block and 2 in the pocket above, in coarse CAD walls.
    let block = solids::cuboid(Vec3::new(-10.0, -10.0, -10.0), Vec3::new(10.0, 10.0, 0.0));
    let pin = solids::cylinder(Vec3::new(0.0, 0.0, -6.0), Vec3::new(0.0, 0.0, 2.0), 2.0, 48);
    for ((block, plane), (pin, _)) in
        turned(&block, DVec3::ZERO, DVec3::Z).into_iter().zip(turned(&pin, DVec3::ZERO, DVec3::Z))
    {
        let (resin, own) = (cut(&block, &plane), cut(&pin, &plane));
        assert!(closes(&resin) && closes(&own));
        // A slanted plane through the block is as long as the block is wide there, so only heights are told.
        let heights = own.iter().flatten().map(|p| p.y).fold((f64::MAX, f64::MIN), |(l, h), y| (l.min(y), h.max(y)));
        assert!((heights.0 + 6.0).abs() < 1e-4 && (heights.1 - 2.0).abs() < 1e-4, "{heights:?}");
        let (whole, bare) = (area_by_hatching(&resin, &[], 60.0), area_by_hatching(&resin, &own, 60.0));
        // A 48-gon of radius 2 is between 2·2·cos(π/48) and 4 wide.
        assert!((whole - bare - 6.0 * 4.0).abs() < 0.15, "{}", whole - bare);
    }
}

#[test]
fn pieces_are_held_in_the_circle() {
    let piece = in_circle([DVec2::new(-10.0, 3.0), DVec2::new(10.0, 3.0)], 5.0).expect("a chord");
    assert!(piece[0].distance(DVec2::new(-4.0, 3.0)) < 1e-12 && piece[1].distance(DVec2::new(4.0, 3.0)) < 1e-12);
    assert!(in_circle([DVec2::new(-10.0, 6.0), DVec2::new(10.0, 6.0)], 5.0).is_none());
    assert!(in_circle([DVec2::ONE, DVec2::ONE], 5.0).is_none());
    assert!(Plane::along(DVec3::ZERO, DVec3::ZERO).is_none());
    assert!(Plane::along(DVec3::NAN, DVec3::X).is_none());
}
