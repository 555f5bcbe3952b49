//! Leaning: how many directions stand for every lean, and what they must not miss.

use super::shapes::*;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::closed_surface::ClosedSurface;
use mouldbench::solve::run::Run;
use mouldbench::study::air::{AirTree, LEAN_DIRECTIONS, Mouth, lean_directions, walk};
use std::sync::Arc;

/// The most that stays over `count` leaning directions.
fn worst(mesh: &Mesh, mouths: &[Mouth], lean_deg: f64, count: usize) -> f64 {
    let tree = Arc::new(mouldbench::mesh::tree::Tree::of(mesh));
    let surface = Arc::new(ClosedSurface::new(Arc::new(mesh.clone()), tree, &Run::new()).expect("closed"));
    lean_directions(Vec3::Z, lean_deg, count)
        .into_iter()
        .map(|up| walk::trapped_mm3(&AirTree::exact(&surface, up, &Run::new()).expect("outward"), mouths))
        .fold(0.0, f64::max)
}

/// A long plate turned in its plane so that its length lies midway between two of `count` directions.
fn plate_midway(count: usize) -> Mesh {
    let mesh = solids::cuboid(Vec3::new(-60.0, -4.0, 0.0), Vec3::new(60.0, 4.0, 5.0));
    turned(&mesh, DQuat::from_rotation_z(std::f64::consts::PI / count as f64))
}

#[test]
fn directions_lean_by_the_angle_asked_for_to_sides_spread_evenly() {
    let up = Vec3::new(0.3, -0.8, 0.4).normalize();
    let all = lean_directions(up, 2.0, LEAN_DIRECTIONS);
    assert_eq!(all.len(), 8);
    for d in &all {
        assert!((d.dot(up.as_dvec3()).acos().to_degrees() - 2.0).abs() < 1e-4);
    }
    let mean = all.iter().sum::<DVec3>() / 8.0;
    assert!((mean.normalize() - up.as_dvec3()).length() < 1e-6);
    for i in 0..8 {
        let step = all[i].distance(all[(i + 1) % 8]);
        assert!((step - 2.0 * 2f64.to_radians().sin() * (std::f64::consts::PI / 8.0).sin()).abs() < 1e-9);
    }
}

#[test]
fn eight_directions_see_nine_tenths_of_the_worst_and_four_do_not() {
    let middle = |z: f32| [vent(1, Vec3::new(0.0, 0.0, z), Vec3::Z, 0.1)];
    for (name, mesh, z) in [
        ("plate midway between eight", plate_midway(8), 5.0),
        ("plate midway between four", plate_midway(4), 5.0),
        ("square", solids::cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 3.0)), 3.0),
        ("disc", solids::cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 3.0), 25.0, 48), 3.0),
    ] {
        let all = worst(&mesh, &middle(z), 2.0, 72);
        let eight = worst(&mesh, &middle(z), 2.0, LEAN_DIRECTIONS);
        assert!(all > 50.0, "{name}: something stays");
        assert!(eight <= all * (1.0 + 1e-9) && eight >= 0.92 * all, "{name}: {eight} of {all}");
    }
    let (all, four) = (worst(&plate_midway(4), &middle(5.0), 2.0, 72), worst(&plate_midway(4), &middle(5.0), 2.0, 4));
    assert!(four < 0.75 * all, "four would do: {four} of {all}");
}

#[test]
fn less_lean_leaves_less() {
    let mesh = plate_midway(8);
    let mouths = [vent(1, Vec3::new(0.0, 0.0, 5.0), Vec3::Z, 0.1)];
    let by_lean = [0.25, 0.5, 1.0, 2.0].map(|lean| worst(&mesh, &mouths, lean, 8));
    assert!(by_lean.windows(2).all(|w| w[0] < w[1]), "{by_lean:?}");
    // Leaning must never read better than level.
    let air = air(&mesh, Vec3::Z, 2.0);
    assert!(air.worst_mm3(&mouths) >= air.trapped(&mouths).total_mm3);
    assert_eq!(air.leaning.len(), LEAN_DIRECTIONS);
}
