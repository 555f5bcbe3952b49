//! The plan's file: everything comes back equal, nothing broken is read, nothing is lost.

use super::any_plan::any_plan;
use mouldbench::plan::file::{self, PlanFileError};
use mouldbench::plan::stamp::Stamp;
use mouldbench::plan::{Part, Plan, Vent};
use proptest::prelude::*;
use std::path::Path;

fn small_plan() -> Plan {
    Plan {
        name: "Probe handle".into(),
        parts: vec![Part { name: "Handle".into(), mesh: "handle.stl".into(), ..Part::default() }],
        ..Plan::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn every_plan_comes_back_equal(plan in any_plan()) {
        let text = file::to_text(&plan);
        let back = file::from_text(&text, Path::new("plan.ron")).expect("what we wrote is read");
        prop_assert_eq!(back, plan);
    }

    #[test]
    fn a_torn_file_is_an_error_and_no_panic(plan in any_plan(), share in 0.0..0.999f64) {
        let text = file::to_text(&plan);
        let mut cut = (text.trim_end().len() as f64 * share) as usize;
        while !text.is_char_boundary(cut) {
            cut -= 1;
        }
        prop_assert!(file::from_text(&text[..cut], Path::new("plan.ron")).is_err());
    }
}

#[test]
fn saved_and_read_from_disk() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("probe.ron");
    let plan = small_plan();
    file::save(&plan, &path).expect("saved");
    assert_eq!(file::read(&path).expect("read"), plan);
    let names: Vec<_> =
        std::fs::read_dir(dir.path()).expect("listing").map(|e| e.expect("entry").file_name()).collect();
    assert_eq!(names, ["probe.ron"], "no sibling is left behind");
}

#[test]
fn a_failed_save_leaves_the_old_file() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("probe.ron");
    file::save(&small_plan(), &path).expect("saved");
    let before = std::fs::read(&path).expect("bytes");
    // A folder that is not there cannot be written into; neither can a path that is a folder.
    assert!(matches!(file::save(&small_plan(), &dir.path().join("nowhere/x.ron")), Err(PlanFileError::Write { .. })));
    std::fs::create_dir(dir.path().join("folder.ron")).expect("made");
    std::fs::write(dir.path().join("folder.ron/inside"), "x").expect("written");
    assert!(matches!(file::save(&small_plan(), &dir.path().join("folder.ron")), Err(PlanFileError::Write { .. })));
    assert_eq!(std::fs::read(&path).expect("bytes"), before);
    assert_eq!(std::fs::read_dir(dir.path()).expect("listing").count(), 2, "no sibling is left behind");
}

