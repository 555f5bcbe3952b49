//! Cached facts equal facts computed afresh, after any edits, undo and redo.

use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::history::History;
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::slot::Slot;
use mouldbench::study::bench::{Bench, StudyError};
use mouldbench::study::findings::judge;
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::of::report_of;
use proptest::prelude::*;
use std::path::Path;
use std::sync::Arc;

/// An angle piece with a peg that overlaps it, far from the origin, in a folder of its own.
fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let at = Vec3::new(500.0, -300.0, 200.0);
    let mut mesh = solids::cuboid(at, at + Vec3::new(30.0, 20.0, 6.0));
    mesh.append(&solids::cuboid(at + Vec3::new(0.0, 0.0, 4.0), at + Vec3::new(6.0, 20.0, 24.0)));
    mesh.append(&solids::cylinder(at + Vec3::new(20.0, 10.0, 3.0), at + Vec3::new(20.0, 10.0, 15.0), 4.0, 24));
    write(dir.path(), &mesh);
    dir
}

fn write(folder: &Path, mesh: &Mesh) {
    let mut file = std::fs::File::create(folder.join("angle.stl")).expect("made");
    write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
}

fn bench_in(folder: &Path) -> Bench {
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder));
    bench
}

fn report_text(bench: &Bench, plan: &Plan) -> String {
    let facts = bench.facts(plan, &Run::new()).expect("facts");
    let findings = judge(plan, bench.shop(), &facts);
    serde_json::to_string(&report_of(plan, bench.shop(), &facts, &findings)).expect("text")
}

/// One edit of every kind that some fact depends on, with a number to vary it.
fn edit(plan: &mut Plan, kind: usize, n: f64) {
    let top = DVec3::new(500.0 + 3.0, -290.0, 224.0);
    let peg = DVec3::new(520.0, -290.0, 215.0);
    let spot = |position: DVec3| Spot { part: 0, position, normal: DVec3::Z };
    match kind {
        0 => plan.vents.push(Vent {
            number: plan.free_vent_number(),
            at: spot(top + DVec3::Y * (n - 0.5) * 10.0),
            diameter_mm: 1.5,
            ..Vent::default()
        }),
        1 => plan.vents.push(Vent {
            number: plan.free_vent_number(),
            at: spot(peg),
            diameter_mm: 1.0 + n,
            ..Vent::default()
        }),
        2 => {
            plan.vents.pop();
        }
        3 => plan.hang.rubber.up = DVec3::new(n - 0.5, 0.3, 1.0).normalize(),
        4 => {
            plan.hang.cast = if n > 0.5 { None } else { Some(Attitude { up: DVec3::new(0.2, n, 1.0), turn: 0.0 }) };
        }
        5 => plan.parting.draw = DVec3::new(n - 0.5, 1.0, 0.1).normalize(),
        6 => {
            plan.feed.gates = vec![Gate {
                number: 1,
                at: Spot { part: 0, position: DVec3::new(530.0, -290.0, 201.0 + 4.0 * n), normal: DVec3::X },
                diameter_mm: 3.0,
                runner: vec![DVec3::new(542.0, -290.0, 203.0)],
                runner_diameter_mm: 6.0,
                ..Gate::default()
            }];
        }
        7 => plan.feed.gates.clear(),
        8 => plan.block.wall_mm = Some(12.0 + 10.0 * n),
        9 => plan.quantity.good = 5 + (n * 40.0) as u32,
        10 => {
            plan.inserts = vec![Insert {
                number: 1,
                name: String::new(),
                kind: InsertKind::Pin { diameter_mm: 2.0 + n, length_mm: 10.0 },
                at: spot(peg),
                in_pocket_mm: 3.0,
                pocket: PocketMade::DummyOnMaster,
                stays: true,
                threads: Threads::None,
                half: None,
                density_g_cm3: None,
                hottest_c: None,
            }];
        }
        11 => plan.inserts.clear(),
        12 => plan.parting.pins = vec![Pin { at: spot(peg) }],
        _ => plan.name = format!("Job {n}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 5, ..ProptestConfig::default() })]

    #[test]
    #[ignore = "long"]
    fn long_cached_facts_equal_facts_computed_afresh(
        moves in prop::collection::vec((0usize..18, 0.0..1.0f64), 4..8),
    ) {
        let folder = folder();
        let bench = bench_in(folder.path());
        let mut history = History::new(bare_plan("Angle", "angle.stl", "", Unit::Millimetre));
        for (kind, n) in moves {
            match kind {
                14 | 15 => { history.undo(); }
                16 | 17 => { history.redo(); }
                _ => history.edit("edit", |plan| edit(plan, kind, n)),
            }
            let cached = report_text(&bench, history.plan());
            let afresh = report_text(&bench_in(folder.path()), history.plan());
            prop_assert_eq!(cached, afresh, "after {} {}", kind, n);
        }
    }
}

#[test]
fn facts_gone_back_to_equal_facts_computed_afresh() {
    let folder = folder();
    let bench = bench_in(folder.path());
    let mut history = History::new(bare_plan("Angle", "angle.stl", "", Unit::Millimetre));
    let afresh = |history: &History| report_text(&bench_in(folder.path()), history.plan());
    let bare = afresh(&history);
    assert_eq!(report_text(&bench, history.plan()), bare);
    history.edit("edit", |plan| edit(plan, 6, 0.3));
    let fed = afresh(&history);
    assert_ne!(fed, bare);
    for (wanted, back) in [(&fed, true), (&bare, false), (&fed, true)] {
        assert_eq!(&report_text(&bench, history.plan()), wanted);
        if back {
            history.undo()
        } else {
            history.redo()
        };
    }
    // What stands is not computed again, and a bench that begins with it does not either.
    let facts = |bench: &Bench| bench.facts(history.plan(), &Run::new()).expect("facts").parting.expect("a parting");
    assert!(Arc::ptr_eq(&facts(&bench), &facts(&bench.clone())));
}

#[test]
fn a_slot_keeps_its_last_three_values_and_tells_the_latest() {
    let slot = Slot::default();
    let mut computed = 0;
    let mut get = |key: u32| {
        let value = slot.get_or(key, || {
            computed += 1;
            Ok::<_, ()>(10 * key)
        });
        (*value.expect("a value"), computed)
    };
    assert_eq!([get(1), get(2), get(3)], [(10, 1), (20, 2), (30, 3)]);
    assert_eq!([get(1), get(2)], [(10, 3), (20, 3)], "they stand");
    assert_eq!(get(4), (40, 4));
    assert_eq!((get(1), get(2)), ((10, 4), (20, 4)), "the one asked for longest ago has gone");
    assert_eq!(get(3), (30, 5));
    assert_eq!(slot.latest().map(|v| *v), Some(30));
    assert_eq!(slot.get_or(9, || Err("in vain")).map(|v| *v), Err("in vain"));
    assert_eq!((slot.latest().map(|v| *v), slot.fresh(&2).map(|v| *v)), (Some(30), Some(20)), "an error leaves them");
    assert_eq!((slot.fresh(&4), slot.clone().fresh(&1).map(|v| *v)), (None, Some(10)));
}

#[test]
fn a_mesh_that_changed_on_disk_is_read_again() {
    let folder = folder();
    let bench = bench_in(folder.path());
    let plan = bare_plan("Angle", "angle.stl", "", Unit::Millimetre);
    let before = report_text(&bench, &plan);
    let other = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 10.0, 10.0));
    write(folder.path(), &other);
    let after = report_text(&bench, &plan);
    assert_ne!(before, after);
    assert_eq!(after, report_text(&bench_in(folder.path()), &plan));
}

