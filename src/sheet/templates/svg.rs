//! A template as SVG at full size (W3C, SVG 1.1): one user unit is one millimetre.

use super::labels;
use super::{Layer, Template};
use crate::files::output::MARK;
use crate::sheet::lettering::width_mm;
use crate::sheet::page::{Area, Weight};
use crate::sheet::words::template as say;
use glam::{DVec2, Vec2};
use std::fmt::Write;

/// Blank round the panel, and below it for whose it is, millimetres.
const ROUND_MM: f64 = 5.0;
/// Height of a line of words below the panel.
const LINE_MM: f64 = 5.0;
/// Height of the capitals, millimetres.
const LETTER_MM: f32 = 2.5;

/// The file; `whose` stands below the panel.
pub fn write(template: &Template, whose: &[String]) -> String {
    let (low, high) = template.bounds();
    let (low, high) = (low - ROUND_MM, high + ROUND_MM);
    let size = DVec2::new(high.x - low.x, high.y - low.y + LINE_MM * (whose.len() as f64 + 2.0));
    let at = |p: DVec2| DVec2::new(p.x - low.x, high.y - p.y);
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" \
         width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">",
        w = number(size.x),
        h = number(size.y)
    );
    let _ = writeln!(out, "<title>{}</title>\n<desc>{MARK}</desc>", escaped(&template.title));
    for (id, layer, style) in [
        ("outline", Layer::Outline, "stroke:#000;stroke-width:0.1"),
        ("knife", Layer::Knife, "stroke:#000;stroke-width:0.1;stroke-dasharray:4 1"),
        ("marks", Layer::Mark, "stroke:#000;stroke-width:0.1"),
    ] {
        let _ = writeln!(out, "<g id=\"{id}\" style=\"fill:none;{style}\">");
        for line in template.lines.iter().filter(|l| l.layer == layer && l.points.len() > 1) {
            let closed = line.points.len() > 2 && line.points.first() == line.points.last();
            let points = if closed { &line.points[..line.points.len() - 1] } else { &line.points[..] };
            let words: Vec<String> =
                points.iter().map(|p| at(*p)).map(|p| format!("{},{}", number(p.x), number(p.y))).collect();
            let kind = if closed { "polygon" } else { "polyline" };
            let _ = writeln!(out, "<{kind} points=\"{}\"/>", words.join(" "));
        }
        let _ = writeln!(out, "</g>");
    }
    let _ = writeln!(out, "<g id=\"holes\" style=\"fill:none;stroke:#000;stroke-width:0.1\">");
    for hole in &template.holes {
        let p = at(hole.at);
        let r = number(hole.diameter_mm / 2.0);
        let _ = writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"{r}\"/>", number(p.x), number(p.y));
    }
    let _ = writeln!(out, "</g>\n<g id=\"words\" style=\"font-family:sans-serif;font-size:3.4px\">");
    for (place, words) in hole_words(template) {
        text(&mut out, at(place), "start", None, &words);
    }
    for figure in &template.figures {
        text(&mut out, at(figure.at) + DVec2::new(0.0, LETTER_MM as f64 / 2.0), "middle", None, &figure.words);
    }
    for edge in &template.edges {
        let upright = edge.inward.x != 0.0;
        let turn = upright.then_some(-90);
        let into = if edge.inward.x < 0.0 || edge.inward.y > 0.0 { 2.0 } else { 4.5 };
        text(&mut out, at(edge.at + edge.inward * into), "middle", turn, &edge.words);
    }
    let foot = [template.title.clone(), template.note.clone()];
    for (i, line) in foot.iter().chain(whose).enumerate() {
        let y = high.y - low.y + LINE_MM * (i as f64 + 0.5);
        text(&mut out, DVec2::new(ROUND_MM, y), "start", None, line);
    }
    let _ = writeln!(out, "</g>\n</svg>");
    out
}

/// Words of the holes and where their first letter stands, in the template; none of two stand on one place.
pub fn hole_words(template: &Template) -> Vec<(DVec2, String)> {
    let (low, high) = template.bounds();
    // The placing works with y down.
    let down = |p: DVec2| Vec2::new(p.x as f32, -p.y as f32);
    let words: Vec<String> =
        template.holes.iter().map(|h| say::hole(h.tag.kind, h.tag.number, h.diameter_mm)).collect();
    let places: Vec<(Vec2, f32)> = template.holes.iter().map(|h| (down(h.at), h.diameter_mm as f32 / 2.0)).collect();
    let sizes: Vec<Vec2> =
        words.iter().map(|w| Vec2::new(width_mm(w, Weight::Regular, LETTER_MM) * 1.1, LETTER_MM * 1.4)).collect();
    let room = Area { min: Vec2::new(low.x as f32, -high.y as f32), max: Vec2::new(high.x as f32, -low.y as f32) };
    let placed = labels::placed(&places, &sizes, room, &[]);
    placed
        .into_iter()
        .zip(words)
        .filter_map(|(area, words)| {
            let area = area?;
            Some((DVec2::new(area.min.x as f64, -(area.min.y + LETTER_MM * 1.1) as f64), words))
        })
        .collect()
}

fn text(out: &mut String, at: DVec2, anchor: &str, turn: Option<i32>, words: &str) {
    let (x, y) = (number(at.x), number(at.y));
    let turn = turn.map_or(String::new(), |t| format!(" transform=\"rotate({t} {x} {y})\""));
    let _ = writeln!(out, "<text x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\"{turn}>{}</text>", escaped(words));
}

/// At most four places behind the point, and no more than are needed.
pub fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Text that can stand in XML: what it uses as marks escaped, what it forbids left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if (c < ' ' && c != '\t') || matches!(c, '\u{fffe}' | '\u{ffff}' | '\u{7f}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
