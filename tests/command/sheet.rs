//! `sheet` writes a PDF, the same for the same plan.

use super::{file, fresh, json, mouldbench, number, said};

#[test]
#[ignore = "long"]
fn long_a_demo_sheet_is_written_whole_and_the_same_each_time() {
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
#[ignore = "long"]
fn long_a_place_that_cannot_be_written_is_told() {
    let output = mouldbench(&["sheet", &file("projects/cap.ron"), "--out", "/nowhere/at/all.pdf"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("/nowhere/at/all.pdf"), "{}", said(&output));
}

#[test]
#[ignore = "long"]
fn long_an_issue_counts_up_and_the_next_tells_what_was_changed() {
    let (dir, pdf) = fresh("sheet.pdf");
    let path = dir.path().join("job.ron").to_string_lossy().into_owned();
    let mesh = dir.path().join("cap.stl");
    std::fs::copy(file("assets/demo/cap.stl"), &mesh).expect("copied");
    let mut plan = mouldbench::plan::file::read(std::path::Path::new(&file("projects/cap.ron"))).expect("read");
    plan.parts[0].mesh = "cap.stl".into();
    let save = |plan: &mouldbench::plan::Plan| {
        mouldbench::plan::file::save(plan, std::path::Path::new(&path)).expect("saved");
    };
    let read = || mouldbench::plan::file::read(std::path::Path::new(&path)).expect("read");
    save(&plan);
    let first = plan.revision;
    let issue = |date: &str| mouldbench(&["sheet", &path, "--out", &pdf, "--issue", date]);
    assert!(issue("2026-05-04").status.success());
    let mut issued = read();
    assert_eq!((issued.revision, issued.revision_date.as_str()), (first + 1, "2026-05-04"));
    assert_eq!(issued.issues.len(), 1);
    let told = issued.issues[0].decisions.clone();
    assert!(told.iter().any(|d| d.what == "Vent 1") && told.iter().any(|d| d.what == "Gate 1"));
    // One vent left out, one made wider: nothing else is told.
    let last = issued.vents.pop().expect("a vent").number;
    issued.vents[0].diameter_mm = 1.4;
    save(&issued);
    assert!(issue("2026-05-06").status.success());
    let second = read();
    assert_eq!(second.issues.iter().map(|i| i.revision).collect::<Vec<_>>(), [first + 1, first + 2]);
    let lines = mouldbench::sheet::changes::differences(&told, &second.issues[1].decisions);
    assert!(
        lines.iter().any(|l| l.starts_with("Vent 1: now") && l.contains("Ø 1.4") && l.contains("Ø 1.2")),
        "{lines:?}"
    );
    assert!(lines.contains(&format!("Vent {last} was left out")), "{lines:?}");
    assert!(
        lines.iter().all(|l| ["Vent 1:", "Vent ", "Resin:", "Silicone:"].iter().any(|w| l.starts_with(w))),
        "{lines:?}"
    );
    // What is no date, and a sheet that cannot be written, change nothing.
    assert_eq!(issue("2026-13-01").status.code(), Some(2));
    let output = mouldbench(&["sheet", &path, "--out", "/nowhere/at/all.pdf", "--issue", "2026-05-07"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(read(), second);
}

#[test]
#[ignore = "long"]
fn long_templates_are_written_for_paper_and_cutter() {
    let (dir, pdf) = fresh("sheet.pdf");
    let folder = dir.path().join("templates");
    let words = folder.to_string_lossy().into_owned();
    let plan = file("projects/cap.ron");
    for paper in ["a4", "a3", "letter"] {
        let output = mouldbench(&["sheet", &plan, "--out", &pdf, "--paper", paper, "--templates", &words]);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    }
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("a folder")
        .map(|e| e.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    let panels = ["back", "floor", "front", "knife", "left", "lid", "right"];
    let mut wanted: Vec<String> = panels.iter().flat_map(|p| [format!("{p}.dxf"), format!("{p}.svg")]).collect();
    wanted.push("templates.pdf".into());
    wanted.sort();
    assert_eq!(names, wanted);
}

/// Issued with a fill, opened again and printed without one: the same weights under the same revision. Changed after that, the
/// fill's figure holds no longer, and the sheet is no longer that of its revision.
#[test]
#[ignore = "long"]
fn long_a_revision_bears_the_weights_that_it_was_issued_with() {
    use mouldbench::plan::file as plan_file;
    use mouldbench::sheet::changes::since_issue;
    use mouldbench::sheet::figures::mass;
    use mouldbench::sheet::job::SheetJob;
    use mouldbench::sheet::page::Paper;
    use mouldbench::solve::run::Run;
    let (dir, path) = fresh("p.ron");
    let mesh = file("tests/assets/plate_with_hole.stl");
    mouldbench(&["plan", &mesh, "--out", &path, "--up", "0,0,1", "--draw", "0,0,1"]);
    // Without a vent much air stays, and how much of it resin closes round only a fill tells.
    let mut plan = plan_file::read(path.as_ref()).expect("read");
    plan.vents.clear();
    plan_file::save(&plan, path.as_ref()).expect("saved");
    let opened = || {
        let plan = plan_file::read(path.as_ref()).expect("read");
        let bench = mouldbench::study::bench::Bench::new(mouldbench::shop::Shop::bundled().clone(), []);
        bench.set_folder(Some(dir.path()));
        let facts = bench.facts(&plan, &Run::new()).expect("facts");
        let report = mouldbench::study::report::of::report_of(&plan, bench.shop(), &facts, &[]);
        let changed = since_issue(&SheetJob::new(&plan, bench.shop(), &facts, &report, None).input(Paper::A4))
            .map(|(issue, lines)| (issue.revision, lines));
        (plan, report.resin.shot_g, changed)
    };
    let (_, guessed_g, changed) = opened();
    assert!(changed.is_none(), "nothing was issued");
    let pdf = dir.path().join("sheet.pdf").to_string_lossy().into_owned();
    let output =
        mouldbench(&["sheet", &path, "--out", &pdf, "--fill", "--fill-cells", "4000", "--issue", "2026-05-04"]);
    assert!(std::path::Path::new(&pdf).exists(), "{}", said(&output));
    let (mut plan, again_g, changed) = opened();
    let issue = plan.issues.last().expect("an issue").clone();
    assert!(issue.draws_mm3.is_some_and(|mm3| mm3 > 0.0), "{issue:?}");
    // The fill closes round another volume than what was guessed: weights would differ without the kept figure.
    assert!((again_g - guessed_g).abs() > 0.01, "{again_g} {guessed_g}");
    assert_eq!(changed, None);
    let told = issue.decisions.iter().find(|d| d.what == "Resin").expect("the resin").how.clone();
    let with_fill = json(&mouldbench(&["check", &path, "--fill", "--fill-cells", "4000", "--json"]));
    let without = json(&mouldbench(&["check", &path, "--json"]));
    for report in [&with_fill, &without] {
        let [a, b] = ["/resin/a_g", "/resin/b_g"].map(|key| mass(number(report, key)));
        assert!(told.ends_with(&format!("A {a}, B {b}")), "{told}: {a} {b}");
    }
    // A wider cup is another plan: the kept figure is that of the old one.
    plan.feed.cup.diameter_mm += 10.0;
    plan_file::save(&plan, path.as_ref()).expect("saved");
    let (_, _, changed) = opened();
    let (revision, lines) = changed.expect("changed since");
    assert_eq!(revision, issue.revision);
    assert!(lines.iter().any(|l| l.starts_with("Cup: now")), "{lines:?}");
    assert!(lines.iter().any(|l| l.starts_with("Resin: now")), "{lines:?}");
}
