//! What was changed since the last issue.

use super::sample::sample;
use mouldbench::sheet::changes::{decisions, differences, keep_issue, last_issue};
use mouldbench::sheet::make_pages;
use mouldbench::solve::run::Run;

#[test]
fn what_is_printed_otherwise_is_told_and_nothing_else() {
    let mut job = sample(3, 2, 0);
    job.plan.revision = 2;
    job.plan.revision_date = "2026-05-01".into();
    let told = decisions(&job.input());
    assert!(differences(&told, &told).is_empty());
    keep_issue(&mut job.plan, told.clone());
    job.plan.revision = 3;
    job.plan.revision_date = "2026-05-04".into();
    // A vent moved by a millimetre, an insert left out, a new vent, a wider box.
    job.report.vents[1].position_mm[0] += 1.0;
    job.plan.inserts.pop();
    let mut vent = job.plan.vents[0].clone();
    vent.number = 9;
    job.plan.vents.push(vent);
    job.report.block.size_mm[2] += 3.0;
    let lines = differences(&told, &decisions(&job.input()));
    let starts = |start: &str| lines.iter().filter(|l| l.starts_with(start)).count();
    assert_eq!(
        (starts("Vent 2: now"), starts("Vent 9 is new"), starts("Insert 2 was left out")),
        (1, 1, 1),
        "{lines:?}"
    );
    assert_eq!((starts("Box: now 160 × 90 × 113 mm; before 160 × 90 × 110 mm"), lines.len()), (1, 4), "{lines:?}");
    let words = make_pages(&job.input(), &Run::new()).expect("pages").words();
    assert!(words.contains("Changed since revision 2 of 2026-05-01"), "{words}");
    assert!(words.contains("Insert 2 was left out"));
    // Less than is printed is no change.
    job.report.vents[1].position_mm[1] += 0.001;
    assert_eq!(differences(&told, &decisions(&job.input())).len(), 4);
}

#[test]
fn only_the_last_issues_are_kept_and_a_revision_once() {
    let mut job = sample(1, 0, 0);
    job.plan.revision = 0;
    assert!(last_issue(&job.plan).is_none());
    let words = make_pages(&job.input(), &Run::new()).expect("pages").words();
    assert!(words.contains("No earlier issue is on record"), "{words}");
    for revision in [1, 2, 2, 3, 4] {
        job.plan.revision = revision;
        let told = decisions(&job.input());
        keep_issue(&mut job.plan, told);
    }
    assert_eq!(job.plan.issues.iter().map(|i| i.revision).collect::<Vec<_>>(), [2, 3, 4]);
    assert_eq!(last_issue(&job.plan).expect("an issue").revision, 3);
    let words = make_pages(&job.input(), &Run::new()).expect("pages").words();
    assert!(words.contains("Changed since revision 3") && words.contains("Nothing that is printed here"), "{words}");
}
