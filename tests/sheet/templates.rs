//! Templates at full size: what is drilled stands where the plan says, on every sheet and in every file.

use super::layout::faults;
use super::sample::{Sample, sample};
use glam::{DVec2, DVec3, Vec2};
use mouldbench::sheet::balloons::TagKind;
use mouldbench::sheet::page::{Item, Page, PageList, Paper, Pen};
use mouldbench::sheet::templates::tiles::{OVERLAP_MM, Tile, Tiling, pages, window};
use mouldbench::sheet::templates::{Layer, Template, clip, dxf, svg, templates, whose};
use mouldbench::sheet::{TemplateFile, make_templates};
use mouldbench::solve::run::Run;
use mouldbench::study::job::wall_name::WallName;
use mouldbench::study::numbers::box_panels::cut_list;
use mouldbench::study::report::{EntryReport, StationReport};
use std::collections::BTreeMap;

/// A sample whose block is many times as large, so that it takes tiles.
fn large(vents: u32, times: f64) -> Sample {
    let mut job = sample(vents, 0, 0);
    for s in &mut job.report.block.size_mm {
        *s *= times;
    }
    for vent in &mut job.report.vents {
        vent.position_mm = vent.position_mm.map(|c| c * times);
    }
    let [length, width, height] = job.report.block.size_mm;
    job.report.block.panels = cut_list(DVec3::new(length, width, height), height + 30.0, 9.0);
    for leg in job.report.feed.runners.iter_mut().flat_map(|r| &mut r.legs) {
        (leg.from_mm, leg.to_mm) = (leg.from_mm.map(|c| c * times), leg.to_mm.map(|c| c * times));
    }
    job
}

fn named<'a>(all: &'a [Template], file: &str) -> &'a Template {
    all.iter().find(|t| t.file == file).expect("a template")
}

#[test]
fn rods_stand_on_the_lid_where_the_report_has_them_at_master_size() {
    let job = sample(5, 0, 0);
    let all = templates(&job.input());
    let names: Vec<&str> = all.iter().map(|t| t.file).collect();
    assert_eq!(names, ["lid", "floor", "front", "back", "left", "right"]);
    let lid = named(&all, "lid");
    // The block of 160 by 90 with the board of 9 mm on every side.
    assert_eq!(lid.size, DVec2::new(178.0, 108.0));
    assert_eq!(lid.holes.len(), 6);
    // The gate's standing leg at (70, 0) from the middle of the box, the master 1.004 times the part; Ø 8 as the runner.
    let gate = lid.holes.iter().find(|h| h.tag.kind == TagKind::Gate).expect("the gate");
    assert!(gate.at.distance(DVec2::new(89.0 + 70.0 * 1.004, 54.0)) < 1e-9 && gate.diameter_mm == 8.0, "{gate:?}");
    for vent in &job.report.vents {
        let hole =
            lid.holes.iter().find(|h| h.tag.kind == TagKind::Vent && h.tag.number == vent.number).expect("a hole");
        let wanted = DVec2::new(89.0 + 1.004 * vent.position_mm[0], 54.0 + 1.004 * vent.position_mm[1]);
        assert!(hole.at.distance(wanted) < 1e-9 && hole.diameter_mm == 1.5, "{hole:?}");
    }
    // Walls stand 30 mm over the block's 110; the long ones go over the ends of the short ones. None has a hole of the lid.
    assert_eq!(named(&all, "left").size, DVec2::new(90.0, 140.0));
    assert_eq!(named(&all, "back").size, DVec2::new(178.0, 140.0));
    assert!(named(&all, "back").note.contains("over the ends") && named(&all, "left").note.contains("between"));
    assert!(all.iter().filter(|t| t.file != "lid").all(|t| t.holes.is_empty()));
    // Whoever stands behind the box has the right wall at the left hand.
    let first = |file: &str| named(&all, file).edges[0].words.clone();
    assert_eq!([first("front"), first("back"), first("left"), first("right")], ["left", "right", "back", "front"]);
}

