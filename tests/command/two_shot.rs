//! A two-shot plan made, checked and printed without a window.

use super::{fresh, json, list, mouldbench, number, said, write_stl};
use glam::Vec3;
use mouldbench::mesh::solids;

#[test]
#[ignore = "long"]
fn long_the_other_shot_is_named_checked_and_printed() {
    let (dir, plan) = fresh("cap.ron");
    let path = |name: &str| dir.path().join(name).to_string_lossy().into_owned();
    let hard = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 10.0));
    let outer = solids::cuboid(Vec3::new(-3.0, -3.0, 5.0), Vec3::new(43.0, 33.0, 13.0));
    let cap = mouldbench::mesh::boolean::subtract(&outer, &[&hard]).expect("cut");
    write_stl(&path("cap.stl"), &cap);
    write_stl(&path("core.stl"), &hard);
    let arguments = ["--out", &plan, "--up", "0,0,1", "--draw", "0,1,0", "--json", "--replace"];
    let made = |more: &[&str]| {
        mouldbench(&[&["plan", &path("cap.stl"), "--other-shot", &path("core.stl")], &arguments[..], more].concat())
    };
    let output = made(&[]);
    assert!(output.status.success(), "{}", said(&output));
    let report = json(&output);
    // Top, and half of the four sides: 40·30 + 2·(40 + 30)·5.
    assert!((number(&report, "/second_shot/contact_mm2") - 1900.0).abs() < 1.0);
    assert!((number(&report, "/second_shot/hard/part_mm3") - 12_000.0).abs() < 0.1);
    // 46·36·8 less the 40·30·5 that the hard part takes of it.
    assert!((number(&report, "/second_shot/soft/part_mm3") - 7248.0).abs() < 0.1);
    assert_eq!(report["resin"]["name"], "Soft 60 A");
    assert_eq!(report["second_shot"]["makes"], "soft");
    assert!(list(&report, "/second_shot/events").len() >= 8);
    assert_eq!(json(&mouldbench(&["check", &plan, "--json"])), report, "the same answers come from the file");
    let words = String::from_utf8_lossy(&mouldbench(&["check", &plan]).stdout).into_owned();
    assert!(words.contains("Two shots: contact 1900 mm²"), "{words}");
    let sources = json(&mouldbench(&["check", &plan, "--json", "--sources"]));
    let named = |s: &&serde_json::Value| s["figure"] == "second_shot.wait_s";
    assert!(
        list(&sources, "/sources")
            .iter()
            .find(named)
            .is_some_and(|s| s["source"].as_str().is_some_and(|t| t.contains("set here")))
    );

    let pdf = path("cap.pdf");
    let output = mouldbench(&["sheet", &plan, "--out", &pdf]);
    assert!(output.status.code().is_some_and(|c| c < 2), "{}", said(&output));
    assert!(std::fs::read(&pdf).expect("a sheet").starts_with(b"%PDF-"));

    let report = json(&made(&["--makes", "hard", "--round-first-cast"]));
    assert_eq!(report["second_shot"]["cavity"], "round_first_cast");
    assert_eq!(report["resin"]["name"], "Rigid general");
    // Without the other mesh the rest says nothing.
    assert_eq!(mouldbench(&["plan", &path("cap.stl"), "--out", &plan, "--makes", "hard"]).status.code(), Some(2));
    assert_eq!(
        mouldbench(&["plan", &path("cap.stl"), "--out", &plan, "--other-shot", "/nowhere.stl"]).status.code(),
        Some(2)
    );
}
