//! What stands in two places says the same in both: pots, pours and cure; rods and panels; weights of a cast.

use super::sample::{Sample, one_pour, sample};
use mouldbench::plan::{Gate, Made};
use mouldbench::sheet::steps::{Line, sections};
use mouldbench::sheet::templates::{Layer, templates};
use mouldbench::sheet::{figures, make_pages};
use mouldbench::solve::run::Run;
use mouldbench::study::job::wall_name::WallName;
use mouldbench::study::numbers::figures::PourReport;
use mouldbench::study::report::RunnerReport;
use mouldbench::study::report::feed::GateReport;

/// The steps of one stretch of the work: words, detail and figure.
fn steps_of(job: &Sample, title: &str) -> Vec<[String; 3]> {
    let all = sections(&job.input());
    let section = all.into_iter().find(|s| s.title == title).expect("a stretch of the work");
    let ticks = section.lines.into_iter().filter_map(|l| match l {
        Line::Tick(t) => Some([t.words, t.detail, t.figure]),
        Line::Caution(_) => None,
    });
    ticks.collect()
}

fn find<'a>(steps: &'a [[String; 3]], words: &str) -> Vec<&'a [String; 3]> {
    steps.iter().filter(|s| s[0].contains(words)).collect()
}

/// The words of every page, one page a string on one line.
fn printed(job: &Sample) -> Vec<String> {
    let list = make_pages(&job.input(), &Run::new()).expect("pages");
    (0..list.pages.len()).map(|i| list.words_of(i).replace(['\n', '\u{a0}'], " ")).collect()
}

fn page<'a>(pages: &'a [String], words: &str) -> &'a str {
    pages.iter().find(|p| p.contains(words)).unwrap_or_else(|| panic!("no page with {words}"))
}

/// A pour of so much of A in so many pots of so many litres, for so many hours.
fn pour(up_to_mm: f64, a_g: f64, pots: u32, pot_litres: f64, hours: f64) -> PourReport {
    let whole = one_pour(up_to_mm, a_g);
    let each = |grams: f64| grams / f64::from(pots);
    PourReport {
        pots,
        pot_a_g: each(whole.a_g),
        pot_b_g: each(whole.b_g),
        pot_g: each(whole.mass_g),
        pot_litres,
        cure_s: hours * 3600.0,
        ..whole
    }
}

/// A sample whose rubber is poured so, with the sums that belong to it.
fn poured(pours: Vec<PourReport>, in_box: bool, cure_c: f64) -> Sample {
    let mut job = sample(2, 0, 0);
    let s = &mut job.report.silicone;
    let sum = |of: fn(&PourReport) -> f64| pours.iter().map(of).sum::<f64>();
    (s.a_g, s.b_g, s.mass_g) = (sum(|p| p.a_g), sum(|p| p.b_g), sum(|p| p.mass_g));
    (s.cure_c, s.cure_at_s, s.degas_in_box) = (cure_c, sum(|p| p.cure_s), in_box);
    // What one pot for all would need; nothing may print it where there are several.
    s.pot_litres = 13.4;
    let largest = pours.iter().max_by(|a, b| a.mass_g.total_cmp(&b.mass_g)).expect("a pour").clone();
    (s.pots, s.pot_a_g, s.pot_b_g, s.each_pot_litres) =
        (largest.pots, largest.pot_a_g, largest.pot_b_g, largest.pot_litres);
    job.plan.block.degas_in_box = in_box;
    s.pours = pours;
    job
}

#[test]
fn two_pots_are_weighed_alike_on_every_page() {
    let job = poured(vec![pour(110.0, 3276.0, 2, 6.7, 16.0)], false, 23.0);
    let pages = printed(&job);
    let steps = steps_of(&job, "Silicone");
    // First page, silicone page and steps: 1638 g and 164 g in each of two pots of 6.7 l.
    let first = &pages[0];
    assert!(first.contains("2 × 1638 g") && first.contains("2 × 164 g") && first.contains("6.7 l"), "{first}");
    let silicone = page(&pages, "In each of 2 pots");
    for figure in ["1638 g", "164 g", "6.7 l", "In all 3276 g of A and 328 g of B"] {
        assert!(silicone.contains(figure), "{figure}: {silicone}");
    }
    assert_eq!(find(&steps, "Weigh silicone A")[0][2], "1638 g");
    assert_eq!(find(&steps, "Weigh silicone B")[0][2], "164 g");
    assert!(find(&steps, "In 2 pots of at least 6.7 l")[0][0].contains("degas and pour each before the next"));
    assert!(find(&steps, "Degas until")[0][1].contains("6.7 l"));
    // Nothing bids weigh all at once, and no page asks for a pot that holds all.
    assert!(steps.iter().all(|s| s[2] != "3276 g"));
    assert!(pages.iter().all(|p| !p.contains("13.4 l")), "one pot for all is not what is done");
}

