//! Nothing on paper stands on something else or in the margin.

use super::sample::{Sample, sample};
use mouldbench::plan::PieceOf;
use mouldbench::sheet::layout::{Cell, Column, Flow, Running};
use mouldbench::sheet::lettering::{self, heights};
use mouldbench::sheet::make_pages;
use mouldbench::sheet::page::{Area, Item, PageList, Paper, Weight};
use mouldbench::solve::run::Run;
use mouldbench::study::findings::finding::Severity;
use mouldbench::study::report::{FindingReport, LoosePieceReport, ReliefCutReport};

fn pages(job: &Sample) -> PageList {
    make_pages(&job.input(), &Run::new()).expect("not cancelled")
}

/// Texts that share ink, and texts outside the margins.
pub fn faults(list: &PageList) -> Vec<String> {
    let mut faults = Vec::new();
    let frame = list.paper.inside();
    for (number, page) in list.pages.iter().enumerate() {
        let texts: Vec<_> = page.texts().map(|t| (t, t.area())).collect();
        for (i, (a, area)) in texts.iter().enumerate() {
            if !frame.holds(*area, 0.01) {
                faults.push(format!("page {}: {:?} leaves the margin", number + 1, a.text));
            }
            for (b, other) in &texts[i + 1..] {
                if area.overlaps(*other, 0.02) {
                    faults.push(format!("page {}: {:?} and {:?}", number + 1, a.text, b.text));
                }
            }
        }
        for item in &page.items {
            let area = match item {
                Item::Rect { area, .. } | Item::TickBox { area } | Item::Image { area, .. } => *area,
                Item::Line { from, to, .. } => Area { min: from.min(*to), max: from.max(*to) },
                Item::Circle { centre, radius_mm, .. } => Area { min: *centre - *radius_mm, max: *centre + *radius_mm },
                Item::Polylines { lines, .. } if lines.iter().any(|l| !l.is_empty()) => {
                    let mut all = lines.iter().flatten();
                    let first = *all.next().expect("a point");
                    all.fold(Area { min: first, max: first }, |a, p| Area { min: a.min.min(*p), max: a.max.max(*p) })
                }
                _ => continue,
            };
            if !frame.holds(area, 0.05) {
                faults.push(format!("page {}: {area:?} leaves the margin", number + 1));
            }
        }
    }
    faults
}

#[test]
fn no_text_stands_on_another_and_margins_are_kept() {
    for paper in [Paper::A4, Paper::Letter] {
        for (vents, inserts, stops) in [(0, 0, 0), (2, 1, 1), (6, 3, 3), (24, 8, 9), (60, 0, 0)] {
            let mut job = sample(vents, inserts, stops);
            job.paper = paper;
            let list = pages(&job);
            assert!(list.pages.len() >= 6);
            let faults = faults(&list);
            assert!(faults.is_empty(), "{paper:?} {vents} {inserts} {stops}:\n{}", faults.join("\n"));
        }
    }
}

#[test]
fn the_test_above_can_fail() {
    let mut list = pages(&sample(1, 0, 0));
    let twin = list.pages[0].texts().next().expect("a text").clone();
    list.pages[0].items.push(Item::Text(twin));
    assert!(!faults(&list).is_empty());
}

#[test]
fn long_names_and_findings_stay_on_the_paper() {
    let long = "Handle shell with cable exit, window recess, snap clips and a name that nobody would print ".repeat(12);
    let unbroken = "x".repeat(4000);
    for name in [long.as_str(), unbroken.as_str(), "", "Größe 12 · 試作 \u{7} tab\tand\nline"] {
        let mut job = sample(5, 2, 0);
        job.plan.name = name.into();
        job.plan.parts[0].name = name.into();
        job.plan.vents[0].name = name.into();
        job.plan.inserts[0].name = name.into();
        job.plan.feed.gates[0].name = name.into();
        job.plan.notes = name.into();
        job.plan.revision_date = name.into();
        job.plan.shown[0].name = name.into();
        job.report.silicone.name = name.into();
        job.report.findings = (0..150)
            .map(|i| FindingReport {
                from_walls_mm: None,
                severity: [Severity::Stop, Severity::Warn, Severity::Note][i % 3],
                code: "long".into(),
                message: name.into(),
                why: name.into(),
                remedy: name.into(),
                position_mm: Some([1e9, f64::NAN, -3.0]),
            })
            .collect();
        let list = pages(&job);
        let faults = faults(&list);
        assert!(faults.is_empty(), "{:.20}:\n{}", name, faults.join("\n"));
        assert!(list.pages.len() < 60, "{} pages", list.pages.len());
    }
}

