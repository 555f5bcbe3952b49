//! The steps follow the plan: what is added to it adds its line, what is behind is no longer asked for.

use super::sample::{Sample, sample};
use mouldbench::plan::{Attitude, Made, PocketMade, ReliefCut, Separation, Stage};
use mouldbench::sheet::make_pages;
use mouldbench::sheet::steps::{Line, sections, vents_in_order};
use mouldbench::sheet::words::caution;
use mouldbench::solve::run::Run;
use mouldbench::study::pour::fill::verdict::Outcome;
use mouldbench::study::report::fill::{ClosedRoundReport, FillReport, StageReport};

fn lines(job: &Sample) -> Vec<String> {
    sections(&job.input())
        .into_iter()
        .flat_map(|s| s.lines)
        .map(|l| match l {
            Line::Tick(t) => format!("{} | {} | {}", t.words, t.detail, t.figure),
            Line::Caution(c) => c.to_owned(),
        })
        .collect()
}

fn has(job: &Sample, words: &str) -> bool {
    lines(job).iter().any(|l| l.contains(words))
}

fn place(all: &[String], words: &str) -> usize {
    all.iter().position(|l| l.contains(words)).unwrap_or_else(|| panic!("no line with {words}"))
}

#[test]
fn each_thing_of_the_plan_has_its_line() {
    let mut job = sample(2, 1, 0);
    assert!(has(&job, "Vent 2: fix its rod") && !has(&job, "Vent 3"));
    assert!(has(&job, "Insert 1: fix its dummy") && has(&job, "Load Insert 1 into half 1"));
    assert!(has(&job, "close the thread with a screw"));
    assert!(has(&job, "tape the hole on the master"));
    assert!(
        !has(&job, "Relief cut") && !has(&job, "drill its pocket") && !has(&job, "punch") && !has(&job, "Pull Insert")
    );
    let before = lines(&job).len();
    job.plan.parting.relief_cuts.push(ReliefCut { name: "by the clip".into(), points: vec![], depth_mm: 7.5 });
    assert_eq!(lines(&job).len(), before + 1);
    assert!(has(&job, "Relief cut by the clip: 7.5 mm deep"));
    job.plan.inserts[0].pocket = PocketMade::DrilledAfter;
    job.plan.inserts[0].stays = false;
    assert!(has(&job, "Insert 1: drill its pocket 3.0 mm deep") && !has(&job, "fix its dummy"));
    assert!(has(&job, "Pull Insert 1"));
    job.plan.vents[1].made = Made::PunchedFromCavity;
    assert!(has(&job, "Vent 2: punch Ø 1.5 mm") && !has(&job, "Vent 2: fix its rod"));
    job.report.parting.shut_offs[0].separation = Separation::FilledAndDrilled;
    assert!(has(&job, "fill the hole") && has(&job, "Drill the filled holes") && !has(&job, "tape the hole"));
    assert!(!has(&job, "turned"));
    job.plan.hang.cast = Some(Attitude { up: glam::DVec3::new(0.0, 0.5, 0.75f64.sqrt()), turn: 0.0 });
    assert!(has(&job, "turned 30° from the way it was poured"));
}