/// A line that goes round all four sides of the sample's block at 40 mm, with depths to a part 100 by 50 mm across.
fn knife_round(job: &mut Sample) {
    let [length, width, _] = job.report.block.size_mm;
    let walls = [(WallName::Front, length, 20.0), (WallName::Right, width, 30.0), (WallName::Back, length, 20.0)];
    job.report.cut.entries = walls
        .into_iter()
        .chain([(WallName::Left, width, 30.0)])
        .map(|(wall, wide, depth_mm)| {
            let stations = (0..=(wide / 10.0) as usize).map(|i| i as f64 * 10.0);
            EntryReport {
                wall,
                closed: false,
                length_mm: wide,
                points_mm: vec![[0.0, 40.0], [wide / 2.0, 40.0], [wide, 40.0]],
                stations: stations
                    .map(|x| StationReport {
                        along_mm: x,
                        at_mm: [x, 40.0],
                        depth_mm,
                        to_part: x > 25.0 && x < wide - 25.0,
                    })
                    .collect(),
            }
        })
        .collect();
}

#[test]
fn the_strip_wraps_the_block_with_the_knifes_way_and_its_depths() {
    let mut job = sample(2, 0, 0);
    knife_round(&mut job);
    let below = job.report.block.below_mm;
    let all = templates(&job.input());
    let strip = named(&all, "knife");
    assert_eq!(strip.size, DVec2::new(2.0 * (160.0 + 90.0), 110.0));
    assert!(all.iter().all(|t| t.file != "knife-top" && t.file != "knife-floor"), "nothing comes out there");
    // One line round all sides: each goes on where the one before ends, also at the last edge; at master size.
    let knife: Vec<_> = strip.lines.iter().filter(|l| l.layer == Layer::Knife).collect();
    assert_eq!(knife.len(), 4);
    for pair in knife.windows(2) {
        let gap = pair[0].points.last().expect("points").distance(pair[1].points[0]);
        assert!(gap < 1e-9, "a gap of {gap}");
    }
    assert_eq!([knife[0].points[0].x, knife[3].points[2].x], [0.0, 500.0]);
    let high = below + (40.0 - below) * 1.004;
    assert!(knife.iter().flat_map(|l| &l.points).all(|p| (p.y - high).abs() < 1e-9));
    // The part's side 45 mm in half the block's width, 25 of it the part's: 19.9 mm to the master, so 19 are marked.
    let words: Vec<&str> = strip.figures.iter().map(|f| f.words.as_str()).collect();
    assert_eq!(words.len(), 17 + 10 + 17 + 10);
    assert_eq!([words[0], words[5], words[17], words[17 + 4]], ["(20)", "19", "(30)", "29"]);
    // Every figure stands above its own station, and the file for the cutter has every one.
    assert!(strip.figures.iter().all(|f| f.at.y > high + 2.0 && f.at.y < high + 6.0));
    let drawing = svg::write(strip, &whose(&job.input()));
    assert_eq!(drawing.matches(">(20)<").count() + drawing.matches(">19<").count(), 34);
    assert_eq!(dxf::write(strip, &whose(&job.input())).matches("\r\n29\r\n").count(), 2 * 4);
}

#[test]
fn a_cut_that_comes_out_at_the_top_has_a_sheet_of_its_own() {
    let mut job = sample(1, 0, 0);
    knife_round(&mut job);
    job.report.cut.entries.truncate(1);
    job.report.cut.entries[0].wall = WallName::Top;
    let all = templates(&job.input());
    assert!(all.iter().all(|t| t.file != "knife"));
    let top = named(&all, "knife-top");
    assert_eq!(top.size, DVec2::new(160.0, 90.0));
    assert_eq!([top.edges[2].words.as_str(), top.edges[3].words.as_str()], ["front", "back"]);
    // Seen from below the front wall is above.
    job.report.cut.entries[0].wall = WallName::Floor;
    let all = templates(&job.input());
    let floor = named(&all, "knife-floor");
    assert_eq!([floor.edges[2].words.as_str(), floor.edges[3].words.as_str()], ["back", "front"]);
    job.report.cut.entries[0].stations[3].depth_mm = f64::NAN;
    assert!(named(&templates(&job.input()), "knife-floor").figures.is_empty(), "what is not known is not drawn");
}

