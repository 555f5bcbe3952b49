//! The hung master against Archimedes, Euler and the lever.

use super::a_job::{Job, near};
use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::{Master, MasterCore, MasterMaterial};
use mouldbench::study::numbers::figures::{HangDirection, HoldCause};
use mouldbench::study::numbers::hanging::{HangingRod, beam_sag_mm, buckling_n, glue_n, holding};
use mouldbench::study::numbers::rods_share::{Bears, GivesWay, held, loads};
use proptest::prelude::*;

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

/// Rods that never give way.
fn strong(at: &[DVec2]) -> Vec<Bears> {
    at.iter().map(|at| Bears { at: *at, pushed_n: 1e9, pulled_n: 1e9, stretch: 1.0 }).collect()
}

#[test]
fn loads_of_rods_balance_force_and_moment() {
    let square = [(0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 40.0)].map(DVec2::from);
    let equal = |at: &[DVec2], through: DVec2, force: f64| loads(&strong(at), &vec![3.0; at.len()], through, force);
    // In the middle: a quarter each. 20 mm towards x: force/4 ± F·20·40/(4·40²) = 0.25 ± 0.125 of it.
    for load in equal(&square, DVec2::new(40.0, 20.0), 4.0) {
        near(load, 1.0, 1e-12);
    }
    let found = equal(&square, DVec2::new(60.0, 20.0), 4.0);
    near(found[0], 0.5, 1e-12);
    near(found[1], 1.5, 1e-12);
    // Any place and stiffness: sums and moments come out, also for rods in no order.
    let odd = [(3.0, 5.0), (90.0, -8.0), (41.0, 60.0), (-20.0, 33.0), (10.0, 12.0)].map(DVec2::from);
    let through = DVec2::new(12.0, 47.0);
    let found = loads(&strong(&odd), &[1.0, 50.0, 3.0, 0.2, 7.0], through, -2.5);
    near(found.iter().sum(), -2.5, 1e-12);
    let moment = odd.iter().zip(&found).map(|(p, f)| *p * *f).sum::<DVec2>();
    assert!(moment.distance(through * -2.5) < 1e-9);
    // In line there is no lever across the line: by stiffness.
    let line = [(0.0, 0.0), (10.0, 10.0), (20.0, 20.0)].map(DVec2::from);
    let found = loads(&strong(&line), &[1.0, 2.0, 3.0], DVec2::new(50.0, 0.0), 3.0);
    for (f, want) in found.iter().zip([0.5, 1.0, 1.5]) {
        near(*f, want, 1e-12);
    }
    // One that buckles at a tenth keeps that, the others share the rest.
    let mut weak = strong(&line);
    weak[2].pushed_n = 0.1;
    let found = loads(&weak, &[1.0, 1.0, 1.0], DVec2::new(10.0, 10.0), 3.0);
    for (f, want) in found.iter().zip([1.45, 1.45, 0.1]) {
        near(*f, want, 1e-12);
    }
}

fn rod(at: DVec2, diameter_mm: f64, length_mm: f64) -> HangingRod {
    HangingRod { what: format!("Ø{diameter_mm} × {length_mm}"), at, diameter_mm, length_mm }
}

#[test]
fn rods_together_by_closed_forms() {
    let square = [(0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 40.0)].map(DVec2::from);
    let rods = square.map(|at| rod(at, 3.0, 60.0));
    let middle = DVec2::new(40.0, 20.0);
    let hold = |rods: &[HangingRod], through: DVec2, force: f64| holding(rods, through, force, 2500.0, 1.0);
    // Four rods of 6.8129 N against 4 N up, of 7.0686 N of glue against 4 N down.
    let up = hold(&rods, middle, 4.0).expect("rods");
    near(up.times, 6.8129, 1e-4);
    assert_eq!((up.gives, up.lever), (GivesWay::Buckles, false));
    let down = hold(&rods, middle, -4.0).expect("rods");
    near(down.times, 7.0686, 1e-4);
    assert_eq!((down.gives, down.lever), (GivesWay::PullsOut, false));
    assert_eq!(hold(&[], middle, 4.0), None);
    // Towards x the two there buckle first, and the others take what balances: 2·6.8129·80/60 against 4 N.
    let tips = hold(&rods, DVec2::new(60.0, 20.0), 4.0).expect("rods");
    near(tips.times, 2.0 * 6.8129 * 80.0 / 60.0 / 4.0, 1e-4);
    assert_eq!((tips.gives, tips.lever), (GivesWay::Buckles, true));
    // One rod, Ø1.2 × 115 mm: π²·2500·(π·1.2⁴/64)/230² = 0.0474765 N pushed, 1.13097 N pulled.
    let thin = rod(middle, 1.2, 115.0);
    near(hold(std::slice::from_ref(&thin), middle, 1.0).expect("a rod").times, 0.0474765, 1e-6);
    near(hold(std::slice::from_ref(&thin), middle, -1.0).expect("a rod").times, 1.130973, 1e-6);
    // Unlike glued rods share by E·A/L: beside one of Ø3 × 60 one of Ø3 × 120 comes to half of its glue only.
    let unlike = [rod(middle, 3.0, 60.0), rod(middle, 3.0, 120.0)];
    near(hold(&unlike, middle, -1.0).expect("rods").times, 1.5 * 7.0686, 1e-3);
    // A short thin one breaks, and the stout one holds alone.
    let unlike = [rod(middle, 1.0, 10.0), rod(middle, 6.0, 100.0)];
    near(hold(&unlike, middle, -1.0).expect("rods").times, 28.2743, 1e-3);
}

