//! A template as DXF, in the oldest form that every cutter reads: the ASCII drawing exchange format of 1992 ("AC1009"),
//! pairs of lines of a group code and its value.
//!
//! Lines, circles, chains and words only, each on the layer that says what it is for. One unit is one millimetre.

use super::svg::{hole_words, number};
use super::{Layer, Template};
use crate::files::output::MARK;
use crate::sheet::lettering::width_mm;
use crate::sheet::page::Weight;
use glam::DVec2;
use std::fmt::Write;

/// Layers with their colour numbers: what is sawn, what is drilled, where a knife goes, marks, words.
const LAYERS: [(&str, u8); 5] = [("OUTLINE", 7), ("HOLES", 1), ("KNIFE", 5), ("MARKS", 3), ("WORDS", 8)];
/// Height of the capitals, millimetres.
const LETTER_MM: f64 = 2.5;

fn layer_name(layer: Layer) -> &'static str {
    match layer {
        Layer::Outline => "OUTLINE",
        Layer::Knife => "KNIFE",
        Layer::Mark => "MARKS",
    }
}

/// The file; `whose` stands below the panel.
pub fn write(template: &Template, whose: &[String]) -> String {
    let mut out = String::new();
    let (low, high) = template.bounds();
    let point = |out: &mut String, first: u32, p: DVec2| {
        pair(out, first, &number(p.x));
        pair(out, first + 10, &number(p.y));
        pair(out, first + 20, "0");
    };
    pair(&mut out, 999, MARK);
    pair(&mut out, 999, &ascii(&template.title));
    for line in whose {
        pair(&mut out, 999, &ascii(line));
    }
    pair(&mut out, 0, "SECTION");
    pair(&mut out, 2, "HEADER");
    pair(&mut out, 9, "$ACADVER");
    pair(&mut out, 1, "AC1009");
    for (name, at) in [("$EXTMIN", low), ("$EXTMAX", high)] {
        pair(&mut out, 9, name);
        point(&mut out, 10, at);
    }
    pair(&mut out, 0, "ENDSEC");
    pair(&mut out, 0, "SECTION");
    pair(&mut out, 2, "TABLES");
    table(&mut out, "LTYPE", 1, |out| {
        pair(out, 0, "LTYPE");
        pair(out, 2, "CONTINUOUS");
        pair(out, 70, "0");
        pair(out, 3, "Solid line");
        pair(out, 72, "65");
        pair(out, 73, "0");
        pair(out, 40, "0");
    });
    table(&mut out, "LAYER", LAYERS.len(), |out| {
        for (name, colour) in LAYERS {
            pair(out, 0, "LAYER");
            pair(out, 2, name);
            pair(out, 70, "0");
            pair(out, 62, &colour.to_string());
            pair(out, 6, "CONTINUOUS");
        }
    });
    pair(&mut out, 0, "ENDSEC");
    pair(&mut out, 0, "SECTION");
    pair(&mut out, 2, "ENTITIES");
    for line in template.lines.iter().filter(|l| l.points.len() > 1) {
        let layer = layer_name(line.layer);
        if let [a, b] = line.points[..] {
            pair(&mut out, 0, "LINE");
            pair(&mut out, 8, layer);
            point(&mut out, 10, a);
            point(&mut out, 11, b);
            continue;
        }
        let closed = line.points.first() == line.points.last();
        let points = if closed { &line.points[..line.points.len() - 1] } else { &line.points[..] };
        pair(&mut out, 0, "POLYLINE");
        pair(&mut out, 8, layer);
        pair(&mut out, 66, "1");
        point(&mut out, 10, DVec2::ZERO);
        pair(&mut out, 70, if closed { "1" } else { "0" });
        for p in points {
            pair(&mut out, 0, "VERTEX");
            pair(&mut out, 8, layer);
            point(&mut out, 10, *p);
        }
        pair(&mut out, 0, "SEQEND");
        pair(&mut out, 8, layer);
    }
    for hole in &template.holes {
        pair(&mut out, 0, "CIRCLE");
        pair(&mut out, 8, "HOLES");
        point(&mut out, 10, hole.at);
        pair(&mut out, 40, &number(hole.diameter_mm / 2.0));
    }
    let mut words = hole_words(template);
    words.extend(template.figures.iter().map(|f| {
        // The format sets words by their lower left corner.
        let half = DVec2::new(width_mm(&f.words, Weight::Regular, LETTER_MM as f32) as f64, LETTER_MM) / 2.0;
        (f.at - half, f.words.clone())
    }));
    let foot = [template.title.clone(), template.note.clone()];
    for (i, line) in foot.iter().chain(whose).enumerate() {
        words.push((DVec2::new(0.0, low.y - 6.0 - 5.0 * i as f64), line.clone()));
    }
    for (at, text) in words {
        pair(&mut out, 0, "TEXT");
        pair(&mut out, 8, "WORDS");
        point(&mut out, 10, at);
        pair(&mut out, 40, &number(LETTER_MM));
        pair(&mut out, 1, &ascii(&text));
    }
    pair(&mut out, 0, "ENDSEC");
    pair(&mut out, 0, "EOF");
    out
}

fn table(out: &mut String, name: &str, count: usize, rows: impl Fn(&mut String)) {
    pair(out, 0, "TABLE");
    pair(out, 2, name);
    pair(out, 70, &count.to_string());
    rows(out);
    pair(out, 0, "ENDTAB");
}

fn pair(out: &mut String, code: u32, value: &str) {
    // Writing to a string cannot fail.
    let _ = write!(out, "{code:>3}\r\n{value}\r\n");
}

/// Letters that the format of that time knows; a diameter sign has its own code, what else is beyond ASCII is written
/// as near as can be.
fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            'Ø' => out.push_str("%%c"),
            '°' => out.push_str("%%d"),
            '×' => out.push('x'),
            '·' => out.push('-'),
            '−' => out.push('-'),
            '…' => out.push_str("..."),
            ' '..='~' => out.push(letter),
            c if c.is_whitespace() => out.push(' '),
            _ => out.push('?'),
        }
    }
    out
}
