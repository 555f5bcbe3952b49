//! The sheet as a PDF file.

use super::sample::sample;
use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::sheet::page::{Item, Paper, Picture};
use mouldbench::sheet::pdf::{Labels, paint};
use mouldbench::sheet::{make_pages, make_pdf};
use mouldbench::solve::run::Run;
use std::collections::HashMap;

fn find(bytes: &[u8], what: &[u8], from: usize) -> Option<usize> {
    bytes[from..].windows(what.len()).position(|w| w == what).map(|i| i + from)
}

/// Every stream of an uncompressed PDF.
fn streams(pdf: &[u8]) -> Vec<&[u8]> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(start) = find(pdf, b"stream\n", at) {
        let Some(end) = find(pdf, b"endstream", start) else { break };
        out.push(&pdf[start + 7..end]);
        at = end + 9;
    }
    out
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    for (paper, name) in [(Paper::A4, "sheet-a4.pdf"), (Paper::Letter, "sheet-letter.pdf")] {
        let mut job = sample(4, 2, 2);
        job.paper = paper;
        let first = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        let second = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        assert!(first.starts_with(b"%PDF-"));
        assert_eq!(first, second);
        let one_thread = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool");
        assert_eq!(first, one_thread.install(|| make_pdf(&job.input(), &Run::new())).expect("a sheet"));
        job.plan.revision += 1;
        assert_ne!(first, make_pdf(&job.input(), &Run::new()).expect("a sheet"));
        // Kept for a look at it, and for the script beside this file.
        std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name), first).expect("a place to write");
    }
}

#[test]
fn pages_have_the_size_of_their_paper() {
    // ISO 216 A4 in points of 1/72 in, and US Letter of 612 × 792.
    for (paper, width, height) in [(Paper::A4, 595.2756, 841.8898), (Paper::Letter, 612.0, 792.0)] {
        let mut job = sample(1, 0, 0);
        job.paper = paper;
        let pdf = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        let at = find(&pdf, b"/MediaBox", 0).expect("a page box");
        let text = String::from_utf8_lossy(&pdf[at + 9..at + 60]).replace(['[', ']'], " ");
        let numbers: Vec<f64> = text.split_whitespace().map_while(|w| w.parse().ok()).collect();
        assert!(numbers.len() >= 4, "{text}");
        assert!((numbers[2] - width).abs() < 0.01 && (numbers[3] - height).abs() < 0.01, "{numbers:?}");
    }
}

/// The letters of the file itself, read back through its fonts' character maps.
#[test]
fn the_words_can_be_read_back_from_the_file() {
    let job = sample(3, 1, 1);
    let pages = make_pages(&job.input(), &Run::new()).expect("pages");
    let labels = Labels { title: "t".into(), program: "p".into(), uncompressed: true, ..Labels::default() };
    let file = paint(&pages, &labels).expect("a file");
    let streams = streams(&file);
    let text = |s: &[u8]| String::from_utf8_lossy(s).into_owned();
    // Two subsets, each with its own codes: a text is found if one of the maps gives it.
    let maps: Vec<HashMap<u32, String>> = streams
        .iter()
        .map(|s| text(s))
        .filter(|s| s.contains("begincmap"))
        .map(|s| {
            let mut map = HashMap::new();
            for line in s.lines() {
                let hex: Vec<&str> = line.split(['<', '>']).filter(|p| !p.trim().is_empty()).collect();
                if let [code, letters] = hex[..]
                    && let Ok(code) = u32::from_str_radix(code, 16)
                {
                    let units: Vec<u16> = letters
                        .as_bytes()
                        .chunks(4)
                        .filter_map(|c| u16::from_str_radix(std::str::from_utf8(c).ok()?, 16).ok())
                        .collect();
                    map.insert(code, String::from_utf16_lossy(&units));
                }
            }
            map
        })
        .collect();
    assert_eq!(maps.len(), 2, "two weights, each with a map of its letters");
    // Letters are letters in the file, not outlines: each page has its text blocks, and they say what the page list says.
    let lettered: Vec<&&[u8]> =
        streams.iter().filter(|s| find(s, b"BT", 0).is_some() && find(s, b" Tf", 0).is_some()).collect();
    assert_eq!(lettered.len(), pages.pages.len());
    for (page, stream) in pages.pages.iter().zip(lettered) {
        let mut said: Vec<Vec<String>> =
            shown(stream).iter().map(|codes| maps.iter().map(|m| read(codes, m)).collect()).collect();
        for text in page.texts().filter(|t| !t.text.is_empty()) {
            let at = said.iter().position(|by_map| by_map.contains(&text.text));
            let at = at.unwrap_or_else(|| panic!("{:?} cannot be read back", text.text));
            said.swap_remove(at);
        }
        assert!(said.is_empty(), "the file says more than the page: {said:?}");
    }
}

