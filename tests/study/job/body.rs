//! The body of resin with inserts taken out: all at once where they stand apart, one by one where they meet.

use glam::{DVec3, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::{solids, write_stl};
use mouldbench::plan::{Insert, InsertKind, PocketMade, Spot, Threads, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::propose::bare_plan;

/// Depth of a pin Ø4 in the plate, millimetres.
const DEPTH: f64 = 5.0;

/// A pin is a prism of 48 sides.
fn displaced_by_a_pin() -> f64 {
    0.5 * 48.0 * 4.0 * (std::f64::consts::TAU / 48.0).sin() * DEPTH
}

/// Volume of the body and what each insert displaces, for pins Ø4 at these places of a plate 60 × 40 × 10.
fn with_pins(at: &[(f64, f64)]) -> (f64, Vec<f64>) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("plate.stl")).expect("made");
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 10.0));
    write_stl::write(&mut file, &plate, DVec3::new(4000.0, -700.0, 90.0)).expect("written");
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let mut plan = bare_plan("Plate", "plate.stl", "", Unit::Millimetre);
    for (i, (x, y)) in at.iter().enumerate() {
        let position = DVec3::new(4000.0 + x, -700.0 + y, 100.0);
        plan.inserts.push(Insert {
            number: i as u32 + 1,
            kind: InsertKind::Pin { diameter_mm: 4.0, length_mm: DEPTH + 3.0 },
            at: Spot { part: 0, position, normal: DVec3::Z },
            in_pocket_mm: 3.0,
            name: String::new(),
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads: Threads::None,
            half: None,
            density_g_cm3: None,
            hottest_c: None,
        });
    }
    let setting = bench.setting(&plan).expect("a setting");
    let body = bench.body(&plan, &setting, &Run::new()).expect("a body");
    assert_eq!(body.trouble, None);
    assert!(Topology::of(&body.mesh).is_closed());
    (body.measures.volume_mm3, body.displaced_mm3.clone())
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 0.05, "{found} for {wanted}");
}

#[test]
fn pins_that_stand_apart_each_displace_their_own() {
    let pin = displaced_by_a_pin();
    // The fourth stands half over the plate's edge, the fifth beside it, the order is mixed.
    let (volume, displaced) = with_pins(&[(45.0, 30.0), (10.0, 10.0), (30.0, 20.0), (0.0, 25.0), (75.0, 20.0)]);
    for (found, wanted) in displaced.iter().zip([pin, pin, pin, pin / 2.0, 0.0]) {
        near(*found, wanted);
    }
    near(volume, 24_000.0 - 3.5 * pin);
}

#[test]
fn pins_that_meet_share_what_they_displace_in_order() {
    let pin = displaced_by_a_pin();
    let (volume, displaced) = with_pins(&[(10.0, 10.0), (10.0, 10.0), (30.0, 20.0), (32.0, 20.0)]);
    near(displaced[0], pin);
    near(displaced[1], 0.0);
    near(displaced[2], pin);
    // Two circles of radius r at distance r share r²·(2π/3 − √3/2) (closed form of the lens).
    let lens = 4.0 * (2.0 * std::f64::consts::PI / 3.0 - 3f64.sqrt() / 2.0) * DEPTH;
    assert!((displaced[3] - (pin - lens)).abs() < 0.01 * pin, "{} for {}", displaced[3], pin - lens);
    near(volume, 24_000.0 - displaced.iter().sum::<f64>());
}

#[test]
fn pins_that_all_miss_the_part_displace_nothing() {
    let (volume, displaced) = with_pins(&[(90.0, 10.0), (100.0, 10.0), (110.0, 10.0)]);
    assert_eq!(displaced.iter().map(|d| d.abs()).fold(0.0, f64::max), 0.0);
    near(volume, 24_000.0);
}