#[test]
fn what_is_not_known_is_not_drawn() {
    let mut job = sample(3, 0, 0);
    job.report.vents[0].position_mm = [f64::NAN; 3];
    job.report.vents[1].position_mm = [1e6, 0.0, 0.0];
    assert_eq!(templates(&job.input())[0].holes.len(), 2, "the gate and one vent");
    job.report.block.size_mm[1] = f64::NAN;
    assert!(templates(&job.input()).is_empty());
    assert!(make_templates(&job.input(), &Run::new()).is_ok());
    job.report.block.size_mm[1] = 1e300;
    assert!(templates(&job.input()).is_empty());
    let run = Run::new();
    run.cancel();
    assert!(make_templates(&sample(1, 0, 0).input(), &run).is_err());
}

#[test]
fn a_quarter_turn_mirrors_nothing_and_four_are_none() {
    let job = sample(6, 0, 0);
    let lid = &templates(&job.input())[0];
    let area = |t: &Template| {
        let p = |i: usize| t.holes[i].at;
        (p(1) - p(0)).perp_dot(p(2) - p(0))
    };
    let turned = lid.turned();
    assert!((area(lid) - area(&turned)).abs() < 1e-9 && area(lid).abs() > 1.0);
    let (low, high) = turned.bounds();
    assert!(low.abs_diff_eq(DVec2::ZERO, 1e-9) && high.abs_diff_eq(DVec2::new(108.0, 178.0), 1e-9));
    let again = turned.turned().turned().turned();
    for (a, b) in lid.holes.iter().zip(&again.holes) {
        assert!(a.at.distance(b.at) < 1e-9);
    }
    for edge in &turned.edges {
        let inside = edge.at + edge.inward;
        assert!(inside.cmpgt(DVec2::ZERO).all() && inside.cmplt(turned.size).all(), "{edge:?}");
    }
}

#[test]
fn tiles_cover_a_template_and_overlap_by_the_same_strip() {
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        for times in [0.4, 1.0, 1.7, 3.0, 5.3] {
            let job = large(4, times);
            for template in &templates(&job.input()) {
                let tiling = Tiling::of(template, window(paper));
                let [rows, columns] = tiling.grid;
                assert_eq!(tiling.tiles.len(), rows * columns);
                let (low, high) = template.bounds();
                // Seen from the whole: no place of the template is on no tile.
                for i in 0..=40 {
                    for k in 0..=40 {
                        let p = low + (high - low) * DVec2::new(i as f64, k as f64) / 40.0;
                        let on = tiling.tiles.iter().any(|t| p.cmpge(t.low).all() && p.cmple(t.high).all());
                        assert!(on, "{paper:?} {times} {p}");
                    }
                }
                for (i, tile) in tiling.tiles.iter().enumerate() {
                    let size = tile.high - tile.low;
                    assert!(size.abs_diff_eq(window(paper).size().as_dvec2(), 1e-6), "one to one");
                    if i % columns > 0 {
                        let left = &tiling.tiles[i - 1];
                        assert!((left.high.x - tile.low.x - OVERLAP_MM).abs() < 1e-6);
                    }
                    if i >= columns {
                        let above = &tiling.tiles[i - columns];
                        assert!((tile.high.y - above.low.y - OVERLAP_MM).abs() < 1e-6);
                    }
                }
                // Every cross is wholly on two tiles or more.
                for cross in tiling.crosses() {
                    let shows = |t: &Tile| cross.cmpge(t.low + 4.0).all() && cross.cmple(t.high - 4.0).all();
                    assert!(tiling.tiles.iter().filter(|t| shows(t)).count() >= 2, "{cross}");
                }
                if tiling.tiles.len() > 1 {
                    assert!(tiling.crosses().len() >= 3 * (tiling.tiles.len() - rows.max(columns)).max(1));
                }
            }
        }
    }
}