#[test]
fn figures_that_are_not_known_are_told_as_such() {
    let mut job = sample(3, 1, 0);
    job.report.silicone.a_g = f64::NAN;
    job.report.resin.shot_g = f64::INFINITY;
    job.report.vents[0].position_mm = [f64::NAN; 3];
    job.report.block.size_mm = [f64::NAN, 90.0, 110.0];
    job.things[1].foot.x = f32::NAN;
    job.part.positions[0].x = f32::NAN;
    let list = pages(&job);
    assert!(faults(&list).is_empty());
    let words = list.words();
    assert!(!words.contains("NaN") && !words.contains("inf "), "{words}");
}

#[test]
fn every_page_says_whose_it_is() {
    let job = sample(3, 1, 1);
    let list = pages(&job);
    let count = list.pages.len();
    for page in 0..count {
        let words = list.words_of(page);
        for wanted in [
            "Greenhouse soil probe, handle",
            "Revision 3 of 2026-05-04",
            &format!("Page {} of {count}", page + 1),
            "mouldbench 0.1.0",
            "Plan 9f2c4e1ab7d0",
            "5b1e77aa90cd",
        ] {
            assert!(words.contains(wanted), "page {}: {wanted}", page + 1);
        }
    }
}

#[test]
fn the_first_page_has_what_is_weighed_and_the_stops() {
    let words = pages(&sample(3, 1, 2)).words_of(0);
    for wanted in
        ["1499 g", "150 g", "79.2 g", "99.0 g", "70 °C", "5 mbar", "160 × 90 × 110 mm", "DO NOT POUR: 2 Stops"]
    {
        assert!(words.contains(wanted), "{wanted} in\n{words}");
    }
    let words = pages(&sample(3, 1, 0)).words_of(0);
    assert!(words.contains("No Stop is open") && !words.contains("DO NOT"), "{words}");
}

#[test]
fn a_runner_is_told_by_its_length_and_legs() {
    let words = pages(&sample(2, 0, 0)).words();
    let table = words.split("Positions and sizes").nth(1).expect("the table").replace('\n', " ");
    assert!(table.contains("124.0") && table.contains("in legs of 10.0 + 114.0"), "{table}");
}

#[test]
fn each_insert_has_a_section_and_each_pot_its_weights() {
    let list = pages(&sample(2, 3, 0));
    let page = (0..list.pages.len()).find(|p| list.words_of(*p).contains("Inserts and their pockets")).expect("a page");
    let rings =
        list.pages[page].items.iter().filter(|i| matches!(i, Item::Circle { radius_mm, .. } if *radius_mm > 20.0));
    assert_eq!(rings.count(), 3);
    assert!(!pages(&sample(2, 0, 0)).words().contains("Inserts and their pockets"));
    // 1498.7 g of A in the one pot of the record, which is the only way of weighing that is told.
    let words = list.words();
    for wanted in ["1499 g", "6.0 l"] {
        assert!(words.lines().any(|l| l == wanted), "{wanted}");
    }
    assert!(!words.lines().any(|l| l == "749 g" || l == "3.0 l"), "pots that nobody uses");
}

#[test]
fn the_parting_page_tells_lines_and_undercuts() {
    let mut job = sample(2, 1, 0);
    let list = pages(&job);
    let page = (0..list.pages.len()).find(|p| list.words_of(*p).contains("Lines between the halves")).expect("a page");
    let words = list.words_of(page);
    for wanted in [
        "Parting line 1",
        "320.0 mm",
        "Shut-off 1",
        "50.3 mm",
        "tape the hole on the master",
        "Undercut 1",
        "lets go with care",
        "120 mm²",
        "2.4 mm",
        // 25 above the lowest level at 25, on a master 1.004 times as large.
        "80.0 · 45.0 · 50.1",
        "Half 1 lifts off towards the top",
    ] {
        assert!(words.contains(wanted), "{wanted} in\n{words}");
    }
    // No balloon of a vent stands on these views.
    assert!(!list.words_of(page).lines().any(|l| l == "Vent 1"));
    // A length that is not known is told as such, and no sum is made of it.
    job.report.parting.loops[0].length_mm = None;
    let words = pages(&job).words_of(page);
    assert!(!words.contains("320.0 mm") && words.contains("50.3 mm"), "{words}");
    job.report.parting.loops.clear();
    assert!(pages(&job).words().contains("No parting line is known yet"));
}

