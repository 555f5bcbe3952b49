//! `sheet` writes a PDF, the same for the same plan.

use super::{file, fresh, mouldbench, said};

#[test]
fn a_demo_sheet_is_written_whole_and_the_same_each_time() {
    let (dir, first) = fresh("first.pdf");
    let second = dir.path().join("second.pdf").to_string_lossy().into_owned();
    let plan = file("projects/cap.ron");
    for out in [&first, &second] {
        let output = mouldbench(&["sheet", &plan, "--out", out]);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    }
    let bytes = std::fs::read(&first).expect("written");
    assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 20_000 && bytes.len() < 2_000_000, "{} bytes", bytes.len());
    assert_eq!(bytes, std::fs::read(&second).expect("written"));
    let letter = dir.path().join("letter.pdf").to_string_lossy().into_owned();
    assert!(mouldbench(&["sheet", &plan, "--out", &letter, "--paper", "letter"]).status.success());
    assert_ne!(bytes, std::fs::read(&letter).expect("written"));
}

#[test]
fn a_place_that_cannot_be_written_is_told() {
    let output = mouldbench(&["sheet", &file("projects/cap.ron"), "--out", "/nowhere/at/all.pdf"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("/nowhere/at/all.pdf"), "{}", said(&output));
}