/// Round chains on a page that are closed: middle and diameter.
fn circles(page: &Page) -> Vec<(Vec2, f32)> {
    let mut out = Vec::new();
    for item in &page.items {
        let Item::Polylines { lines, pen } = item else { continue };
        for line in lines.iter().filter(|l| *pen == Pen::NARROW && l.len() > 8 && l.first() == l.last()) {
            let (low, high) =
                line.iter().fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(a, b), p| (a.min(*p), b.max(*p)));
            out.push(((low + high) / 2.0, (high - low).x));
        }
    }
    out
}

fn printed(job: &Sample) -> (Vec<Template>, PageList) {
    let all = templates(&job.input());
    let list = pages(&all, &job.input(), &Run::new()).expect("pages");
    (all, list)
}

#[test]
fn a_hole_is_drawn_at_its_place_and_size_on_every_tile_that_shows_it() {
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        for times in [1.0, 2.5, 4.0] {
            let mut job = large(9, times);
            job.paper = paper;
            let lid = templates(&job.input())[0].clone();
            let list = pages(std::slice::from_ref(&lid), &job.input(), &Run::new()).expect("pages");
            // The same cut of the lid as the pages have: upright or turned, whichever takes fewer tiles.
            let (upright, turned) = (Tiling::of(&lid, window(paper)), Tiling::of(&lid.turned(), window(paper)));
            let (lid, tiling) =
                if turned.tiles.len() < upright.tiles.len() { (lid.turned(), turned) } else { (lid, upright) };
            assert_eq!(list.pages.len(), tiling.tiles.len());
            let mut seen = vec![0; lid.holes.len()];
            for (page, tile) in list.pages.iter().zip(&tiling.tiles) {
                for (at, across) in circles(page) {
                    let near = |h: &&mouldbench::sheet::templates::Hole| tile.on_page(h.at).distance(at) < 0.02;
                    let hole = lid.holes.iter().position(|h| near(&h)).expect("a hole of the lid");
                    assert!((across as f64 - lid.holes[hole].diameter_mm).abs() < 0.03);
                    seen[hole] += 1;
                }
            }
            assert!(seen.iter().all(|n| *n >= 1), "{paper:?} {times} {seen:?}");
        }
    }
}

#[test]
fn every_sheet_has_its_bar_its_words_and_nothing_on_anything() {
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        for (vents, times) in [(0, 1.0), (6, 1.0), (24, 1.0), (24, 2.5), (60, 1.6)] {
            let mut job = large(vents, times);
            job.paper = paper;
            knife_round(&mut job);
            let (all, list) = printed(&job);
            let what = format!("{paper:?} {vents} {times}");
            let found = faults(&list);
            assert!(found.is_empty(), "{what}:\n{}", found.join("\n"));
            assert!(list.pages.len() >= 6);
            for (i, page) in list.pages.iter().enumerate() {
                let words = list.words_of(i);
                for wanted in [
                    "this bar is 100 mm",
                    "Revision 3 of 2026-05-04",
                    "Plan 9f2c4e1ab7d0",
                    "mouldbench 0.1.0",
                    "100.400 %",
                ] {
                    assert!(words.contains(wanted), "{what} page {}: {wanted}", i + 1);
                }
                let bar = page.items.iter().any(|item| match item {
                    Item::Line { from, to, .. } => (from.distance(*to) - 100.0).abs() < 1e-4,
                    Item::Polylines { lines, .. } => {
                        lines.iter().any(|l| l.windows(2).any(|w| (w[0].distance(w[1]) - 100.0).abs() < 1e-4))
                    }
                    _ => false,
                });
                assert!(bar, "{what} page {}: a line of 100 mm", i + 1);
            }
            // Every hole has its number on some sheet.
            let words = list.words();
            for hole in &all[0].holes {
                assert!(words.lines().any(|l| l == hole.tag.number.to_string()), "{what}: {:?}", hole.tag);
            }
        }
    }
}

