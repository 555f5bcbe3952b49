//! The hung master against Archimedes, Euler and the lever.

use super::numbers_job::{Job, near};
use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::{Master, MasterCore, MasterMaterial};
use mouldbench::study::hanging::{HangingRod, beam_sag_mm, buckling_n, glue_n, rod_loads, safety};
use mouldbench::study::report::HangDirection;

/// A box of 100 × 60 × 40, far from the origin, in rubber of 1.08 g/cm³; 100 mm of rubber over it.
fn box_job() -> Job {
    let far = Vec3::new(4000.0, -2500.0, 900.0);
    Job::new(&solids::cuboid(far, far + Vec3::new(100.0, 60.0, 40.0))).with(|plan, shop| {
        let mut silicone = shop.silicones[0].clone();
        silicone.density_g_cm3 = 1.08;
        plan.materials.silicone = Some(silicone);
        plan.block.above_mm = Some(100.0);
        plan.master = Master { density_g_cm3: Some(1.18), ..Master::default() };
    })
}

#[test]
fn a_hollow_box_floats_a_solid_one_sinks_and_a_stuck_one_is_pressed_down() {
    // Archimedes, g = 9.80665: 240 cm³ displace 259.2 g. Hollow with a wall of 2 and 1.18 g/cm³: 54.82752 g, 2.004209 N up;
    // solid: 0.2353596 N down. The skin's formula leaves 8·t³ of a box out: 64 mm³ of 46 464, 0.076 g.
    let hollow = box_job().with(|plan, _| plan.master.core = MasterCore::Hollow { skin_mm: 2.0, open: true });
    let h = hollow.report().hanging;
    near(h.displaced_mm3, 240_000.0, 1.0);
    near(h.mass_g, 54.82752, 0.08);
    near(h.net_force_n, 2.004209, 0.001);
    assert_eq!(h.direction, HangDirection::Up);
    let weighed = hollow.with(|plan, _| plan.master.weighed_g = Some(54.82752)).report().hanging;
    near(weighed.net_force_n, 2.004209, 1e-5);
    assert!(weighed.weighed);
    let solid = box_job().report().hanging;
    near(solid.net_force_n, -0.2353596, 1e-5);
    assert_eq!(solid.direction, HangDirection::Down);
    // Stuck flat, no rubber gets under: the rubber over it presses with ρ·g·d·A = 6.3547092 N, and its own weight comes on top.
    let stuck = box_job().with(|plan, _| {
        plan.master.stuck_to_floor = true;
        plan.master.weighed_g = Some(54.82752);
    });
    let report = stuck.report();
    near(report.block.below_mm, 0.0, 0.0);
    near(report.hanging.foot_mm2, 6000.0, 0.01);
    near(report.hanging.depth_mm, 140.0, 1e-3);
    near(report.hanging.net_force_n, -6.3547092 - 0.05482752 * 9.80665, 1e-4);
    near(report.hanging.wetted_force_n, 2.004209, 1e-5);
    assert_eq!(report.hanging.direction, HangDirection::Down);
    // Turned by 30° it stands on an edge: nothing lies flat.
    let leaned = stuck.with(|plan, _| plan.hang.rubber.up = DVec3::new(0.0, 0.5, 0.75f64.sqrt()));
    near(leaned.report().hanging.foot_mm2, 0.0, 0.0);
    assert!(leaned.codes().contains(&"master-held"));
}

#[test]
fn a_larger_master_displaces_by_the_cube() {
    // 1.004 in length is 1.012048 in volume.
    let scale = |master_factor| mouldbench::plan::Scale::Nominal { master_factor };
    let job = box_job();
    let one = job.report().hanging;
    let large = job.with(|plan, _| plan.parts[0].scale = scale(1.004)).report().hanging;
    near(large.displaced_mm3 / one.displaced_mm3, 1.012048064, 1e-9);
    near(large.mass_g / one.mass_g, 1.012048064, 1e-9);
}

