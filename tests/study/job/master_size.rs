//! What belongs to the master is at its size: box, rods, tape, rubber; a bar of 100 × 60 × 40 made 1.004 times as large.

use crate::study::numbers::a_job::{Job, near};
use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::*;
use mouldbench::study::job::master_size::MasterSize;
use mouldbench::study::report::Report;

fn bar(factor: f64, far: Vec3) -> Report {
    let mesh = solids::cuboid(far, far + Vec3::new(100.0, 60.0, 40.0));
    let job = Job::new(&mesh).vent(far.as_dvec3() + DVec3::new(80.0, 30.0, 40.0)).with(|plan, _| {
        plan.parts[0].scale = Scale::Nominal { master_factor: factor };
        let block = &mut plan.block;
        (block.wall_mm, block.below_mm, block.above_mm) = (Some(20.0), Some(15.0), Some(30.0));
    });
    job.report()
}

#[test]
fn box_rods_tape_and_rubber_belong_to_the_master() {
    for far in [Vec3::ZERO, Vec3::new(900.0, -400.0, 60.0)] {
        let (one, large) = (bar(1.0, far), bar(1.004, far));
        // 140 × 100 × 85 round the part; 140.4, 100.24 and 85.16 round the master, up to whole millimetres.
        assert_eq!(one.block.size_mm, [140.0, 100.0, 85.0]);
        assert_eq!(large.block.size_mm, [141.0, 101.0, 86.0]);
        // From the part's top at 55, or the master's at 55.16, to the top of the block.
        near(one.vents[0].length_mm, 30.0, 1e-3);
        near(large.vents[0].length_mm, 86.0 - 55.16, 1e-3);
        near(large.cut.tape_mm / one.cut.tape_mm, 1.004, 1e-6);
        // 1.004³ = 1.012048064 of 240 cm³ is left out of the block, and a rod of 1.5 mm, which does not grow: at the length that
        // the geometry has it, 31 mm of it, give or take its root.
        let left_out = |r: &Report| r.block.volume_mm3 - r.silicone.volume_mm3;
        let rod = std::f64::consts::PI / 4.0 * 1.5 * 1.5;
        near(left_out(&one), 240_000.0 + rod * 30.0, 1.0);
        near(left_out(&large), 240_000.0 * 1.012048064 + rod * 31.0, 1.0);
        // The cast is the part whatever the master's size.
        near(large.resin.part_mm3, 240_000.0, 0.1);
    }
}

#[test]
fn a_place_told_from_walls_and_floor_leads_back_to_it() {
    for factor in [1.0, 1.004, 0.97] {
        let half_mm = DVec2::new(70.0, 50.0);
        let size = MasterSize { factor, below_mm: 15.0, top_mm: 86.0, half_mm };
        // The middle of the floor is half the block from both walls; 15 mm up nothing grows.
        let told = size.from_walls(DVec3::new(0.0, 0.0, 15.0));
        assert!(told.distance(DVec3::new(70.0, 50.0, 15.0)) < 1e-12, "{told}");
        for at in [DVec3::new(12.0, -31.0, 40.0), DVec3::new(-70.0, 50.0, 3.0), DVec3::new(5.0, 6.0, 86.0)] {
            let told = size.from_walls(at);
            assert!(size.in_box(told).distance(at) < 1e-9, "{at} {told}");
            near(told.x, 70.0 + factor * at.x, 1e-12);
        }
    }
}

#[test]
fn a_mesh_that_is_the_master_already_needs_nothing_more() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(100.4, 60.24, 40.16));
    let job = Job::new(&mesh).with(|plan, _| {
        plan.parts[0].scale = Scale::Master { factor: 1.004 };
        let block = &mut plan.block;
        (block.wall_mm, block.below_mm, block.above_mm) = (Some(20.0), Some(15.0), Some(30.0));
    });
    let report = job.report();
    assert_eq!(report.block.size_mm, [141.0, 101.0, 86.0]);
    near(report.block.volume_mm3 - report.silicone.volume_mm3, 240_000.0 * 1.012048064, 1.0);
}