#[test]
fn a_chain_is_cut_off_at_the_window() {
    // Worked by hand: a zigzag through a square of 10.
    let (low, high) = (DVec2::ZERO, DVec2::splat(10.0));
    let points = [(-5.0, 5.0), (5.0, 5.0), (5.0, 15.0), (8.0, 15.0), (8.0, 2.0), (2.0, 2.0)].map(DVec2::from);
    let cut = clip::chain(&points, low, high);
    let wanted: [&[(f64, f64)]; 2] = [&[(0.0, 5.0), (5.0, 5.0), (5.0, 10.0)], &[(8.0, 10.0), (8.0, 2.0), (2.0, 2.0)]];
    assert_eq!(cut, wanted.map(|l| l.iter().copied().map(DVec2::from).collect::<Vec<_>>()));
    assert!(clip::chain(&[DVec2::new(-1.0, -1.0), DVec2::new(-1.0, 11.0)], low, high).is_empty());
    // A circle's chord error stays under a hundredth.
    for radius in [0.4, 3.0, 40.0] {
        let rim = clip::circle(DVec2::new(3.0, 4.0), radius);
        for w in rim.windows(2) {
            let middle = (w[0] + w[1]) / 2.0;
            assert!(radius - middle.distance(DVec2::new(3.0, 4.0)) < 0.0101);
        }
    }
}

/// The pairs of a DXF file: group code and value.
fn pairs(text: &str) -> Vec<(i32, String)> {
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(lines.len() % 2, 1, "ends with a line end");
    lines.chunks_exact(2).map(|p| (p[0].trim().parse().expect("a group code"), p[1].to_owned())).collect()
}

/// Entities of a DXF file: kind, and its pairs by code.
fn entities(text: &str) -> Vec<(String, BTreeMap<i32, String>)> {
    let all = pairs(text);
    assert_eq!(all.last().expect("a pair"), &(0, "EOF".to_owned()));
    let start = all.iter().position(|p| p == &(2, "ENTITIES".to_owned())).expect("entities");
    let mut out: Vec<(String, BTreeMap<i32, String>)> = Vec::new();
    for (code, value) in &all[start + 1..] {
        match out.last_mut() {
            _ if *code == 0 => out.push((value.clone(), BTreeMap::new())),
            Some(last) => _ = last.1.insert(*code, value.clone()),
            None => panic!("a pair before the first entity"),
        }
    }
    out
}