/// Two stout rods hold a master 3.5 times over; a third, a vent rod of Ø1.2 × 115 mm that stands aside, takes nothing away,
/// and a stout one in the middle adds what it bears.
#[test]
fn a_slender_rod_takes_nothing_away() {
    let two = [rod(DVec2::new(-40.0, 0.0), 3.0, 90.0), rod(DVec2::new(45.0, 0.0), 3.0, 90.0)];
    let (through, force) = (DVec2::new(2.0, 11.0), -4.04);
    let hold = |rods: &[HangingRod], f: f64| holding(rods, through, f, 2500.0, 1.0).expect("rods");
    near(hold(&two, force).times, 3.5, 0.01);
    for f in [force, -force] {
        let before = hold(&two, f).times;
        let slender = [two.to_vec(), vec![rod(DVec2::new(10.0, -38.0), 1.2, 115.0)]].concat();
        assert!(hold(&slender, f).times >= before, "{} {before}", hold(&slender, f).times);
        let stout = [slender, vec![rod(through, 5.0, 90.0)]].concat();
        let share = if f > 0.0 { buckling_n(5.0, 90.0, 2500.0) } else { glue_n(5.0, 1.0) };
        assert!(hold(&stout, f).times >= before + share / f.abs() - 1e-9);
    }
}

fn any_rods() -> impl Strategy<Value = Vec<HangingRod>> {
    // Places on a coarse grid too, so that some are in line and some stand on each other.
    let place = prop_oneof![
        (-60.0..60.0f64, -60.0..60.0f64),
        (-2..3i32, -2..3i32).prop_map(|(x, y)| (20.0 * f64::from(x), 20.0 * f64::from(y)))
    ];
    let one = (place, 0.8..8.0f64, 20.0..150.0f64).prop_map(|(at, d, l)| rod(DVec2::from(at), d, l));
    prop::collection::vec(one, 1..7)
}