#[test]
fn a_cancelled_run_gives_no_facts_and_spoils_none() {
    let folder = folder();
    let bench = bench_in(folder.path());
    let plan = bare_plan("Angle", "angle.stl", "", Unit::Millimetre);
    let run = Run::new();
    run.cancel();
    assert!(matches!(bench.facts(&plan, &run), Err(StudyError::Cancelled(_))));
    assert_eq!(report_text(&bench, &plan), report_text(&bench_in(folder.path()), &plan));
}

#[test]
fn a_plan_without_a_part_is_told() {
    let bench = Bench::new(Shop::bundled().clone(), []);
    assert!(matches!(bench.facts(&Plan::default(), &Run::new()), Err(StudyError::NoPart)));
}

#[test]
#[ignore = "long"]
fn long_two_copies_in_one_block_hold_twice_the_air_resin_and_area() {
    let folder = folder();
    let bench = bench_in(folder.path());
    let one = bare_plan("Angle", "angle.stl", "", Unit::Millimetre);
    let mut two = one.clone();
    two.parts.push(one.parts[0].clone());
    two.parts[1].pose.translation_mm = DVec3::new(0.0, 45.0, 0.0);
    let run = Run::new();
    let (a, b) = (bench.facts(&one, &run).expect("facts"), bench.facts(&two, &run).expect("facts"));
    let air = |f: &mouldbench::study::bench::Facts| f.air.as_ref().expect("air").trapped.total_mm3;
    assert!((air(&b) - 2.0 * air(&a)).abs() < 1e-3 * air(&a));
    let area = |f: &mouldbench::study::bench::Facts| f.parting.as_ref().expect("parting").area_mm2();
    assert!((area(&b) - 2.0 * area(&a)).abs() < 1e-3 * area(&a));
    let volume = |f: &mouldbench::study::bench::Facts| f.cavity.as_ref().expect("cavity").volume_mm3;
    assert!((volume(&b) - 2.0 * volume(&a)).abs() < 1e-3 * volume(&a));
}
