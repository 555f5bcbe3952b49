//! The closer look at a finding: sections whose outlines and caught air are known by hand.

use glam::{DQuat, DVec2, DVec3, Vec3};
use mouldbench::mesh::{Mesh, boolean, solids, write_stl};
use mouldbench::plan::{Attitude, Plan, Spot, Unit, Vent};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::{Bench, Facts};
use mouldbench::study::findings::{self, Finding};
use mouldbench::study::lessons::closer_look::{CloserLook, Upright, closer_look};
use mouldbench::study::propose::bare_plan;

/// A slab with two towers of 10 × 10, 15 and 25 high, all of one body.
fn towers() -> Mesh {
    let bodies = [
        solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 20.0, 10.0)),
        solids::cuboid(Vec3::new(10.0, 5.0, 8.0), Vec3::new(20.0, 15.0, 25.0)),
        solids::cuboid(Vec3::new(40.0, 5.0, 8.0), Vec3::new(50.0, 15.0, 35.0)),
    ];
    boolean::unite(&bodies.iter().collect::<Vec<_>>()).expect("united")
}

fn job(mesh: &Mesh, change: impl FnOnce(&mut Plan)) -> (Facts, Vec<Finding>) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut bytes = Vec::new();
    write_stl::write(&mut bytes, mesh, DVec3::ZERO).expect("written");
    std::fs::write(folder.path().join("part.stl"), bytes).expect("saved");
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let mut plan = bare_plan("Towers", "part.stl", "", Unit::Millimetre);
    change(&mut plan);
    let facts = bench.quick_facts(&plan, &Run::new()).expect("facts");
    let judged = findings::judge(&plan, bench.shop(), &facts);
    (facts, judged)
}

/// With no vent at all the whole part keeps its air in one body.
fn tall_one_vented(plan: &mut Plan) {
    let at = Spot { part: 0, position: DVec3::new(45.0, 10.0, 35.0), normal: DVec3::Z };
    plan.vents = vec![Vent { number: 1, at, diameter_mm: 2.0, ..Vent::default() }];
}

fn of(facts: &Facts, judged: &[Finding], words: &str) -> CloserLook {
    let finding = judged.iter().find(|f| f.code == "air-trapped" && f.message.contains(words));
    let finding = finding.unwrap_or_else(|| panic!("no finding says {words}: {judged:#?}"));
    closer_look(facts, finding).expect("a picture")
}

fn area(look: &CloserLook) -> f64 {
    look.air.iter().map(|[a, b]| (b.x - a.x).abs() * look.air_step_mm).sum()
}

#[test]
fn air_in_a_tower_is_filled_down_to_the_sill_and_no_further() {
    let (facts, judged) = job(&towers(), tall_one_vented);
    let look = of(&facts, &judged, "1.5 cm³");
    assert_eq!(look.upright, Upright::Cast);
    // The lower tower keeps its 15 mm over the slab: 10 mm wide across, more along a diagonal.
    let level = look.level_mm.expect("resin stops");
    assert!((level + 15.0).abs() < 1e-3, "{level}");
    assert!((150.0 - 0.1..=150.0 * 2f64.sqrt() + 0.1).contains(&area(&look)), "{}", area(&look));
    assert!(look.air.iter().flatten().all(|p| p.x.abs() < 7.2 && p.y < 0.0 && p.y > -15.0), "only its own tower");
    // The window holds the pocket.
    assert!(look.reach_mm >= 15.0);
}

#[test]
fn a_vent_below_the_peak_leaves_the_cap_above_its_rim_and_is_drawn() {
    let (facts, judged) = job(&towers(), |plan| {
        let side = |x, z| Spot { part: 0, position: DVec3::new(x, 5.0, z), normal: DVec3::NEG_Y };
        plan.vents = vec![
            Vent { number: 1, at: side(15.0, 20.0), diameter_mm: 2.0, ..Vent::default() },
            Vent { number: 2, at: side(45.0, 30.0), diameter_mm: 2.0, ..Vent::default() },
        ];
    });
    let look = of(&facts, &judged, "Vent 1 sits");
    assert!((look.level_mm.expect("a level") + 4.0).abs() < 1e-3, "{:?}", look.level_mm);
    assert!(!look.rods.is_empty() && look.rods.iter().all(|r| r.vent), "the vent is in the picture");
    let foot = look.rods[0].ends[0];
    assert!((foot.x.abs() - 5.0).abs() < 1.1 && (foot.y + 5.0).abs() < 1.1, "{foot}");
}

#[test]
fn turning_part_and_hang_together_changes_no_picture() {
    let once = job(&towers(), tall_one_vented);
    let turned = job(&towers(), |plan| {
        tall_one_vented(plan);
        let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.3, -1.1, 0.8);
        plan.parts[0].pose.rotation = turn;
        plan.hang.rubber = Attitude { up: turn * DVec3::Z, turn: 0.0 };
    });
    let [a, b] = [&once, &turned].map(|(facts, judged)| of(facts, judged, "1.5 cm³"));
    assert!((a.level_mm.unwrap_or(0.0) - b.level_mm.unwrap_or(9.0)).abs() < 1e-3);
    // Which of the sections round up is taken may differ; what it may show does not.
    for look in [&a, &b] {
        assert!((149.0..=214.0).contains(&area(look)), "{}", area(look));
    }
}

#[test]
fn the_outline_of_a_ball_is_its_circle() {
    let (facts, mut judged) = job(&solids::ball(Vec3::ZERO, 10.0, 5), |_| ());
    let finding = judged.iter_mut().find(|f| f.code == "air-trapped").expect("its top has no vent");
    // Looked at at its side, the normal is the way of the section.
    finding.step = findings::Step::Part;
    finding.place = Some(Vec3::new(10.0, 0.0, 0.0));
    let look = closer_look(&facts, finding).expect("a picture");
    assert_eq!((look.upright, look.level_mm), (Upright::Outwards, None));
    // A facet's normal leans a little off the radius, so that the section passes the middle nearby.
    let middle = DVec2::new(0.0, -10.0);
    assert!(look.part.len() > 50);
    assert!(look.part.iter().flat_map(|p| p.ends).all(|p| (p.distance(middle) - 10.0).abs() < 0.3));
    finding.place = None;
    assert_eq!(closer_look(&facts, finding), None);
}
