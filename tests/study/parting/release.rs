//! Undercuts: how deep, of what kind, and how far the rubber is strained.

use super::shapes::{drilled_cube, revolved, some_turn, turned};
use super::whole::{part, part_as_wished, part_finely, t_slot};
use glam::{Quat, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::parting::release::Release;
use mouldbench::study::parting::release::kinds::{UndercutKind, Verdict};
use mouldbench::study::parting::release::undercuts::{Form, Undercut, undercuts};
use mouldbench::study::parting::{PartingFacts, Wish};
use std::f64::consts::PI;

/// The undercuts of a parting from half a square millimetre on.
pub fn held(mesh: &Mesh, facts: &PartingFacts) -> Vec<Undercut> {
    undercuts(facts, &Tree::of(mesh), 0.5, &Run::new()).expect("not cancelled")
}

fn turns(seed: u32) -> Quat {
    if seed == 0 { Quat::IDENTITY } else { some_turn(seed) }
}

/// A rod of 40 with a groove 2 deep and 3 wide round it.
fn grooved(sides: u32) -> Mesh {
    let profile =
        [(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (18.0, 12.0), (18.0, 15.0), (20.0, 15.0), (20.0, 30.0), (0.0, 30.0)];
    revolved(&profile, sides)
}

/// The same groove over a quarter turn only.
fn quarter_grooved(sides: u32) -> Mesh {
    let rod = solids::cylinder(Vec3::ZERO, Vec3::Z * 30.0, 20.0, sides);
    let outer = solids::cylinder(Vec3::Z * 12.0, Vec3::Z * 15.0, 22.0, sides);
    let inner = solids::cylinder(Vec3::Z * 11.0, Vec3::Z * 16.0, 18.0, sides);
    let ring = boolean::subtract(&outer, &[&inner]).expect("a ring");
    let three = [
        solids::cuboid(Vec3::new(-30.0, -30.0, 0.0), Vec3::new(0.0, 30.0, 30.0)),
        solids::cuboid(Vec3::new(-30.0, -30.0, 0.0), Vec3::new(30.0, 0.0, 30.0)),
    ];
    let quarter = boolean::subtract(&ring, &[&three[0], &three[1]]).expect("a quarter");
    boolean::subtract(&rod, &[&quarter]).expect("a rod")
}

/// A groove 2 mm deep round a cylinder reads 2.00 deep when drawn along the axis, however it is turned and however fine,
/// and its area is the two flanks and the floor. It is a collar closed all round, stretched from Ø36 over Ø40 by 11.1 %
/// (hoop strain D/d − 1).
#[test]
fn groove_reads_its_depth_and_stretch() {
    for (sides, seed, far) in [(128, 0, 0.0), (128, 5, 0.0), (32, 2, 0.0), (128, 1, 3000.0)] {
        let mesh = grooved(sides);
        let n = sides as f64;
        let (p, c) = (n * (PI / n).sin(), (PI / n).cos());
        let expected = 2.0 * p * 18.0 * 3.0 + 2.0 * p * c * (400.0 - 324.0);
        let turn = turns(seed);
        let mut mesh = turned(&mesh, turn);
        mesh.positions.iter_mut().for_each(|p| *p += Vec3::new(far, -far, far));
        let facts = part(&mesh, turn * Vec3::Z);
        let undercuts = held(&mesh, &facts);
        assert_eq!(undercuts.len(), 1);
        let groove = &undercuts[0];
        assert!((groove.depth_mm - 2.0).abs() < 0.05, "{sides} {seed}: depth {}", groove.depth_mm);
        assert!((groove.height_mm - 3.0).abs() < 0.02, "{sides} {seed}: height {}", groove.height_mm);
        // One flank faces the half that the groove goes to and is free of its own half only at the rim.
        assert!((groove.area_mm2 - expected).abs() < 0.01 * expected, "{sides} {seed}: area {}", groove.area_mm2);
        let z = (turn.inverse() * (groove.middle - Vec3::new(far, -far, far))).z;
        assert!((11.9..15.1).contains(&z), "middle at height {z}");
        assert_eq!(groove.form.kind(), UndercutKind::Collar, "{sides} {seed}");
        assert!(groove.closed_round);
        let Form::Collar { neck_mm, head_mm } = groove.form else { panic!("a collar") };
        // Girth of a polygon of 32 or 128 sides over π.
        assert!((neck_mm - 36.0 * p / PI).abs() < 0.1 && (head_mm - 40.0 * p / PI).abs() < 0.15, "{neck_mm} {head_mm}");
        assert!((groove.form.stretch() - 1.0 / 9.0).abs() < 0.004, "{}", groove.form.stretch());
    }
}

/// The same groove over a quarter turn is not closed, is a tongue that moves aside, is strained less and judged milder.
#[test]
fn quarter_of_a_groove_is_milder() {
    let (whole, quarter) = (grooved(96), quarter_grooved(96));
    let shop = Shop::bundled();
    for seed in [0, 4] {
        let turn = turns(seed);
        let [ring, part_of_it] = [&whole, &quarter].map(|mesh| {
            let mesh = turned(mesh, turn);
            let mut found = held(&mesh, &part(&mesh, turn * Vec3::Z));
            assert_eq!(found.len(), 1);
            found.swap_remove(0)
        });
        assert!((part_of_it.depth_mm - 2.0).abs() < 0.05, "{}", part_of_it.depth_mm);
        assert_eq!(part_of_it.form.kind(), UndercutKind::Tongue, "{seed}: {:?}", part_of_it.form);
        assert!(ring.closed_round && !part_of_it.closed_round);
        // An arc 2 mm high over the chord of a quarter of Ø40, 28.28 mm (one of Ø36 at least).
        let stretch = part_of_it.form.stretch();
        assert!((0.012..0.018).contains(&stretch), "{stretch}");
        let verdict = |u: Undercut| {
            Release { undercuts: std::sync::Arc::new(vec![u]), ..Release::default() }
                .judged(0, &shop.silicones[0], &shop.limits)
                .verdict
        };
        assert_eq!([verdict(ring), verdict(part_of_it)], [Verdict::WithCare, Verdict::LetsGo]);
    }
}

/// The head of a T-slot goes 10 beside its neck: a core 30 wide squeezed through a neck of 10, by two thirds. It is not
/// closed: the slot is open at both ends.
#[test]
fn t_slot_squeezes_its_core() {
    for seed in [0, 3] {
        let mesh = turned(&t_slot(), turns(seed));
        let facts = part_finely(&mesh, turns(seed) * Vec3::Z);
        let undercuts = held(&mesh, &facts);
        let head = &undercuts[0];
        assert!((head.depth_mm - 10.0).abs() < 0.3, "turn {seed}: {}", head.depth_mm);
        assert_eq!(head.form.kind(), UndercutKind::Core, "turn {seed}: {:?}", head.form);
        assert!(!head.closed_round);
        assert!((head.form.stretch() - 2.0 / 3.0).abs() < 0.01, "{}", head.form.stretch());
        assert!(held(&mesh, &part(&mesh, turns(seed) * Vec3::Y)).is_empty(), "along the slot nothing is held");
    }
}

/// A bottle: a room of Ø30 behind a neck of Ø24 squeezes its core by 1 − 24/30, closed all round, 3 mm deep.
#[test]
fn bottle_squeezes_its_core_all_round() {
    let profile =
        [(0.0, 0.0), (20.0, 0.0), (20.0, 30.0), (12.0, 30.0), (12.0, 24.0), (15.0, 24.0), (15.0, 5.0), (0.0, 5.0)];
    for seed in [0, 2] {
        let mesh = turned(&revolved(&profile, 96), turns(seed));
        let undercuts = held(&mesh, &part(&mesh, turns(seed) * Vec3::Z));
        let room = &undercuts[0];
        assert!((room.depth_mm - 3.0).abs() < 0.05, "turn {seed}: {}", room.depth_mm);
        assert_eq!(room.form.kind(), UndercutKind::Core, "{:?}", room.form);
        assert!(room.closed_round);
        assert!((room.form.stretch() - 0.2).abs() < 0.01, "{}", room.form.stretch());
    }
}

/// Drawn across its hole a drilled cube holds the rubber in it: it must come out of one of its ends, 20 mm from the
/// middle, and nothing lets it by along the draw.
#[test]
fn drilled_cube_locks_its_core() {
    let cube = drilled_cube(40.0, 10.0, 64);
    for draw in [Vec3::X, Vec3::new(0.6, 0.8, 0.0)] {
        let facts = part_finely(&cube, draw);
        let undercuts = held(&cube, &facts);
        let hole = &undercuts[0];
        assert!((hole.depth_mm - 20.0).abs() < 1.0, "{}", hole.depth_mm);
        assert_eq!(hole.form.kind(), UndercutKind::Core, "{:?}", hole.form);
        assert_eq!(hole.form.stretch(), 1.0);
    }
    assert!(held(&cube, &part(&cube, Vec3::Z)).is_empty());
}

/// A blind hole Ø5 and 10 deep in a side: a pin of rubber 5 thick that folds out, 0.39 strained (π·5/(4·10)).
#[test]
fn side_hole_holds_a_pin_that_folds_out() {
    let block = solids::cuboid(Vec3::new(-20.0, -20.0, -10.0), Vec3::new(20.0, 20.0, 10.0));
    let drill = solids::cylinder(Vec3::new(10.0, 1.0, 2.0), Vec3::new(25.0, 1.0, 2.0), 2.5, 48);
    let mesh = boolean::subtract(&block, &[&drill]).expect("drilled");
    for seed in [0, 3] {
        let mesh = turned(&mesh, turns(seed));
        // Parted by a plane well below the hole, so that half 1 has all of it.
        let wish = Wish { plane_mm: Some(-7.0), ..Wish::along(turns(seed) * Vec3::Z) };
        let undercuts = held(&mesh, &part_as_wished(&mesh, &wish));
        let deepest = undercuts.iter().max_by(|a, b| a.depth_mm.total_cmp(&b.depth_mm));
        let pin = deepest.expect("the rubber in the hole is held");
        assert_eq!(pin.form.kind(), UndercutKind::Tongue, "{:?}", pin.form);
        assert!(!pin.closed_round);
        assert!((pin.depth_mm - 10.0).abs() < 0.3, "{}", pin.depth_mm);
        let Form::Tongue { thickness_mm, length_mm, .. } = pin.form else { panic!("a tongue") };
        assert!((4.7..5.05).contains(&thickness_mm) && (length_mm - 10.0).abs() < 0.3, "{thickness_mm} {length_mm}");
    }
}

/// Convex bodies hold nothing, whichever way they are drawn.
#[test]
fn convex_bodies_hold_nothing() {
    for mesh in
        [solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0)), solids::cylinder(Vec3::ZERO, Vec3::Z * 30.0, 8.0, 64)]
    {
        for draw in [Vec3::Z, Vec3::X] {
            assert!(held(&mesh, &part(&mesh, draw)).is_empty());
        }
    }
}