#[test]
fn the_bench_numbers_have_their_lines() {
    use super::sample::one_pour;
    use mouldbench::study::numbers::figures::HangDirection;
    let mut job = sample(2, 1, 0);
    assert!(
        has(&job, "over the ends of the short sides | 178.0 × 140.0 mm")
            && has(&job, "30.0 mm of wall stay free over it")
    );
    assert!(has(&job, "Liquid rubber lifts it with 0.40 N: tie it down") && has(&job, "Lay a beam"));
    assert!(has(&job, "In 1 pot of at least 6.0 l") && !has(&job, "Pour 2"));
    assert!(has(&job, "From cold 2.5 h, between two casts 38 min"));
    assert!(
        !has(&job, "Weigh pigment")
            && !has(&job, "blocks at once")
            && !has(&job, "holding rod")
            && !has(&job, "Open the hollow")
    );
    let hanging = &mut job.report.hanging;
    (hanging.direction, hanging.net_force_n, hanging.stuck_to_floor) = (HangDirection::Down, -6.35, true);
    hanging.sealed_hollow = true;
    assert!(
        has(&job, "presses it on the floor with 6.35 N") && !has(&job, "Lay a beam") && has(&job, "Open the hollow")
    );
    job.report.silicone.pours = vec![one_pour(40.0, 600.0), one_pour(110.0, 898.7)];
    (job.report.silicone.pours[1].pots, job.report.silicone.cure_c) = (3, 40.0);
    assert!(has(&job, "Pour 1: up to 40.0 mm above the floor, 600 g of A and 60.0 g of B"));
    assert!(has(&job, "In 3 pots of at least") && has(&job, "Let it cure at 40 °C"));
    job.report.resin.pigment_g = 3.2;
    (job.report.resin.blocks_a_batch, job.report.resin.batch_g) = (3, 534.6);
    assert!(has(&job, "Weigh pigment into A and stir |  | 3.2 g") && has(&job, "For 3 blocks at once: 535 g in all"));
    (job.report.block.closing, job.report.block.lift_force_n) = (Some("Two straps".into()), 41.0);
    assert!(has(&job, "Two straps; resin pushes the halves apart with 41 N"));
    job.plan.master.plugged_rods = 2;
    assert!(has(&job, "2 further rods Ø 3.0 mm") && has(&job, "Plug the holes of the 2 holding rods"));
    job.plan.master.cure_trial = true;
    assert!(has(&job, "Made: it set dry"));
    // Sizes and calendar are printed, with the words that they rest on.
    let text = make_pages(&job.input(), &Run::new()).expect("pages").words();
    for words in ["Over all", "121.30", "121.00", "2026-05-04", "Day 2", "block 1"] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn cautions_stand_before_what_they_belong_to() {
    let all = lines(&sample(2, 1, 0));
    assert!(place(&all, caution::VACUUM) < place(&all, "Degas until"));
    assert!(place(&all, caution::BLADE) < place(&all, "Cut along"));
    assert!(place(&all, caution::ISOCYANATE) < place(&all, "Weigh resin A"));
    assert!(place(&all, caution::OVEN) < place(&all, "Heat the block"));
    assert!(place(&all, caution::DUST) < place(&all, "Trim feed"));
    assert!(place(&all, "Make the master") < place(&all, "Build the box"));
    assert!(place(&all, "Build the box") < place(&all, "Weigh silicone A"));
    assert!(place(&all, "Let it cure") < place(&all, "Cut along"));
}

#[test]
fn vents_are_watched_in_the_order_in_which_they_show() {
    let mut job = sample(4, 0, 0);
    // Without a fill nobody knows it: they are named by their numbers, and none is the first or the last.
    assert!(has(&job, "Watch resin rise in the vents: 1, 2, 3, 4 | In no order"));
    assert!(!has(&job, "In this order") && !has(&job, "last to show"));
    for (vent, place) in job.report.vents.iter_mut().zip([4, 3, 1, 2]) {
        vent.shows_in_order = Some(place);
    }
    let order: Vec<u32> = vents_in_order(&job.input()).iter().map(|v| v.number).collect();
    assert_eq!(order, [3, 4, 2, 1]);
    assert!(has(&job, "Watch resin rise in the vents: 3, 4, 2, 1"));
    assert!(has(&job, "In this order; 1 is the last to show"));
    assert!(has(&job, "Let up only when every vent shows"));
    assert!(!has(&job, "full cavity"), "nobody followed the fill");
}

/// A fill as a report gives it.
fn a_fill() -> FillReport {
    FillReport {
        time_s: Some(88.0),
        time_in_warm_mould_s: Some(40.0),
        last_points_mm: vec![[10.0, 5.0, 60.0], [-20.0, 5.0, 55.0]],
        closed_round_mm3: 12.0,
        after_let_up_mm3: 0.1,
        closed_round: vec![ClosedRoundReport { position_mm: [0.0; 3], volume_mm3: 12.0, after_let_up_mm3: 0.1 }],
        knit_lines: Vec::new(),
        vents_show: Vec::new(),
        verdict: Outcome::Fills,
        lever: None,
        pot_life_share: Some(0.3),
        stages: vec![StageReport { name: "pour", filled_share: 1.0, chamber_pa: 500.0 }],
        cell_mm: 0.5,
        cells_across: 4.0,
        cells: 100_000,
        expected_error: 0.06,
        finer: None,
    }
}

/// Where the fill was followed its times stand beside the vents, and what it found.
#[test]
fn a_fill_that_was_followed_is_told() {
    let mut job = sample(3, 0, 0);
    for (i, vent) in job.report.vents.iter_mut().enumerate() {
        vent.shows_in_order = [None, Some(2), Some(1)][i];
        vent.shows_at_s = [None, Some(95.0), Some(31.0)][i];
    }
    job.report.fill = Some(a_fill());
    let all = lines(&job);
    let at = |s: f64| mouldbench::sheet::figures::time(s);
    let order = format!("Watch resin rise in the vents: 3 at {}, 2 at {}, 1 never", at(31.0), at(95.0));
    assert!(place(&all, "full cavity") < place(&all, &order), "{all:?}");
    assert!(has(&job, "2 is the last to show") && has(&job, "Times hold for a cup kept half full"));
    // What the cast is looked over for comes once it is out.
    assert!(place(&all, "Open and take the cast out") < place(&all, "Last to fill"), "{all:?}");
    assert!(has(&job, "6 %, from 4.0 cells across") && has(&job, &at(88.0)));
    // From the corner of a block of 160 by 90: 80 and 45 more; 35 above the lowest level at 25 is 35.14 on the master.
    assert!(has(&job, "Last to fill") && has(&job, "90.0 · 50.0 · 60.1"), "{all:?}");
    assert!(has(&job, "12 mm³ of gas") && has(&job, "in 1 place"), "{all:?}");
    job.report.fill.as_mut().expect("set").stages[0].filled_share = 0.6;
    job.report.fill.as_mut().expect("set").time_s = None;
    assert!(has(&job, "Stays empty") && has(&job, "never full"));
    // What stays empty is told before anything is weighed for it.
    let all = lines(&job);
    assert!(place(&all, "Stays empty") < place(&all, "Weigh resin A"), "{all:?}");
}

/// Between the chamber's closing and its opening only what is done from outside: watching, and the chamber's own levers and
/// valves. Whatever else a step may ask for there is refused, by the words it starts with and by those it holds.
#[test]
fn nothing_asks_for_a_hand_behind_the_closed_door() {
    const FROM_OUTSIDE: [&str; 8] = [
        "Degas A and B apart in the chamber",
        "Mix under vacuum, then pour into the cup",
        "Let the resin run;",
        "Watch resin rise in the vents:",
        "Watch the cup;",
        "See that ",
        "Let up only when every vent shows",
        "Let air in slowly;",
    ];
    const BY_HAND: [&str; 12] = [
        "plug",
        "top up",
        "top the cup",
        "keep the cup",
        "leave ",
        "weigh",
        "tape",
        "cut ",
        "put ",
        "wipe",
        "clear ",
        "look there",
    ];
    for (vents, filled, drawn_mm3, full) in [
        (0, false, 0.0, true),
        (1, false, 900.0, true),
        (5, true, 0.0, true),
        (5, true, 900.0, true),
        (3, true, 0.0, false),
    ] {
        let mut job = sample(vents, 1, 0);
        job.report.feed.figures.let_up.draws_mm3 = drawn_mm3;
        job.report.feed.figures.let_up.in_cup_mm = 6.0;
        if filled {
            let mut fill = a_fill();
            fill.knit_lines =
                vec![mouldbench::study::report::fill::KnitReport { position_mm: [0.0, 0.0, 30.0], length_mm: 12.0 }];
            fill.stages[0].filled_share = if full { 1.0 } else { 0.7 };
            job.report.fill = Some(fill);
            for (i, vent) in job.report.vents.iter_mut().enumerate() {
                (vent.shows_in_order, vent.shows_at_s) = (Some(i + 1), Some(10.0 * i as f64));
            }
        }
        let all = lines(&job);
        let (close, open) = (place(&all, "close the door"), place(&all, "Open the door"));
        let behind: Vec<&String> = all[close + 1..open].iter().filter(|l| l.contains(" | ")).collect();
        assert!(behind.len() >= 4, "{all:?}");
        for line in behind {
            assert!(FROM_OUTSIDE.iter().any(|w| line.starts_with(w)), "{line}");
            let small = line.to_lowercase();
            assert!(BY_HAND.iter().all(|w| !small.contains(w)), "{line}");
        }
        // No other step asks for it either once the door is closed, and what a hand does is done before or after.
        assert!(place(&all, "Weigh resin B") < close && open < place(&all, "Trim feed"));
    }
}

#[test]
fn what_is_behind_is_not_asked_for_again() {
    let mut job = sample(2, 1, 2);
    let words = |job: &Sample| make_pages(&job.input(), &Run::new()).expect("pages").words();
    assert!(words(&job).contains("Build the box") && words(&job).contains("DO NOT POUR"));
    job.plan.stage = Stage::Poured;
    let poured = words(&job);
    assert!(!poured.contains("Build the box") && !poured.contains("Weigh silicone A"));
    assert!(poured.contains("Cut along the parting line") && poured.contains("DO NOT CUT"));
    assert!(poured.contains("done before this sheet was issued"));
    job.plan.stage = Stage::Cut;
    let cut = words(&job);
    assert!(
        !cut.contains("Cut along the parting line") && cut.contains("Weigh resin A") && cut.contains("DO NOT CAST")
    );
    job.plan.stage = Stage::Casting;
    assert!(words(&job).contains("Weigh resin A"));
}

#[test]
fn the_sheet_leaves_the_last_word_to_those_who_have_it() {
    let words = make_pages(&sample(1, 0, 0).input(), &Run::new()).expect("pages").words().replace('\n', " ");
    for wanted in [
        "Read the safety data sheet",
        "a person who is sensitised must not be exposed again",
        "only a vessel built for it",
        "cut away from the hand",
        "Local codes, the safety data sheets",
        "licensed or competent persons decide",
    ] {
        assert!(words.contains(wanted), "{wanted}");
    }
}