#[test]
fn two_pours_degassed_in_the_box_and_cured_warm_are_done_in_the_order_of_hands() {
    let pours = vec![pour(40.0, 600.0, 1, 0.9, 5.0), pour(110.0, 1800.0, 2, 1.4, 5.0)];
    let job = poured(pours, true, 40.0);
    let steps = steps_of(&job, "Silicone");
    let starts: Vec<&str> = steps.iter().map(|s| s[0].as_str()).collect();
    let wanted = [
        "Pour 1:",
        "In 1 pot",
        "Weigh silicone A",
        "Weigh silicone B",
        "Pour in",
        "Set the filled box",
        "Let pour 1 cure",
        "Pour 2:",
        "In 2 pots",
        "Weigh silicone A",
        "Weigh silicone B",
        "Pour in",
        "Set the filled box",
        "Let it cure",
    ];
    assert_eq!(starts.len(), wanted.len(), "{starts:?}");
    for (step, wanted) in starts.iter().zip(wanted) {
        assert!(step.starts_with(wanted), "{wanted}: {starts:?}");
    }
    // The weights of a pour's own pots, not those of the block.
    let weighed: Vec<&str> = find(&steps, "Weigh silicone A").iter().map(|s| s[2].as_str()).collect();
    assert_eq!(weighed, ["600 g", "900 g"]);
    assert!(steps.iter().all(|s| !s[1].contains("In the pot") && !s[0].starts_with("Degas")), "degassed in the box");
    // One cure on every page: 5 h at 40 °C, twice; no page speaks of 23 °C but for the pot life.
    let cures: Vec<&str> = find(&steps, "ure at 40 °C").iter().map(|s| s[2].as_str()).collect();
    assert_eq!(cures, ["5 h", "5 h"]);
    let pages = printed(&job);
    for p in [&pages[0], page(&pages, "Pour 2, each of 2 pots")] {
        assert!(p.contains("Silicone cure at 40 °C") && p.contains("2 × 5 h") && p.contains("Mixing pot"), "{p}");
        assert!(!p.contains("cure, 23 °C") && !p.contains("Degassing pot"), "{p}");
    }
    assert!(pages[0].contains("600 g + 2 × 900 g") && pages[0].contains("60.0 g + 2 × 90.0 g"), "{}", pages[0]);
}

#[test]
fn block_and_panels_are_each_said_as_what_they_are() {
    let job = sample(2, 0, 0);
    let pages = printed(&job);
    // The silicone is 110 high; walls are 140.
    assert!(pages[0].contains("Silicone block, L × W × H 160 × 90 × 110 mm"), "{}", pages[0]);
    assert!(pages.iter().all(|p| !p.contains("Box inside")));
    let steps = steps_of(&job, "Box and hang");
    let build = find(&steps, "Build the box")[0];
    assert_eq!(build[2], "160 × 90 × 140 mm");
    assert!(build[1].contains("silicone will stand 110.0 mm high"), "{build:?}");
    assert!(!build[1].contains("pot"), "how rubber is degassed is said where it is");
    assert!(find(&steps, "Mark the silicone's level 110.0 mm above the floor: 30.0 mm").len() == 1);
    let long = find(&steps, "Cut 2 long sides")[0];
    assert_eq!(
        (long[1].as_str(), long[2].as_str()),
        ("Wall at front and back, over the ends of the short sides", "178.0 × 140.0 mm")
    );
    // A template is as large as the panel that the steps cut, and has the level drawn where the steps mark it.
    let all = templates(&job.input());
    for panel in &job.report.block.panels {
        for side in &panel.stands {
            let file = match side {
                WallName::Front => "front",
                WallName::Back => "back",
                WallName::Left => "left",
                WallName::Right => "right",
                _ => "floor",
            };
            let template = all.iter().find(|t| t.file == file).expect("its template");
            assert_eq!(template.size.to_array(), panel.size_mm, "{file}");
            let levels = template
                .lines
                .iter()
                .filter(|l| l.layer == Layer::Mark && l.points.iter().all(|p| (p.y - 110.0).abs() < 1e-9));
            assert_eq!(levels.count(), usize::from(file != "floor"), "{file}");
        }
    }
}

