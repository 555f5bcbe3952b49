//! Proposed mouths, and which channels of a plan are mouths at all.

use super::shapes::*;
use glam::{DAffine3, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::{Gate, Plan, Spot, Vent};
use mouldbench::solve::run::Run;
use mouldbench::study::air::propose::propose;
use mouldbench::study::air::{Mouth, MouthOf, high_points};
use mouldbench::study::job::frames::Frames;

#[test]
fn two_towers_need_a_mouth_each() {
    let air = air(&two_towers(), Vec3::Z, 0.0);
    let proposal = propose(&air, &[], 1.0, 1.0, &Run::new()).expect("nobody cancels");
    assert_eq!(proposal.mouths.len(), 2);
    assert_eq!(proposal.worst_mm3, 0.0);
    let mut heights = proposal.mouths.iter().map(|m| m.mouth.centre.z).collect::<Vec<_>>();
    heights.sort_by(f32::total_cmp);
    assert_eq!(heights, [8.0, 12.0]);
    for m in &proposal.mouths {
        let tower = if m.mouth.centre.z > 10.0 { 240.0 } else { 144.0 };
        assert!((m.level_mm3 - tower).abs() < 1e-6, "{}", m.level_mm3);
        assert!(m.reason().contains(&format!("{tower:.0} mm³")), "{}", m.reason());
    }
    // With a vent of the plan on the lower tower one more is enough.
    let given = [vent(7, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)];
    let rest = propose(&air, &given, 1.0, 1.0, &Run::new()).expect("nobody cancels");
    assert_eq!(rest.mouths.len(), 1);
    assert_eq!(rest.mouths[0].mouth.centre.z, 12.0);
}

#[test]
fn a_level_plate_gets_mouths_that_survive_a_lean() {
    // One in the middle is enough level, never leaning. Each of the four corners is the only peak of some lean.
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 2.0));
    let level = propose(&air(&mesh, Vec3::Z, 0.0), &[], 2.0, 5.0, &Run::new()).expect("nobody cancels");
    assert_eq!(level.mouths.len(), 1);
    let leaning = air(&mesh, Vec3::Z, 2.0);
    assert!(leaning.worst_mm3(&[level.mouths[0].mouth]) > 1000.0);
    let proposal = propose(&leaning, &[], 2.0, 5.0, &Run::new()).expect("nobody cancels");
    assert!(proposal.largest_mm3 < 5.0, "{}", proposal.largest_mm3);
    assert!((4..=8).contains(&proposal.mouths.len()), "{} mouths", proposal.mouths.len());
    let mouths: Vec<Mouth> = proposal.mouths.iter().map(|m| m.mouth).collect();
    assert!((leaning.worst_mm3(&mouths) - proposal.worst_mm3).abs() < 1e-9);
    assert!(!leaning.needless(&mouths, 1e-9).contains(&true));
}

#[test]
fn many_peaks_are_all_served() {
    let mut most = 0;
    for mesh in [bumpy_ball(20.0, 4), columns(&mut Dice(7)), touching()] {
        for up in [Vec3::Z, Vec3::X, Vec3::new(0.2, -0.5, 0.8)] {
            let air = air(&mesh, up, 2.0);
            let proposal = propose(&air, &[], 1.0, 2.0, &Run::new()).expect("nobody cancels");
            assert!(proposal.largest_mm3 < 2.0, "{}", proposal.largest_mm3);
            // Every pocket over the limit needs a mouth of its own.
            let pockets = high_points::high_points(&air.level, 2.0).len();
            assert!(proposal.mouths.len() >= pockets, "{} for {pockets}", proposal.mouths.len());
            most = most.max(pockets);
        }
    }
    assert!(most > 8, "{most}");
    let stopped = Run::new();
    stopped.cancel();
    assert!(propose(&air(&two_towers(), Vec3::Z, 0.0), &[], 1.0, 1.0, &stopped).is_err());
}

#[test]
fn a_gate_is_a_mouth_only_where_the_plan_says_so() {
    let spot = |x: f64, z: f64| Spot { part: 0, position: DVec3::new(x, 3.0, z), normal: DVec3::Z };
    let gate = Gate { number: 1, at: spot(2.0, 8.0), diameter_mm: 4.0, ..Gate::default() };
    let mut plan = Plan {
        vents: vec![Vent { number: 3, at: spot(12.0, 12.0), diameter_mm: 1.0, ..Vent::default() }],
        ..Plan::default()
    };
    plan.feed.gates = vec![gate];
    let frames = Frames {
        work_from_part: vec![DAffine3::IDENTITY],
        origin_in_set: DVec3::ZERO,
        box_from_work: DAffine3::IDENTITY,
        cast_from_box: DAffine3::IDENTITY,
    };
    let mouths = Mouth::of_plan(&plan, &frames);
    assert_eq!(mouths.iter().map(|m| m.of).collect::<Vec<_>>(), [MouthOf::Vent(3)]);
    let air = air(&two_towers(), Vec3::Z, 0.0);
    assert!((air.trapped(&mouths).total_mm3 - 144.0).abs() < 1e-6);
    plan.feed.gates[0].lets_air_out = true;
    let mouths = Mouth::of_plan(&plan, &frames);
    assert_eq!(mouths.len(), 2);
    assert_eq!(air.trapped(&mouths).total_mm3, 0.0);
}

#[test]
fn a_mouth_off_the_part_counts_for_nothing() {
    let air = air(&two_towers(), Vec3::Z, 0.0);
    let near = vent(1, Vec3::new(2.0, 3.0, 8.4), Vec3::Z, 1.0);
    let off = vent(1, Vec3::new(2.0, 3.0, 14.0), Vec3::Z, 1.0);
    assert!((air.trapped(&[near]).total_mm3 - 240.0).abs() < 1e-6);
    let trapped = air.trapped(&[off]);
    assert_eq!(trapped.rims, [None]);
    assert_eq!(trapped.total_mm3, air.trapped(&[]).total_mm3);
}
