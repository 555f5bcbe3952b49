//! What was changed since the last issue.

use super::sample::sample;
use mouldbench::plan::Stage;
use mouldbench::sheet::changes::{decisions, differences, keep_issue, last_issue, since_issue};
use mouldbench::sheet::make_pages;
use mouldbench::solve::run::Run;

#[test]
fn what_is_printed_otherwise_is_told_and_nothing_else() {
    let mut job = sample(3, 2, 0);
    job.plan.revision = 2;
    job.plan.revision_date = "2026-05-01".into();
    let told = decisions(&job.input());
    assert!(differences(&told, &told).is_empty());
    keep_issue(&mut job.plan, told.clone(), None);
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
    assert_eq!(
        (starts("Silicone block: now 160 × 90 × 113 mm; before 160 × 90 × 110 mm"), lines.len()),
        (1, 4),
        "{lines:?}"
    );
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
        keep_issue(&mut job.plan, told, None);
    }
    assert_eq!(job.plan.issues.iter().map(|i| i.revision).collect::<Vec<_>>(), [2, 3, 4]);
    assert_eq!(last_issue(&job.plan).expect("an issue").revision, 3);
    let words = make_pages(&job.input(), &Run::new()).expect("pages").words();
    assert!(words.contains("Changed since revision 3") && words.contains("Nothing that is printed here"), "{words}");
}

/// Words of all pages.
fn printed(job: &super::sample::Sample) -> String {
    make_pages(&job.input(), &Run::new()).expect("pages").words()
}

#[test]
fn a_plan_that_was_changed_after_its_issue_says_so_on_every_page_and_what() {
    let mut job = sample(2, 1, 0);
    let told = decisions(&job.input());
    keep_issue(&mut job.plan, told, None);
    // As it was issued: its revision and its date, and nothing of a change.
    assert!(since_issue(&job.input()).is_none());
    let words = printed(&job);
    assert!(words.contains("Revision 3 of 2026-05-04") && !words.contains("hanged since"), "{words}");
    // What happens to a plan without changing what is made is no change.
    job.plan.stage = Stage::Cut;
    job.plan.log.push(Default::default());
    job.plan.parts[0].mesh = "/another/place/handle.stl".into();
    assert!(since_issue(&job.input()).is_none());
    job.plan.stage = Stage::Planned;
    // A vent made wider, nothing issued: every page, the title block and the handover tell it.
    job.plan.vents[0].diameter_mm = 2.5;
    let list = make_pages(&job.input(), &Run::new()).expect("pages");
    for page in 0..list.pages.len() {
        let words = list.words_of(page);
        assert!(words.contains("Changed since revision 3"), "page {page}: {words}");
        assert!(!words.contains("Revision 3 of 2026-05-04"), "page {page}");
    }
    let words = list.words();
    assert!(words.contains("3, changed\n") && words.contains("Changed since revision 3 of 2026-05-04"), "{words}");
    assert!(words.contains("Vent 1: now") && !words.contains("No earlier issue is on record"), "{words}");
    let templates = mouldbench::sheet::templates::whose(&job.input());
    assert!(templates[0].contains("Changed since revision 3"), "{templates:?}");
    // Issued again it is a revision of its own.
    job.plan.revision = 4;
    let told = decisions(&job.input());
    keep_issue(&mut job.plan, told, None);
    assert!(since_issue(&job.input()).is_none() && printed(&job).contains("Changed since revision 3"));
}

#[test]
fn a_change_that_no_line_tells_is_a_change_all_the_same() {
    let mut job = sample(1, 0, 0);
    let told = decisions(&job.input());
    keep_issue(&mut job.plan, told, None);
    // Where a mark of the brush lies stands in no line of the list.
    job.plan.parting.marks.push(mouldbench::plan::HalfMark {
        half: mouldbench::plan::Half::One,
        stroke: Vec::new(),
        radius_mm: 3.0,
    });
    let (issue, lines) = since_issue(&job.input()).expect("changed");
    assert_eq!((issue.revision, lines.len()), (3, 1));
    assert!(printed(&job).contains("Something of the plan that this list does not name"));
}

#[test]
fn what_is_printed_beside_the_places_counts_as_changed_too() {
    type Change = fn(&mut mouldbench::plan::Plan);
    let changes: [(&str, Change); 5] = [
        ("Relief cut by the clip is new: 7.5 mm", |p| {
            p.parting.relief_cuts.push(mouldbench::plan::ReliefCut {
                name: "by the clip".into(),
                points: Vec::new(),
                depth_mm: 7.5,
            });
        }),
        ("Cup: now", |p| p.feed.cup.diameter_mm += 5.0),
        ("Holding rods is new: 2 of", |p| p.master.plugged_rods = 2),
        ("Notes is new: Mind the clip", |p| p.notes = "Mind the clip".into()),
        ("Shown surface Top of the grip: now gloss", |p| p.shown[0].finish = mouldbench::plan::parts::Finish::Gloss),
    ];
    for (wanted, change) in changes {
        let mut job = sample(1, 0, 0);
        job.plan.shown[0].finish = mouldbench::plan::parts::Finish::Matt;
        let told = decisions(&job.input());
        keep_issue(&mut job.plan, told, None);
        change(&mut job.plan);
        let (_, lines) = since_issue(&job.input()).expect("changed");
        assert!(lines.iter().any(|l| l.starts_with(wanted)), "{wanted}: {lines:?}");
    }
    // How the rubber is poured stands in the report.
    let mut job = sample(1, 0, 0);
    let told = decisions(&job.input());
    keep_issue(&mut job.plan, told, None);
    job.report.silicone.cure_c = 40.0;
    let (_, lines) = since_issue(&job.input()).expect("changed");
    assert!(lines.len() == 1 && lines[0].starts_with("Pours and cure: now") && lines[0].contains("40 °C"), "{lines:?}");
}