#[test]
fn rods_by_hand() {
    // Euler, one end free: π²·2500·(π·3⁴/64)/(120)² = 6.8129 N. Glue: π/4·9·1 = 7.0686 N.
    near(buckling_n(3.0, 60.0, 2500.0), 6.8129, 1e-4);
    near(glue_n(3.0, 1.0), 7.0686, 1e-4);
    // Half as long holds four times, twice as thick sixteen times.
    near(buckling_n(3.0, 30.0, 2500.0), 4.0 * buckling_n(3.0, 60.0, 2500.0), 1e-9);
    near(buckling_n(6.0, 60.0, 2500.0), 16.0 * buckling_n(3.0, 60.0, 2500.0), 1e-9);
    // A beam of 200 × 40 × 9 under 10 N: 10·200³/(48·3000·40·729/12) = 0.22862 mm.
    near(beam_sag_mm(10.0, 200.0, 40.0, 9.0, 3000.0), 0.228624, 1e-6);
}

#[test]
fn loads_of_rods_balance_force_and_moment() {
    let square = [(0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 40.0)].map(DVec2::from);
    // In the middle: a quarter each. 20 mm towards x: force/4 ± F·20·40/(4·40²) = 0.25 ± 0.125 of it.
    for load in rod_loads(&square, DVec2::new(40.0, 20.0), 4.0) {
        near(load, 1.0, 1e-12);
    }
    let loads = rod_loads(&square, DVec2::new(60.0, 20.0), 4.0);
    near(loads[0], 0.5, 1e-12);
    near(loads[1], 1.5, 1e-12);
    // Any place: sums and moments come out, also for rods in no order.
    let odd = [(3.0, 5.0), (90.0, -8.0), (41.0, 60.0), (-20.0, 33.0), (10.0, 12.0)].map(DVec2::from);
    let through = DVec2::new(12.0, 47.0);
    let loads = rod_loads(&odd, through, -2.5);
    near(loads.iter().sum(), -2.5, 1e-12);
    let moment = odd.iter().zip(&loads).map(|(p, f)| *p * *f).sum::<DVec2>();
    assert!(moment.distance(through * -2.5) < 1e-9);
    // In line there is no lever across the line.
    let line = [(0.0, 0.0), (10.0, 10.0), (20.0, 20.0)].map(DVec2::from);
    assert!(rod_loads(&line, DVec2::new(50.0, 0.0), 3.0).iter().all(|f| (f - 1.0).abs() < 1e-12));
    let rods = square.map(|at| HangingRod { what: String::new(), at, diameter_mm: 3.0, length_mm: 60.0 });
    let middle = DVec2::new(40.0, 20.0);
    // Four rods of 6.8129 N against 4 N up, of 7.0686 N of glue against 4 N down.
    near(safety(&rods, middle, 4.0, 2500.0, 1.0).expect("rods"), 6.8129, 1e-4);
    near(safety(&rods, middle, -4.0, 2500.0, 1.0).expect("rods"), 7.0686, 1e-4);
    assert_eq!(safety(&[], middle, 4.0, 2500.0, 1.0), None);
}

#[test]
fn what_is_wrong_with_the_master_is_told_until_the_rubber_is_poured() {
    let job = box_job();
    for code in ["cure-trial", "master-sealed"] {
        assert!(!job.codes().contains(&code), "{code}");
    }
    let job = job.with(|plan, _| {
        plan.master.material = MasterMaterial::PrintedPhotopolymer;
        plan.master.core = MasterCore::Hollow { skin_mm: 2.0, open: false };
    });
    for code in ["cure-trial", "master-sealed"] {
        assert!(job.codes().contains(&code), "{code}");
    }
    let job = job.with(|plan, _| {
        plan.master.cure_trial = true;
        plan.master.core = MasterCore::Hollow { skin_mm: 2.0, open: true };
    });
    for code in ["cure-trial", "master-sealed"] {
        assert!(!job.codes().contains(&code), "{code}");
    }
    // One thin vent rod, 100 mm long, against 2 N up: π²·2500·(π·1.5⁴/64)/200² is 0.153 N.
    let top = DVec3::new(4050.0, -2470.0, 940.0);
    let floating = job.vent(top);
    let h = floating.report().hanging;
    near(h.safety_up.expect("a rod"), 0.1533 / 2.0049, 0.001);
    let found = floating.findings();
    let held = found.iter().find(|f| f.code == "master-held").expect("told");
    assert_eq!(held.severity, mouldbench::study::findings::Severity::Stop);
    // Four rods of 6 mm that are plugged afterwards do.
    let held = floating.with(|plan, _| (plan.master.plugged_rods, plan.master.plugged_rod_mm) = (4, 6.0));
    assert!(held.report().hanging.safety_up.expect("rods") > h.safety_up.expect("a rod"));
}