/// The codes of each text that a content stream shows, two bytes each (ISO 32000-1, 7.3.4.2 and 9.4.3).
fn shown(stream: &[u8]) -> Vec<Vec<u32>> {
    let mut out = Vec::new();
    let mut bytes: Vec<u8> = Vec::new();
    let mut at = 0;
    while at < stream.len() {
        match stream[at] {
            b'(' => {
                let mut depth = 1;
                at += 1;
                while depth > 0 {
                    let c = stream[at];
                    at += 1;
                    match c {
                        b'(' => depth += 1,
                        b')' => depth -= 1,
                        b'\\' => {
                            let escaped = stream[at];
                            at += 1;
                            match escaped {
                                b'n' => bytes.push(b'\n'),
                                b'r' => bytes.push(b'\r'),
                                b't' => bytes.push(b'\t'),
                                b'b' => bytes.push(8),
                                b'f' => bytes.push(12),
                                b'0'..=b'7' => {
                                    let mut code = u32::from(escaped - b'0');
                                    let mut more = 0;
                                    while more < 2 && (b'0'..=b'7').contains(&stream[at]) {
                                        code = code * 8 + u32::from(stream[at] - b'0');
                                        at += 1;
                                        more += 1;
                                    }
                                    bytes.push(code as u8);
                                }
                                other => bytes.push(other),
                            }
                            continue;
                        }
                        _ => {}
                    }
                    if depth > 0 {
                        bytes.push(c);
                    }
                }
            }
            b'T' if stream[at..].starts_with(b"TJ") || stream[at..].starts_with(b"Tj") => {
                out.push(bytes.chunks(2).map(|c| c.iter().fold(0, |n, b| n << 8 | u32::from(*b))).collect());
                bytes.clear();
                at += 2;
            }
            _ => at += 1,
        }
    }
    out
}

fn read(codes: &[u32], map: &HashMap<u32, String>) -> String {
    codes.iter().map(|c| map.get(c).map_or("?", String::as_str)).collect()
}

#[test]
fn the_date_is_that_of_the_revision_and_no_clock_is_read() {
    let mut job = sample(1, 0, 0);
    job.plan.revision_date = "2026-05-04".into();
    let dated = make_pdf(&job.input(), &Run::new()).expect("a sheet");
    assert!(find(&dated, b"D:20260504", 0).is_some());
    for date in ["", "soon", "2026-13-01"] {
        job.plan.revision_date = date.into();
        let undated = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        assert!(find(&undated, b"/CreationDate", 0).is_none(), "{date}");
    }
}

#[test]
fn a_picture_takes_the_place_of_the_overview() {
    let job = sample(1, 0, 0);
    let mut input = job.input();
    let (width, height) = (40, 30);
    input.picture = Some(Picture { width, height, rgba: vec![128; (width * height * 4) as usize].into() });
    let pages = make_pages(&input, &Run::new()).expect("pages");
    let area = pages.pages[0].items.iter().find_map(|i| match i {
        Item::Image { area, .. } => Some(*area),
        _ => None,
    });
    let size = area.expect("the picture").size();
    assert!((size.x / size.y - 4.0 / 3.0).abs() < 1e-3);
    assert!(make_pdf(&input, &Run::new()).is_ok());
    // One of the wrong length is left out, not read beyond its end.
    input.picture = Some(Picture { width, height, rgba: vec![0; 8].into() });
    assert!(make_pdf(&input, &Run::new()).is_ok());
}

#[test]
fn a_finely_meshed_part_keeps_the_file_small() {
    let mut job = sample(4, 2, 0);
    job.part = solids::torus(45.0, 14.0, 400, 120);
    job.part.positions.iter_mut().for_each(|p| *p += Vec3::Z * 50.0);
    let pdf = make_pdf(&job.input(), &Run::new()).expect("a sheet");
    assert!(pdf.len() < 2_000_000, "{} bytes", pdf.len());
}

#[test]
fn a_cancelled_sheet_stops() {
    let run = Run::new();
    run.cancel();
    assert!(make_pdf(&sample(1, 0, 0).input(), &run).is_err());
}