#[test]
fn the_cutters_files_hold_the_same_holes_and_outlines() {
    let mut job = sample(6, 0, 0);
    job.plan.name = "Größe & <Griff> Ø 12".into();
    let all = templates(&job.input());
    let whose = whose(&job.input());
    for template in &all {
        let drawing = dxf::write(template, &whose);
        assert!(drawing.is_ascii());
        let all = entities(&drawing);
        let number = |e: &BTreeMap<i32, String>, code: i32| e[&code].parse::<f64>().expect("a number");
        let circles: Vec<_> = all.iter().filter(|e| e.0 == "CIRCLE").collect();
        assert_eq!(circles.len(), template.holes.len());
        for (circle, hole) in circles.iter().zip(&template.holes) {
            let at = DVec2::new(number(&circle.1, 10), number(&circle.1, 20));
            assert!(at.distance(hole.at) < 1e-3 && (number(&circle.1, 40) * 2.0 - hole.diameter_mm).abs() < 1e-3);
            assert_eq!(circle.1[&8], "HOLES");
        }
        // The outline: four corners of one closed chain.
        let corners: Vec<DVec2> = all
            .iter()
            .filter(|e| e.0 == "VERTEX" && e.1[&8] == "OUTLINE")
            .map(|e| DVec2::new(number(&e.1, 10), number(&e.1, 20)))
            .collect();
        let s = template.size;
        assert_eq!(corners, [DVec2::ZERO, DVec2::new(s.x, 0.0), s, DVec2::new(0.0, s.y)]);
        assert!(all.iter().any(|e| e.0 == "POLYLINE" && e.1[&70] == "1"));
        // The silicone's level on every wall, as a line and in words.
        let level = |e: &&(String, BTreeMap<i32, String>)| {
            e.0 == "LINE" && e.1[&8] == "MARKS" && number(&e.1, 20) == 110.0 && number(&e.1, 21) == 110.0
        };
        let is_wall = ["front", "back", "left", "right"].contains(&template.file);
        assert_eq!(all.iter().filter(level).count(), usize::from(is_wall), "{}", template.file);
        assert_eq!(drawing.contains("silicone up to this line, 110.0 mm"), is_wall);
        assert_eq!(svg::write(template, &whose).contains("silicone up to this line, 110.0 mm"), is_wall);
        // Every layer that is used is told in the table.
        let told: Vec<String> =
            pairs(&drawing).windows(2).filter(|w| w[0].1 == "LAYER" && w[1].0 == 2).map(|w| w[1].1.clone()).collect();
        for (kind, entity) in all.iter().filter(|e| e.1.contains_key(&8)) {
            assert!(told.contains(&entity[&8]), "{kind} on {}", entity[&8]);
        }

        let picture = svg::write(template, &whose);
        assert!(picture.contains("Größe &amp; &lt;Griff&gt;"), "{picture}");
        let value = |tag: &str, name: &str| -> f64 {
            let at = tag.find(&format!(" {name}=\"")).expect("an attribute") + name.len() + 3;
            tag[at..].split('"').next().expect("a value").trim_end_matches("mm").parse().expect("a number")
        };
        let head = picture.split('>').find(|t| t.contains("<svg")).expect("the root");
        let view: Vec<f64> = head
            .split("viewBox=\"")
            .nth(1)
            .expect("a view")
            .split('"')
            .next()
            .expect("numbers")
            .split(' ')
            .map(|n| n.parse().expect("a number"))
            .collect();
        assert_eq!((view[2], view[3]), (value(head, "width"), value(head, "height")), "one unit is one millimetre");
        let rings: Vec<&str> = picture.split('>').filter(|t| t.contains("<circle")).collect();
        assert_eq!(rings.len(), template.holes.len());
        // Distances between holes do not depend on where the drawing's corner lies; y runs down.
        for (ring, hole) in rings.iter().zip(&template.holes) {
            let first = DVec2::new(value(rings[0], "cx"), value(rings[0], "cy"));
            let step = DVec2::new(value(ring, "cx"), value(ring, "cy")) - first;
            let wanted = hole.at - template.holes[0].at;
            assert!(step.distance(DVec2::new(wanted.x, -wanted.y)) < 1e-3);
            assert!((value(ring, "r") * 2.0 - hole.diameter_mm).abs() < 1e-3);
        }
    }
    // A line of two points and a knife line keep their layers.
    let lid = named(&all, "lid");
    let marks = lid.lines.iter().filter(|l| l.layer == Layer::Mark).count();
    let lines = entities(&dxf::write(lid, &whose)).iter().filter(|e| e.0 == "LINE" && e.1[&8] == "MARKS").count();
    assert!(marks == 8 && lines == 8, "four middle marks, four faces of the silicone");
}

#[test]
fn the_same_plan_gives_the_same_files() {
    let mut job = sample(12, 2, 0);
    let make = |job: &Sample| make_templates(&job.input(), &Run::new()).expect("files");
    let first = make(&job);
    let names: Vec<&str> = first.iter().map(|f: &TemplateFile| f.name.as_str()).collect();
    assert_eq!(names.len(), 13, "{names:?}");
    assert_eq!(first, make(&job));
    let one_thread = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool");
    assert_eq!(first, one_thread.install(|| make(&job)));
    // Kept for a look, and for the script that reads them with another library.
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("templates");
    std::fs::create_dir_all(&folder).expect("a folder");
    for file in &first {
        std::fs::write(folder.join(&file.name), &file.bytes).expect("written");
    }
    job.plan.revision += 1;
    for (a, b) in first.iter().zip(make(&job)) {
        assert_ne!(a.bytes, b.bytes, "{} says its revision", a.name);
    }
}
