//! To which length rods are cut, and which of them can be pulled: a box of 100 × 60 × 40, reckoned by hand.

use super::a_job::{Job, near};
use glam::{DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::{Gate, Made, Scale, Spot};

/// The box with a vent on it, a straight gate on top, one with a bend on a side, and one that ends in that one's runner.
fn job() -> Job {
    let gate = |number, position: DVec3, normal: DVec3| Gate {
        number,
        at: Spot { part: 0, position, normal },
        diameter_mm: 3.0,
        runner_diameter_mm: 6.0,
        ..Gate::default()
    };
    let (left, side) = (DVec3::new(0.0, 20.0, 20.0), DVec3::new(0.0, 40.0, 20.0));
    Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 40.0))).vent(DVec3::new(80.0, 30.0, 40.0)).with(
        |plan, _| {
            (plan.block.wall_mm, plan.block.below_mm, plan.block.above_mm) = (Some(20.0), Some(15.0), Some(30.0));
            plan.feed.gates = vec![
                gate(1, DVec3::new(20.0, 30.0, 40.0), DVec3::Z),
                Gate { runner: vec![left - DVec3::X * 12.0], ..gate(2, left, DVec3::NEG_X) },
                Gate { joins: Some(2), ..gate(3, side, DVec3::NEG_X) },
            ];
        },
    )
}

#[test]
fn a_rod_is_cut_up_to_the_upper_face_of_the_beam() {
    for factor in [1.0, 1.02] {
        let job = job().with(|p, _| p.parts[0].scale = Scale::Nominal { master_factor: factor });
        let report = job.report();
        let block = &report.block;
        // Walls stand on the floor; the beam lies on their rim. The box's outside with its floor is as high as walls and beam, which
        // is of the same board, are over the floor.
        let beam_top = block.outside_mm[2];
        near(report.hanging.beam_mm[2], block.panel_mm, 0.0);
        near(block.panels[0].size_mm[1] + report.hanging.beam_mm[2], beam_top, 1e-9);
        // The part's top lies at 15 + 40 times the factor.
        let top = 15.0 + 40.0 * factor;
        let vent = &report.vents[0];
        near(vent.rod_mm.expect("a rod"), beam_top - top, 1e-3);
        near(vent.length_mm, block.size_mm[2] - top, 1e-3);
        let straight = &report.feed.runners[0];
        near(straight.rod_mm.expect("a rod"), beam_top - top, 1e-3);
        // Legs add up to the whole, and only the last one is longer than in the rubber.
        for runner in &report.feed.runners {
            let sum = runner.legs.iter().map(|l| l.rod_mm).sum::<f64>();
            near(sum, runner.rod_mm.expect("a rod"), 1e-9);
            let last = runner.legs.len() - 1;
            let beyond = if runner.joins.is_some() { 0.0 } else { beam_top - block.size_mm[2] };
            for (i, leg) in runner.legs.iter().enumerate() {
                near(leg.rod_mm - leg.length_mm, if i == last { beyond } else { 0.0 }, 1e-9);
            }
        }
        let pulled: Vec<bool> = report.feed.runners.iter().map(|r| r.pulled).collect();
        assert_eq!(pulled, [true, false, false]);
        // A master that is stuck to the floor hangs from no beam, and has no rubber under it.
        let stuck = job.with(|p, _| p.master.stuck_to_floor = true).report();
        near(stuck.vents[0].rod_mm.expect("a rod"), stuck.block.panels[0].size_mm[1] - 40.0 * factor, 1e-3);
    }
}

#[test]
fn what_no_rod_makes_has_no_length_to_cut() {
    let report = job().with(|p, _| {
        p.vents[0].made = Made::PunchedFromCavity;
        p.feed.gates[0].made = Made::PunchedFromCavity;
    });
    let report = report.report();
    assert!(report.vents[0].rod_mm.is_none() && report.feed.runners[0].rod_mm.is_none());
    assert!(!report.feed.runners[0].pulled, "there is nothing to pull");
}