#[test]
fn rods_are_cut_up_to_the_beam_in_table_and_steps() {
    let mut job = sample(2, 0, 0);
    job.plan.feed.gates.push(Gate { number: 2, made: Made::PunchedFromCavity, ..job.plan.feed.gates[0].clone() });
    let punched = RunnerReport { number: 2, rod_mm: None, ..job.report.feed.runners[0].clone() };
    job.report.feed.runners.push(punched);
    job.report.feed.gates_mm.push([0.0, 0.0, 40.0]);
    let steps = steps_of(&job, "Box and hang");
    // Vent 1 starts 70 high: 40 to the silicone's top at 110, 39 more through free wall and beam.
    let vent = find(&steps, "Vent 1: fix its rod")[0];
    assert_eq!(vent[1], "Cut to 79.0 mm, up to the upper face of the beam");
    let gate = find(&steps, "Gate 1: fix its rod")[0];
    assert_eq!(gate[1], "Legs from the part: 10.0 + 114.0; cut 124.0 mm in all, up to the upper face of the beam");
    let pages = printed(&job);
    let table = page(&pages, "Positions and sizes");
    for figure in
        ["79.0", "124.0", "legs of 10.0 + 114.0", "up to the upper face of the beam, 39.0 mm over the silicone"]
    {
        assert!(table.contains(figure), "{figure}: {table}");
    }
    // What no rod makes keeps its length in the rubber.
    assert!(table.contains("legs of 10.0 + 75.0"), "{table}");
    job.report.hanging.stuck_to_floor = true;
    assert!(find(&steps_of(&job, "Box and hang"), "Vent 1: fix")[0][1].ends_with("the rim of the walls"));
}

#[test]
fn only_straight_rods_are_pulled_and_a_bent_runner_is_lifted_out_of_the_cut() {
    let mut job = sample(2, 0, 0);
    let steps = steps_of(&job, "Open the block");
    let place = |steps: &[[String; 3]], words: &str| {
        steps.iter().position(|s| s[0].contains(words)).unwrap_or_else(|| panic!("{words}: {steps:?}"))
    };
    // Two vents are straight, the sample's runner has a bend.
    assert!(place(&steps, "Pull the 2 straight rods") < place(&steps, "Cut along"));
    let lift = place(&steps, "Lift the rods of Gate 1 out of the opened cut");
    assert!(place(&steps, "Cut along") < lift && lift < place(&steps, "Take the master out"));
    let pages = printed(&job);
    let table = page(&pages, "Positions and sizes");
    assert!(table.contains("lifted out of the opened block"), "{table}");
    job.report.feed.runners[0].pulled = true;
    let steps = steps_of(&job, "Open the block");
    assert!(place(&steps, "Pull the 3 straight rods") > 0 && find(&steps, "Lift the rods").is_empty());
    assert!(!page(&printed(&job), "Positions and sizes").contains("lifted out"));
}

#[test]
fn the_reason_of_the_proposed_way_is_not_given_for_another_gate() {
    let mut job = sample(1, 0, 0);
    let figures = &mut job.report.feed.figures;
    figures.why = "Fed from the side, resin rises; it is the only way that was found".into();
    figures.gates = vec![GateReport { number: 1, way: "from_below", falls_mm: Some(0.0), ..GateReport::default() }];
    let check = |job: &Sample| find(&steps_of(job, "Box and hang"), "Check that gate 1")[0].clone();
    let [words, detail, _] = check(&job);
    assert_eq!((words.as_str(), detail.as_str()), ("Check that gate 1 is fed from below", "Resin rises from it"));
    job.report.feed.figures.gates[0].falls_mm = Some(12.34);
    assert_eq!(check(&job)[1], "Resin falls 12.3 mm from it before it gathers");
    let gate = &mut job.report.feed.figures.gates[0];
    (gate.way, gate.as_proposed) = ("from_the_side", true);
    let [words, detail, _] = check(&job);
    assert!(words.ends_with("from the side") && detail.starts_with("Fed from the side"), "{words}: {detail}");
}

#[test]
fn a_weight_says_what_is_in_it() {
    let mut job = sample(1, 2, 0);
    job.report.casts.expected_g = Some(151.2);
    let told = |job: &Sample| {
        let trim = find(&steps_of(job, "Cast, every shot"), "Trim feed and vents")[0].clone();
        (printed(job), trim)
    };
    let (pages, trim) = told(&job);
    let resin_page = page(&pages, "Resin, for each shot");
    for p in [pages[0].as_str(), resin_page] {
        assert!(p.contains("Trimmed cast, with inserts 151 g"), "{p}");
    }
    assert!(trim[1].starts_with("Weighs so, with inserts. Much lighter"), "{trim:?}");
    assert_eq!(trim[2], figures::mass(job.report.trimmed_g()));
    // Nothing is with it where every insert is pulled again.
    job.plan.inserts.iter_mut().for_each(|i| i.stays = false);
    let (pages, trim) = told(&job);
    assert!(pages[0].contains("Trimmed cast weighs 151 g") && trim[1].starts_with("Much lighter"), "{trim:?}");
}
