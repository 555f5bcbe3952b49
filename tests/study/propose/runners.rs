//! Runners laid for a gate where a hand put it: clear of the part, or not at all.

use crate::known::Shared;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::{Gate, GateKind, Plan, Spot, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::propose::{bare_plan, lay_runner_into};

/// Two shelves of 40 by 20 mm on a back wall, this far apart, as three bodies that overlap.
fn shelves(gap: f32) -> Mesh {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 5.0));
    mesh.append(&solids::cuboid(Vec3::new(0.0, 0.0, 5.0 + gap), Vec3::new(40.0, 20.0, 10.0 + gap)));
    mesh.append(&solids::cuboid(Vec3::ZERO, Vec3::new(5.0, 20.0, 10.0 + gap)));
    mesh
}

/// The shelves turned and far away, and a plan that hangs them upright with one gate on the lower shelf.
fn hung(gap: f32, gate_at: Vec3, turn: DQuat) -> (tempfile::TempDir, Shared, Plan) {
    let away = DVec3::new(3000.0, -2000.0, 1000.0);
    let folder = tempfile::tempdir().expect("a folder");
    let mut mesh = shelves(gap);
    for p in &mut mesh.positions {
        *p = (turn * p.as_dvec3()).as_vec3();
    }
    let mut file = std::fs::File::create(folder.path().join("shelves.stl")).expect("made");
    write_stl::write(&mut file, &mesh, away).expect("written");
    let bench = Shared::on(folder.path(), Shop::bundled());
    let mut plan = bare_plan("Shelves", "shelves.stl", "", Unit::Millimetre);
    plan.hang.rubber.up = turn * DVec3::Z;
    plan.parting.draw = turn * DVec3::Y;
    let at = Spot { part: 0, position: away + turn * gate_at.as_dvec3(), normal: turn * DVec3::Z };
    plan.feed.gates.push(Gate { number: 3, at, diameter_mm: 3.0, runner_diameter_mm: 6.0, ..Gate::default() });
    (folder, bench, plan)
}

fn turns() -> [DQuat; 3] {
    [
        DQuat::IDENTITY,
        DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3),
        DQuat::from_rotation_x(std::f64::consts::FRAC_PI_2),
    ]
}

#[test]
fn under_a_shelf_the_runner_goes_out_and_up_beside_the_part() {
    for turn in turns() {
        let (_folder, bench, mut plan) = hung(30.0, Vec3::new(25.0, 10.0, 5.0), turn);
        assert!(lay_runner_into(&bench, &mut plan, 3, None, &Run::new()).expect("facts"));
        let gate = plan.feed.gates[0].clone();
        assert!(!gate.runner.is_empty() && gate.kind != GateKind::Top, "straight up goes through the upper shelf");
        let setting = bench.setting(&plan).expect("a setting");
        let body = bench.body(&plan, &setting, &Run::new()).expect("a body");
        let clear = (bench.shop().limits.least_rubber_mm + gate.runner_diameter_mm / 2.0) as f32;
        let rods = &setting.channels.gates[0].rods;
        let nearest = |r: &mouldbench::study::job::channels::Rod| {
            let along = (0..=200).map(|i| r.from.lerp(r.to, i as f32 / 200.0));
            along.map(|p| body.tree.nearest(p).expect("the part").distance).fold(f32::INFINITY, f32::min)
        };
        let standing = rods.last().expect("a rod");
        assert!(nearest(standing) > clear - 0.05, "{} mm of {clear}", nearest(standing));
        // The first stretch, narrow end and what follows it, is still leaving the part.
        for level in &rods[2..rods.len() - 1] {
            assert!(nearest(level) > 0.85 * clear - 0.05, "{} mm of {clear}", nearest(level));
        }
    }
}

#[test]
fn under_the_sky_it_goes_straight_up_unless_it_is_told_to_go_round() {
    for turn in turns() {
        let (_folder, bench, mut plan) = hung(30.0, Vec3::new(25.0, 10.0, 40.0), turn);
        assert!(lay_runner_into(&bench, &mut plan, 3, None, &Run::new()).expect("facts"));
        assert_eq!((plan.feed.gates[0].kind, plan.feed.gates[0].runner.len()), (GateKind::Top, 0));
        assert!(lay_runner_into(&bench, &mut plan, 3, Some(true), &Run::new()).expect("facts"));
        assert_ne!(plan.feed.gates[0].kind, GateKind::Top);
        assert!(!plan.feed.gates[0].runner.is_empty());
        assert!(lay_runner_into(&bench, &mut plan, 3, Some(false), &Run::new()).expect("facts"));
        assert_eq!((plan.feed.gates[0].kind, plan.feed.gates[0].runner.len()), (GateKind::Top, 0));
    }
}

#[test]
fn where_no_runner_keeps_clear_there_is_none_and_nothing_changes() {
    // A gap of 8 mm holds no runner of 6 mm with rubber round it.
    let (_folder, bench, mut plan) = hung(8.0, Vec3::new(25.0, 10.0, 5.0), turns()[1]);
    let before = plan.clone();
    assert!(!lay_runner_into(&bench, &mut plan, 3, None, &Run::new()).expect("facts"));
    assert_eq!(plan, before);
}