/// What rods bear by every basic solution of the linear programme: all but two at one of their bounds, the two balance the
/// moment. Not by its dual, as the program does it.
fn by_vertices(rods: &[Bears], through: DVec2) -> f64 {
    let n = rods.len();
    let q: Vec<DVec2> = rods.iter().map(|r| r.at - through).collect();
    let mut best = 0.0f64;
    for bounds in 0..1u32 << n {
        let load = |i: usize| if bounds >> i & 1 == 1 { rods[i].pushed_n } else { -rods[i].pulled_n };
        for i in 0..n {
            for j in i + 1..n {
                let det = q[i].perp_dot(q[j]);
                if det.abs() < 1e-6 {
                    continue;
                }
                let rest: DVec2 = -(0..n).filter(|k| *k != i && *k != j).map(|k| q[k] * load(k)).sum::<DVec2>();
                let (fi, fj) = (rest.perp_dot(q[j]) / det, q[i].perp_dot(rest) / det);
                let within = |k: usize, f: f64| f <= rods[k].pushed_n + 1e-9 && f >= -rods[k].pulled_n - 1e-9;
                if within(i, fi) && within(j, fj) {
                    let others = (0..n).filter(|k| *k != i && *k != j).map(load).sum::<f64>();
                    best = best.max(others + fi + fj);
                }
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_rod_more_never_lowers_what_is_held(
        rods in any_rods(), x in -50.0..50.0f64, y in -50.0..50.0f64, force in prop_oneof![0.1..5.0f64, -5.0..-0.1f64],
    ) {
        let through = DVec2::new(x, y);
        let times = |rods: &[HangingRod]| holding(rods, through, force, 2500.0, 1.0).map_or(0.0, |h| h.times);
        for k in 1..rods.len() {
            let (fewer, more) = (times(&rods[..k]), times(&rods[..=k]));
            prop_assert!(more >= fewer * (1.0 - 1e-9), "{} {}", fewer, more);
            // Under the force itself it adds all that it bears.
            if force > 0.0 {
                let under = rod(through, rods[k].diameter_mm, rods[k].length_mm);
                let share = buckling_n(under.diameter_mm, under.length_mm, 2500.0) / force;
                let with = times(&[rods[..k].to_vec(), vec![under]].concat());
                prop_assert!(with <= fewer + share + 1e-9);
            }
        }
    }

    #[test]
    fn loads_are_the_best_that_balance(
        rods in any_rods(), x in -30.0..30.0f64, y in -30.0..30.0f64,
    ) {
        let through = DVec2::new(x, y);
        // All of one stretch, so that glue shares as it is given.
        let bears: Vec<Bears> = rods.iter().map(|r| Bears {
            at: r.at, pushed_n: r.diameter_mm, pulled_n: 0.1 * r.length_mm, stretch: 1.0,
        }).collect();
        let times = held(&bears, through, 1.0).expect("rods").times;
        let spans = bears.iter().any(|b| (b.at - bears[0].at).perp_dot(through - bears[0].at).abs() > 1.0);
        if spans {
            let vertices = by_vertices(&bears, through);
            prop_assert!(times >= vertices - 1e-6, "{} {}", times, vertices);
            // Above it only where the strongest in one line bear more.
            let most: f64 = bears.iter().map(|b| b.pushed_n).sum();
            prop_assert!(times <= most + 1e-9);
        }
    }
}

#[test]
fn the_cause_that_is_named_governs() {
    // A float on one thin vent rod: it buckles, whatever else is said; with stiff rods the same vent is held by glue.
    let hollow = box_job().with(|plan, _| plan.master.core = MasterCore::Hollow { skin_mm: 2.0, open: true });
    let floating = hollow.vent(DVec3::new(4050.0, -2470.0, 940.0));
    let h = floating.report().hanging;
    // Pushed by 2.0042 N it would float with, not by the 0.54 N that it weighs; the beam bends under the greater of both.
    near(h.safety_up.expect("a rod"), buckling_n(1.5, 100.0, 2500.0) / 2.004209, 1e-3);
    near(h.beam_sag_mm, beam_sag_mm(2.004209, h.beam_mm[0], 40.0, h.beam_mm[2], 3000.0), 1e-3);
    let gives = h.gives_up.expect("a rod");
    assert_eq!((gives.cause, gives.lever), (HoldCause::Buckling, false));
    let told = |job: &Job| {
        let all = job.findings().into_iter().filter(|f| f.code == "master-held");
        all.map(|f| format!("{} {}", f.message, f.remedy)).collect::<Vec<_>>().join("; ")
    };
    let said = told(&floating);
    assert!(
        said.contains("buckle") && said.contains("vent 1, Ø1.5 mm and 100 mm long") && !said.contains("glue"),
        "{said}"
    );
    // Solid it hangs: 283.2 g pull 2.7773 N at 1.767 N of glue.
    let hung = box_job().vent(DVec3::new(4050.0, -2470.0, 940.0));
    let h = hung.report().hanging;
    near(h.safety_down.expect("a rod"), 1.767146 / 2.777243, 1e-3);
    let said = told(&hung);
    assert!(said.contains("glue") && !said.contains("buckle"), "{said}");
    // Four vents at one end: it tips.
    let corners = [(4080.0, -2480.0), (4080.0, -2460.0), (4095.0, -2480.0), (4095.0, -2460.0)];
    let tips = corners.into_iter().fold(box_job(), |job, (x, y)| job.vent(DVec3::new(x, y, 940.0)));
    let gives = tips.report().hanging.gives_down.expect("rods");
    assert!(gives.lever);
    assert!(told(&tips).contains("tips"));
    // Rods that are plugged afterwards stand over the middle: one of 6 mm adds its 28.27 N of glue.
    let more = tips.with(|plan, _| (plan.master.plugged_rods, plan.master.plugged_rod_mm) = (1, 6.0));
    assert!(more.report().hanging.safety_down.expect("rods") > 28.27 / 2.777243 - 0.01);
    assert!(!told(&more).contains("Where a rod"));
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
