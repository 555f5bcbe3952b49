//! Both shots on paper: figures, steps, cautions, and the days of both.

use super::layout::faults;
use super::sample::{Sample, sample};
use mouldbench::plan::{SecondShot, Shot, SoftCavity};
use mouldbench::sheet::steps::{Line, sections};
use mouldbench::sheet::words::caution;
use mouldbench::sheet::{changes, make_pages};
use mouldbench::solve::run::Run;
use mouldbench::study::numbers::figures::EventReport;
use mouldbench::study::numbers::two_shot::figures::{HoldReport, SecondShotReport, ShotReport, WayReport};

fn job(makes: Shot, cavity: SoftCavity) -> Sample {
    let mut job = sample(2, 0, 0);
    job.plan.second_shot = Some(SecondShot { name: "Soft sleeve".into(), makes, cavity, ..SecondShot::default() });
    let shot = |resin: &str, part_g: f64, taken_over: bool| ShotReport {
        resin: resin.into(),
        part_mm3: 1000.0 * part_g,
        channels_mm3: 8100.0,
        channels_taken_over: taken_over,
        part_g,
        shot_g: part_g * 1.3,
        a_g: part_g * 0.8,
        b_g: part_g * 0.5,
        cup_litres: 0.61,
        pot_life_s: 360.0,
        casts: 42,
        cast_days: [4, 19],
    };
    let event = |day: u32, what: &str| EventReport { day, date: None, what: what.into() };
    let way = |way: &str, share: f64| WayReport { way: way.into(), share: Some(share), ..WayReport::default() };
    job.report.second_shot = Some(SecondShotReport {
        contact_mm2: 3456.0,
        bare_mm2: 7890.0,
        tolerance_mm: 0.12,
        hold: Some(HoldReport {
            bare_share: 0.7,
            needed_share: 0.1,
            ways: vec![way("towards the right", 0.5), way("towards the top", 0.31)],
        }),
        hard: shot("Rigid casting resin", 61.7, true),
        soft: shot("Soft casting resin", 23.4, false),
        together_g: 85.1,
        wait_s: 7200.0,
        wait_limits_s: [1800.0, 172_800.0],
        events: vec![event(1, "hard: masters finished"), event(5, "soft: first cast from block 1")],
        ..SecondShotReport::default()
    });
    job
}

fn texts(job: &Sample) -> String {
    let list = make_pages(&job.input(), &Run::new()).expect("not cancelled");
    assert_eq!(faults(&list), Vec::<String>::new());
    let all = list.pages.iter().flat_map(|p| p.texts().map(|t| t.text.clone()).collect::<Vec<_>>());
    all.collect::<Vec<_>>().join(" ")
}

fn lines(job: &Sample) -> Vec<String> {
    let all = sections(&job.input()).into_iter().flat_map(|s| s.lines);
    all.map(|l| match l {
        Line::Tick(t) => format!("{} | {}", t.words, t.detail),
        Line::Caution(c) => c.to_owned(),
    })
    .collect()
}

fn place(all: &[String], words: &str) -> usize {
    all.iter().position(|l| l.contains(words)).unwrap_or_else(|| panic!("no line with {words}"))
}

#[test]
fn both_shots_are_on_the_sheet_with_their_figures() {
    let text = texts(&job(Shot::Soft, SoftCavity::OwnTool));
    for words in [
        "Both shots",
        "Rigid casting resin",
        "Soft casting resin",
        "61.7 g",
        "23.4 g",
        "80.2 g",
        "30.4 g",
        "8.1 cm³, taken over from this block",
        "0.7 l",
        "day 4 to day 19",
        "Contact area 34.6 cm²",
        "78.9 cm²",
        "0.12 mm",
        "31 % of its shadow",
        "30 min",
        "48 h",
        "85.1 g",
        "hard: masters finished",
        "soft: first cast from block 1",
        caution::BOND,
    ] {
        let plain = |s: &str| s.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain(&text).contains(&plain(words)), "no {words}");
    }
    let alone = texts(&sample(2, 0, 0));
    assert!(!alone.contains("Both shots") && !alone.contains(caution::BOND) && !alone.contains("hard cast"));
}

#[test]
fn the_soft_blocks_steps_load_the_hard_cast_after_the_release_and_before_closing() {
    let all = lines(&job(Shot::Soft, SoftCavity::OwnTool));
    let (caution, release) = (place(&all, caution::BOND), place(&all, "Release the block, if at all"));
    let (load, close) = (place(&all, "Load a hard cast"), place(&all, "Close the halves"));
    assert!(caution < release && release < load && load < close);
    assert!(all[load].contains("34.6 cm²") && all[load].contains("at least 30 min and at most 48 h"), "{}", all[load]);
    let joined = place(&all, "Make a master of Soft sleeve too, to the same scale");
    assert!(place(&all, "Make the master of") < joined && joined < place(&all, "Mark the parting line"));
    assert!(!all.iter().any(|l| l.contains("first hard cast")));

    let all = lines(&job(Shot::Soft, SoftCavity::RoundFirstCast));
    assert!(place(&all, "on the first hard cast") < place(&all, "Keep the first hard cast"));
    assert!(!all.iter().any(|l| l.contains("together as one")));
}

#[test]
fn the_hard_blocks_steps_keep_the_contact_clean() {
    let all = lines(&job(Shot::Hard, SoftCavity::OwnTool));
    let (demould, keep) = (place(&all, "Open and take the cast out"), place(&all, "Keep the contact area of the cast"));
    assert!(demould < keep && all[keep].contains("34.6 cm²") && all[keep].contains("48 h"), "{}", all[keep]);
    assert!(place(&all, caution::BOND) < keep);
    assert!(!all.iter().any(|l| l.contains("Load a hard cast") || l.contains("together as one")));
}

#[test]
fn the_other_shot_counts_among_what_was_changed() {
    let (one, two) = (sample(2, 0, 0), job(Shot::Soft, SoftCavity::RoundFirstCast));
    let (before, now) = (changes::decisions(&one.input()), changes::decisions(&two.input()));
    let lines = changes::differences(&before, &now);
    assert!(lines.iter().any(|l| l.contains("Soft sleeve") && l.contains("34.6 cm²")), "{lines:?}");
}