#[test]
fn a_newer_version_is_refused_by_name() {
    let text = file::to_text(&small_plan()).replace("version: 1", "version: 7, wonder: [1, 2]");
    match file::from_text(&text, Path::new("p.ron")) {
        Err(PlanFileError::Newer { found: 7, known, .. }) => assert_eq!(known, file::VERSION),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_next_version_is_refused_even_where_it_looks_the_same() {
    let next = file::to_text(&small_plan()).replace("version: 1", &format!("version: {}", file::VERSION + 1));
    assert!(matches!(file::from_text(&next, Path::new("p.ron")), Err(PlanFileError::Newer { .. })), "{next}");
}

/// Another name of the same file shows whether it was written into: POSIX, rename(2) replaces the name and leaves the old file
/// to whoever has it, open(2) with O_TRUNC empties the file itself.
#[cfg(unix)]
#[test]
fn a_plan_is_never_written_straight_over_the_old_file() {
    let dir = tempfile::tempdir().expect("a folder");
    let (path, other) = (dir.path().join("probe.ron"), dir.path().join("other name"));
    file::save(&small_plan(), &path).expect("saved");
    std::fs::hard_link(&path, &other).expect("a second name");
    let renamed = Plan { name: "Another".into(), ..small_plan() };
    file::save(&renamed, &path).expect("saved");
    assert_eq!(file::read(&path).expect("read"), renamed);
    assert_eq!(file::read(&other).expect("the old file whole"), small_plan());
}

#[test]
fn a_stamp_tells_content_and_no_time() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("probe.ron");
    let absent = Stamp::of(&path);
    assert_eq!(absent, Stamp::Absent);
    // FIPS 180-2, appendix B.1: the digest of "abc".
    std::fs::write(&path, "abc").expect("written");
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    let stamp = Stamp::of(&path);
    assert_eq!((stamp.to_hex().as_deref(), Stamp::from_hex(abc)), (Some(abc), stamp));
    assert!(stamp.still_holds(&path) && !absent.still_holds(&path));
    // Another content with the very same time is seen; the same content with another time is nothing.
    let time = std::fs::metadata(&path).and_then(|m| m.modified()).expect("a time");
    std::fs::write(&path, "abd").expect("written");
    let set = |to| std::fs::File::options().write(true).open(&path).and_then(|f| f.set_modified(to)).expect("a time");
    set(time);
    assert!(!stamp.still_holds(&path));
    std::fs::write(&path, "abc").expect("written");
    set(time + std::time::Duration::from_secs(60));
    assert!(stamp.still_holds(&path));
    std::fs::remove_file(&path).expect("removed");
    assert!(stamp.still_holds(&path), "a file that is gone is lost to nobody by a save");
    std::fs::create_dir(&path).expect("a folder in its place");
    assert!(!stamp.still_holds(&path) && !Stamp::of(&path).still_holds(&path));
    for broken in ["", "ba78", &abc.replace('b', "ä")[..], &format!("+{}", &abc[1..])] {
        assert_eq!(Stamp::from_hex(broken), Stamp::Unknown, "{broken}");
    }
}

#[test]
fn broken_text_is_told_with_line_and_column() {
    let text = file::to_text(&small_plan());
    let line = 1 + text.lines().position(|l| l.contains("stage:")).expect("a stage");
    let broken = text.replace("stage: Planned", "stage: Melted");
    match file::from_text(&broken, Path::new("p.ron")) {
        Err(PlanFileError::Broken { line: at, column, fault, .. }) => {
            assert_eq!(at, line);
            assert!(column > 1);
            assert!(fault.contains("Melted"), "{fault}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn an_unknown_field_is_refused_rather_than_lost() {
    let text = file::to_text(&small_plan()).replace("revision: 0", "revision: 0, colour: \"red\"");
    assert!(matches!(file::from_text(&text, Path::new("p.ron")), Err(PlanFileError::Broken { .. })));
}

#[test]
fn values_that_cannot_be_are_told() {
    let cases: [(fn(&mut Plan), &str); 5] = [
        (|p| p.parting.draw = glam::DVec3::ZERO, "draw"),
        (|p| p.vents.push(Vent { number: 3, diameter_mm: -1.0, ..vent_on(0) }), "vent 3"),
        (|p| p.vents.push(Vent { number: 4, diameter_mm: 1.0, ..vent_on(9) }), "part 9"),
        (|p| p.hang.rubber.up = glam::DVec3::splat(f64::NAN), "up"),
        (set_of_two_shots, "2 parts and another shot"),
    ];
    for (spoil, word) in cases {
        let mut plan = small_plan();
        spoil(&mut plan);
        match file::from_text(&file::to_text(&plan), Path::new("p.ron")) {
            Err(PlanFileError::Value { fault, .. }) => assert!(fault.contains(word), "{fault} / {word}"),
            other => panic!("{word}: {other:?}"),
        }
    }
}

fn set_of_two_shots(plan: &mut Plan) {
    plan.parts.push(plan.parts[0].clone());
    plan.second_shot = Some(mouldbench::plan::SecondShot { mesh: "soft.stl".into(), ..Default::default() });
}

fn vent_on(part: usize) -> Vent {
    let at = mouldbench::plan::Spot { part, position: glam::DVec3::ZERO, normal: glam::DVec3::Z };
    Vent { at, ..Vent::default() }
}

#[test]
fn every_file_in_the_folder_of_bad_plans_is_an_error() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plan/bad");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let error = file::read(&path).expect_err(&format!("{} must not be read", path.display()));
        assert!(error.to_string().contains(&*path.file_name().expect("a name").to_string_lossy()), "{error}");
        seen += 1;
    }
    assert!(seen >= 7, "{seen} files");
}