/// Relief cuts and loose pieces with what the bench needs of them; an undercut that nobody sees is counted and keeps its
/// number; a shut-off that was moved says how far into its hole it lies.
#[test]
fn the_parting_page_tells_relief_cuts_and_loose_pieces() {
    let mut job = sample(2, 1, 0);
    let parting = &mut job.report.parting;
    let mut faint = parting.undercuts[0].clone();
    (faint.depth_mm, faint.area_mm2) = (0.02, 3.0);
    parting.undercuts.insert(0, faint);
    parting.shut_offs[0].moved_mm = -8.0;
    parting.relief_cuts.push(ReliefCutReport {
        name: "by the clip".into(),
        length_mm: 22.5,
        along_draw_mm: 17.3,
        depth_mm: 7.5,
        area_mm2: 160.0,
        serves: vec![1],
        severs: 0,
    });
    let core = LoosePieceReport {
        name: String::new(),
        volume_mm3: 800.0,
        length_mm: 24.0,
        diameter_mm: 6.4,
        leaves_along: [0.0, 0.6, 0.8],
        serves_mm2: 90.0,
        serves: Vec::new(),
        fills: 1,
        file: "loose-piece-1.stl".into(),
        of: PieceOf::Metal,
        trouble: None,
    };
    parting.loose_pieces.push(LoosePieceReport { trouble: Some("nothing is left of it".into()), ..core.clone() });
    parting.loose_pieces.insert(0, core);
    let list = pages(&job);
    let page = (0..list.pages.len()).find(|p| list.words_of(*p).contains("Lines between the halves")).expect("a page");
    let words: String = (page..list.pages.len()).map(|p| list.words_of(p)).collect::<Vec<_>>().join("\n");
    for wanted in [
        "4.0 mm from the mouth towards half 1",
        "1 undercut is shallower than 0.3 mm and not printed",
        "Undercut 2",
        "by the clip",
        "22.5 mm",
        "17.3 mm",
        "7.5 mm",
        "undercut 2",
        "Loose piece 1",
        "metal",
        "Ø 6.4 × 24.0 mm",
        "top, 37° off",
        "1 locked core",
        "loose-piece-1.stl",
        "cannot be made",
    ] {
        let flat = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(wanted), "{wanted} in\n{words}");
    }
    assert!(words.lines().all(|l| l != "0.0 mm" && l != "Undercut 1"), "{words}");
}

#[test]
fn figures_to_weigh_are_large() {
    let list = pages(&sample(3, 1, 2));
    let text = list.pages[0].texts().find(|t| t.text == "1499 g").expect("the mass");
    assert!(text.height_mm >= 7.0 && text.weight == Weight::Bold, "{text:?}");
}

#[test]
fn wrapped_lines_fit_and_lose_no_letter() {
    let text = "Place a vent on its peak: 480 mm³ of air stays, the limit is 1 mm³ (see Unterbrechungsfreiheitsgrad).";
    for limit in [8.0, 20.0, 55.0, 400.0] {
        let lines = lettering::wrapped(text, Weight::Bold, heights::BODY, limit);
        for line in &lines {
            assert!(lettering::width_mm(line, Weight::Bold, heights::BODY) <= limit + 1e-3, "{limit}: {line}");
        }
        let bare = |t: &str| t.split_whitespace().collect::<String>();
        assert_eq!(bare(&lines.concat()), bare(text));
    }
    // A unit stays with its figure.
    for limit in 20..120 {
        for line in lettering::wrapped(text, Weight::Regular, heights::BODY, limit as f32) {
            assert!(!line.starts_with("mm³"), "{limit}: {line}");
        }
    }
    // Widths: ten figures of DejaVu Sans are 1303/2048 em each (the face's own table).
    let wide = lettering::width_mm("0123456789", Weight::Regular, heights::BODY);
    assert!((wide - 10.0 * 1303.0 / 1493.0 * heights::BODY).abs() < 1e-3, "{wide}");
}

