//! What must not matter: the order of vertices and triangles, the turn of mesh and up together, the number of threads.

use super::shapes::*;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::study::air::high_points::{self, HighPoint};
use mouldbench::study::air::walk;
use proptest::prelude::*;

fn told(points: &[HighPoint]) -> Vec<(f64, Option<f64>, f64)> {
    points.iter().map(|p| (p.height, p.sill, p.pocket_mm3)).collect()
}

#[test]
fn the_order_of_the_mesh_does_not_matter() {
    let mut dice = Dice(31);
    for (name, mesh) in gallery() {
        for up in [Vec3::Z, -Vec3::Z, Vec3::Y, dice.direction().as_vec3()] {
            let first = air(&mesh, up, 0.0);
            let points = high_points::high_points(&first.level, 1.0);
            let mouths: Vec<_> = points.iter().step_by(2).map(|p| vent(1, p.position, Vec3::ZERO, 1.0)).collect();
            let total = first.trapped(&mouths).total_mm3;
            for _ in 0..3 {
                let other = air(&shuffled(&mesh, &mut dice), up, 0.0);
                let again = high_points::high_points(&other.level, 1.0);
                assert_eq!(again.len(), points.len(), "{name} up {up}");
                for p in &points {
                    // Equal heights may be listed in another order: look for the same place.
                    let same = again.iter().find(|q| q.position.distance(p.position) < 1e-3);
                    let q = same.unwrap_or_else(|| panic!("{name} up {up}: nothing at {}", p.position));
                    assert!((q.pocket_mm3 - p.pocket_mm3).abs() < 1e-6 * p.pocket_mm3, "{name}");
                    assert_eq!(q.sill.is_some(), p.sill.is_some());
                }
                let again = other.trapped(&mouths).total_mm3;
                assert!((again - total).abs() < 1e-6 * total.max(1.0), "{name} up {up}: {again} {total}");
            }
        }
    }
}

#[test]
fn threads_do_not_matter() {
    let mesh = bumpy_ball(20.0, 4);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| {
            let air = air(&mesh, Vec3::new(0.1, 0.2, 1.0), 2.0);
            let points = high_points::high_points(&air.level, 1.0);
            (told(&points), air.worst_mm3(&[vent(1, points[0].position, Vec3::ZERO, 1.0)]).to_bits())
        })
    };
    assert_eq!(on(1), on(2));
    assert_eq!(on(1), on(5));
}

#[test]
fn the_list_adds_up_to_the_total() {
    let mut dice = Dice(17);
    for (name, mesh) in gallery() {
        for _ in 0..4 {
            let up = dice.direction().as_vec3();
            let air = air(&mesh, up, 0.0);
            let points = high_points::high_points(&air.level, 1.0);
            let t = (dice.number() % mesh.triangles.len() as u64) as usize;
            let [a, b, c] = mesh.corners(t);
            let trapped = air.trapped(&[vent(1, (a + b + c) / 3.0, mesh.unit_normal(t), 1.0)]);
            let (served, elsewhere) = high_points::served(&air.level, &points, &trapped, 3000.0);
            let sum: f64 = served.iter().map(|s| s.trapped_mm3).sum();
            assert_eq!(elsewhere, 0.0, "{name}");
            assert!((sum - trapped.total_mm3).abs() < 1e-9 * sum.max(1.0), "{name}: {sum} {}", trapped.total_mm3);
            // Every high point is on the surface, at its height, and its pocket is at least the limit.
            let tree = mouldbench::mesh::tree::Tree::of(&mesh);
            for p in &points {
                let away = tree.nearest(p.position).expect("a surface").point.distance(p.position);
                assert!(away < 1e-3 && (p.position.dot(up.normalize()) as f64 - p.height).abs() < 2e-3, "{name}");
                assert!(p.pocket_mm3 >= 1.0);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn mesh_and_up_turned_together(
        shape in 0usize..11,
        axis in prop::array::uniform3(-1.0..1.0f64),
        angle in 0.0..6.3f64,
        up in prop::array::uniform3(-1.0..1.0f64),
    ) {
        let axis = DVec3::from(axis).try_normalize().unwrap_or(DVec3::X);
        let up = DVec3::from(up).try_normalize().unwrap_or(DVec3::Z);
        let turn = DQuat::from_axis_angle(axis, angle);
        let (name, mesh) = gallery().swap_remove(shape);
        let there = air(&mesh, up.as_vec3(), 0.0);
        let here = air(&turned(&mesh, turn), (turn * up).as_vec3(), 0.0);
        let a = high_points::high_points(&there.level, 1.0);
        let b = high_points::high_points(&here.level, 1.0);
        prop_assert_eq!(a.len(), b.len(), "{}", name);
        for (p, q) in a.iter().zip(&b) {
            prop_assert!((p.height - q.height).abs() < 1e-3, "{}", name);
            prop_assert!((p.pocket_mm3 - q.pocket_mm3).abs() < 1e-3 * p.pocket_mm3.max(1.0), "{}", name);
        }
        // With a vent at the first peak; both frames judge the same.
        let stays = |air: &mouldbench::study::air::Air, at: Vec3| walk::trapped_mm3(&air.level, &[vent(1, at, Vec3::ZERO, 1.0)]);
        let (s, t) = (stays(&there, a[0].position), stays(&here, (turn * a[0].position.as_dvec3()).as_vec3()));
        prop_assert!((s - t).abs() < 2e-2 * s.max(10.0), "{}: {} {}", name, s, t);
    }

    #[test]
    fn more_mouths_never_trap_more(shape in 0usize..11, seed in 1u64..1_000_000) {
        let mut dice = Dice(seed);
        let (name, mesh) = gallery().swap_remove(shape);
        let air = air(&mesh, dice.direction().as_vec3(), 0.0);
        let mut mouths = Vec::new();
        let mut before = air.trapped(&mouths).total_mm3;
        prop_assert!((before - Measures::of(&mesh).volume_mm3).abs() < 1e-4 * before, "{}", name);
        for number in 1..6 {
            let t = (dice.number() % mesh.triangles.len() as u64) as usize;
            let [a, b, c] = mesh.corners(t);
            mouths.push(vent(number, (a + b + c) / 3.0, mesh.unit_normal(t), 1.0));
            let after = air.trapped(&mouths).total_mm3;
            prop_assert!(after <= before + 1e-9 * before, "{}: {} after {}", name, after, before);
            before = after;
        }
    }
}
