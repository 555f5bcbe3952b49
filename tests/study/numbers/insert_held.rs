//! What holds an insert, against the rubber of a socket and parts worked by hand.

use super::a_job::{Job, near};
use glam::{DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::{Attitude, Insert, InsertKind, PocketMade, Spot, Threads};
use mouldbench::shop::Shop;
use mouldbench::study::findings::Severity;
use mouldbench::study::numbers::insert_holds::{grip_n, modulus_mpa, weight_n};

#[test]
fn rubber_grips_a_pin() {
    // Gent's formula: 1.142 MPa at 30 Shore A, 1.690 at 40, 2.456 at 50.
    for (shore_a, mpa) in [(30.0, 1.142), (40.0, 1.690), (50.0, 2.456)] {
        let mut silicone = Shop::bundled().silicones[0].clone();
        silicone.shore_a = shore_a;
        near(modulus_mpa(&silicone), mpa, 0.001);
    }
    // Lamé: p = 1.69·0.05/(1.5·2.5) = 0.022533 MPa on π·5·3 = 47.124 mm², half of it as friction: 0.53095 N.
    near(grip_n(1.69, 0.05, 3.0, 0.5), 0.022533333 * 47.1238898 * 0.5, 1e-6);
    // A cubic centimetre of 8 g/cm³: 8 g, 0.0784532 N.
    near(weight_n(1000.0, 8.0), 0.0784532, 1e-9);
}

fn insert(position: DVec3, normal: DVec3, in_pocket_mm: f64) -> Insert {
    Insert {
        number: 1,
        name: String::new(),
        kind: InsertKind::Pin { diameter_mm: 4.0, length_mm: 12.0 },
        at: Spot { part: 0, position, normal },
        in_pocket_mm,
        pocket: PocketMade::DummyOnMaster,
        stays: true,
        threads: Threads::None,
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    }
}

/// A plate of 80 × 50 × 20, drawn upwards, far from the origin, with one insert.
fn plate(x: f64, y: f64, z: f64, normal: DVec3, in_pocket_mm: f64) -> Job {
    let far = Vec3::new(1000.0, -500.0, 250.0);
    let at = far.as_dvec3() + DVec3::new(x, y, z);
    Job::new(&solids::cuboid(far, far + Vec3::new(80.0, 50.0, 20.0)))
        .with(|plan, _| plan.inserts.push(insert(at, normal, in_pocket_mm)))
}

fn held(job: &Job) -> Vec<(Severity, String)> {
    job.findings().into_iter().filter(|f| f.code == "insert-held").map(|f| (f.severity, f.message)).collect()
}

#[test]
#[ignore = "long"]
fn long_an_insert_on_top_hangs_in_its_pocket_and_one_below_stands_in_it() {
    // A pin Ø4 × 12: π·4·12 = 150.8 mm³ of 8 g/cm³, 0.01183 N (the polygon that stands for it is 0.3 % smaller).
    let top = plate(40.0, 25.0, 20.0, DVec3::Z, 4.0).report();
    let report = &top.inserts[0];
    near(report.weight_n, 0.01183, 0.0001);
    near(report.pull_n, report.weight_n, 1e-9);
    assert_eq!(report.half, Some(1));
    near(report.lock_mm, 0.0, 1e-6);
    // Under its inner end, 8 mm in, the plate ends at its floor, which half 2 covers: the way in is open.
    assert_eq!(report.room_mm, None);
    assert!(report.grip_n > 3.0 * report.pull_n);
    let below = plate(40.0, 25.0, 0.0, DVec3::NEG_Z, 4.0).report();
    assert_eq!((below.inserts[0].half, below.inserts[0].pull_n), (Some(2), 0.0));
    assert!(held(&plate(40.0, 25.0, 20.0, DVec3::Z, 4.0)).is_empty());
    // Cast upside down the one below hangs.
    let turned = plate(40.0, 25.0, 0.0, DVec3::NEG_Z, 4.0)
        .with(|plan, _| plan.hang.cast = Some(Attitude { up: DVec3::NEG_Z, turn: 0.0 }));
    near(turned.report().inserts[0].pull_n, report.weight_n, 1e-6);
}

#[test]
#[ignore = "long"]
fn long_what_is_wrong_with_an_insert_is_told() {
    let only = |job: Job, severity: Severity, words: &str| {
        let found = held(&job);
        assert!(found.iter().any(|(s, m)| *s == severity && m.contains(words)), "{words}: {found:?}");
    };
    only(plate(40.0, 25.0, 20.0, DVec3::Z, 0.5), Severity::Warn, "stands only 0.5 mm in its pocket");
    let heavy = plate(40.0, 25.0, 20.0, DVec3::Z, 4.0).with(|_, shop| shop.habits.rubber_friction = 0.001);
    only(heavy, Severity::Warn, "hangs in its pocket");
    // Out of the side, near the upper edge: across the draw by all of its 6 mm, more than 40 A lets go.
    let across = plate(80.0, 25.0, 10.0, DVec3::X, 6.0);
    near(across.report().inserts[0].lock_mm, 6.0, 1e-6);
    only(across, Severity::Warn, "across the draw");
    let hot = plate(40.0, 25.0, 20.0, DVec3::Z, 4.0).with(|plan, _| plan.inserts[0].hottest_c = Some(60.0));
    only(hot, Severity::Stop, "bears 60 °C; the mould is heated to 70 °C");
    let open = plate(40.0, 25.0, 20.0, DVec3::Z, 4.0).with(|plan, _| {
        plan.inserts[0].kind = InsertKind::Bush { diameter_mm: 4.0, length_mm: 12.0, thread: "M3".into() }
    });
    only(open, Severity::Warn, "The thread of insert 1 is open");
}

/// Parts the block level at this height over the plate's floor, which lies at 250.
fn parted(job: Job, height_mm: f64) -> Job {
    job.with(|plan, _| plan.parting.plane_mm = Some(250.0 + height_mm))
}

#[test]
#[ignore = "long"]
fn long_the_cut_keeps_clear_of_a_pocket() {
    // The line runs round the walls 5 over the floor: 15 below and 25 beside the axis, less the pin's radius of 2.
    let job = parted(plate(40.0, 25.0, 20.0, DVec3::Z, 4.0), 5.0);
    near(job.report().inserts[0].to_line_mm.expect("a line"), 25f64.hypot(15.0) - 2.0, 0.05);
    assert!(held(&job).is_empty());
    // Out of the wall, on the line and 4 mm above it.
    let told = |z: f64| held(&parted(plate(80.0, 25.0, z, DVec3::X, 2.0), 5.0));
    assert!(told(5.0).iter().any(|(_, m)| m.contains("The cut runs through the pocket of insert 1")));
    assert!(told(9.0).iter().any(|(_, m)| m.contains("only 2.0 mm from the cut")), "{:?}", told(9.0));
    assert!(!told(13.0).iter().any(|(_, m)| m.contains("the cut")));
}

#[test]
#[ignore = "long"]
fn long_rubber_of_the_same_half_in_front_of_a_pocket_keeps_the_insert_out() {
    // A post of 60 × 40 × 30 with a hole from above whose wall stands `wall` thick at the far side, parted level 5 over
    // its floor: the hole and the outer walls above belong to half 1. A pin of 12 with 3 in the plug of the hole lies 9 in
    // that wall, and `wall` − 9 is left in front of it.
    let post = |wall: f32| {
        let far = Vec3::new(-300.0, 40.0, 250.0);
        let post = solids::cuboid(far, far + Vec3::new(60.0, 40.0, 30.0));
        let hole = solids::cuboid(far + Vec3::new(20.0, 10.0, 8.0), far + Vec3::new(60.0 - wall, 30.0, 40.0));
        let post = mouldbench::mesh::boolean::subtract(&post, &[&hole]).expect("a post with a hole");
        let at = far.as_dvec3() + DVec3::new(60.0 - wall as f64, 20.0, 20.0);
        parted(Job::new(&post).with(|plan, _| plan.inserts.push(insert(at, DVec3::NEG_X, 3.0))), 5.0)
    };
    for (wall, stops) in [(20.0, false), (10.0, true)] {
        let job = post(wall);
        let report = job.report();
        assert_eq!(report.inserts[0].half, Some(1));
        near(report.inserts[0].room_mm.expect("rubber in front"), wall as f64 - 9.0, 0.05);
        assert_eq!(held(&job).iter().any(|(s, m)| *s == Severity::Stop && m.contains("cannot be put")), stops);
    }
}