#[test]
fn a_long_table_repeats_its_head_and_keeps_rows_whole() {
    let mut flow = Flow::new(Paper::A4);
    let columns = [Column::left("Vent", 1.0), Column::right("Height", 1.0)];
    let rows: Vec<Vec<Cell>> = (1..=120)
        .map(|i| vec![Cell::bold(format!("row {i}")), Cell::words(format!("{i}.5 over\ntwo lines"))])
        .collect();
    flow.table(&columns, &rows, heights::BODY);
    let list = flow.finished(&Running::default());
    assert!(list.pages.len() > 3);
    for page in 0..list.pages.len() {
        assert!(list.words_of(page).contains("Vent\nHeight"), "page {page}");
    }
    for i in 1..=120 {
        let home: Vec<usize> = (0..list.pages.len())
            .filter(|&p| list.words_of(p).lines().any(|l| l == format!("row {i}") || l == format!("{i}.5 over")))
            .collect();
        assert_eq!(home.len(), 1, "row {i}");
    }
    assert!(faults(&list).is_empty());
}

#[test]
fn what_is_kept_together_stands_on_one_page() {
    let rows =
        |count: usize| -> Vec<Vec<Cell>> { (1..=count).map(|i| vec![Cell::words(format!("row {i}"))]).collect() };
    let columns = [Column::left("What", 1.0)];
    // (lines above, rows of the first and the second table, pages in all)
    for (above, first, second, wanted) in [(4, 5, 3, 1), (28, 8, 2, 2), (28, 45, 3, 3), (0, 45, 3, 2)] {
        let mut flow = Flow::new(Paper::A4);
        for i in 0..above {
            flow.paragraph(&format!("above {i}"), Weight::Regular, heights::BODY);
        }
        flow.together(|flow| {
            flow.heading("Positions", 20.0);
            flow.table(&columns, &rows(first), heights::BODY);
            flow.table(&columns, &rows(second), heights::BODY);
        });
        let list = flow.finished(&Running::default());
        let case = format!("{above} {first} {second}");
        assert_eq!(list.words().matches("Positions").count(), 1, "{case}: set once");
        let lines = list.words().lines().filter(|l| l.starts_with("row ")).count();
        assert_eq!(lines, first + second, "{case}: no row twice or lost");
        assert_eq!(list.pages.len(), wanted, "{case}");
        if first < 40 {
            let page = (0..list.pages.len()).find(|p| list.words_of(*p).contains("Positions")).expect("a page");
            let here = list.words_of(page).lines().filter(|l| l.starts_with("row ")).count();
            assert_eq!(here, first + second, "{case}: all beside their heading");
        }
        assert!(faults(&list).is_empty());
    }
}

/// Every text of a page with its place, a line each, in tenths of a millimetre.
fn as_text(list: &PageList) -> String {
    let mut out = String::new();
    for (i, page) in list.pages.iter().enumerate() {
        out.push_str(&format!("page {}\n", i + 1));
        for t in page.texts() {
            let at = t.start();
            out.push_str(&format!("{:5.1} {:5.1} {:4.1}  {}\n", at.x, at.y, t.height_mm, t.text));
        }
    }
    out
}

/// The layout as it was looked at last. Where it changes on purpose, look at the pages and write it anew:
/// `cargo test -- --ignored write_the_golden_layout`.
#[test]
fn the_layout_is_the_one_that_was_looked_at() {
    let got = as_text(&pages(&sample(3, 1, 1)));
    let golden = include_str!("golden_layout.txt");
    for (n, (got, golden)) in got.lines().zip(golden.lines()).enumerate() {
        assert_eq!(got, golden, "line {} of tests/sheet/golden_layout.txt", n + 1);
    }
    assert_eq!(got.lines().count(), golden.lines().count());
}

#[test]
#[ignore = "writes tests/sheet/golden_layout.txt"]
fn write_the_golden_layout() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheet/golden_layout.txt");
    std::fs::write(path, as_text(&pages(&sample(3, 1, 1)))).expect("written");
}
