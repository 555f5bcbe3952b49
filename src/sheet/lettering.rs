//! Widths of letters, wrapping of words: what layout must know of the embedded face.
//!
//! The face is DejaVu Sans in two weights, embedded in the program. Letters are placed by their advance widths alone
//! (no kerning, no ligatures), so that measured and painted text agree to the last digit and text can be searched.

use super::page::Weight;
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use std::collections::HashMap;
use std::sync::LazyLock;

/// Font file of the ordinary weight.
pub static REGULAR: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans.ttf");
/// Font file of the bold weight.
pub static BOLD: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans-Bold.ttf");

/// Height of the capitals over the em of the face (its OS/2 table).
pub const CAPS_PER_EM: f32 = 1493.0 / 2048.0;
/// Depth of descenders over the height of the capitals (the face's "g" and "p").
pub const DESCENT_PER_HEIGHT: f32 = 426.0 / 1493.0;
/// Baseline to baseline over the height of the capitals (between the spacings of ISO 3098-1 for type B).
pub const LINE_PER_HEIGHT: f32 = 1.75;

/// What stands for a letter that the face lacks.
const MISSING: char = '\u{FFFD}';

/// Heights of lettering (ISO 3098-1), millimetres.
pub mod heights {
    /// Foot of the page.
    pub const SMALL: f32 = 1.8;
    /// Tables and remarks.
    pub const TABLE: f32 = 2.5;
    /// What is read at arm's length.
    pub const BODY: f32 = 3.5;
    /// Headings.
    pub const HEADING: f32 = 5.0;
    /// Figures that are weighed or set.
    pub const FIGURE: f32 = 7.0;
}

struct Face {
    units_per_em: f32,
    glyphs: HashMap<char, (u32, f32)>,
    missing: (u32, f32),
}

fn face_of(data: &[u8]) -> Face {
    // The files are part of the program; a face without letters could only come from a broken build, and is told by
    // the first test of a width.
    let Ok(font) = FontRef::new(data) else {
        return Face { units_per_em: 2048.0, glyphs: HashMap::new(), missing: (0, 1024.0) };
    };
    let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let units_per_em = f32::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em);
    let glyphs: HashMap<char, (u32, f32)> = font
        .charmap()
        .mappings()
        .filter_map(|(code, glyph)| {
            Some((char::from_u32(code)?, (glyph.to_u32(), metrics.advance_width(glyph)? / units_per_em)))
        })
        .collect();
    let missing = glyphs.get(&MISSING).copied().unwrap_or((0, 0.6));
    Face { units_per_em, glyphs, missing }
}

static FACES: LazyLock<[Face; 2]> = LazyLock::new(|| [face_of(REGULAR), face_of(BOLD)]);

fn face(weight: Weight) -> &'static Face {
    match weight {
        Weight::Regular => &FACES[0],
        Weight::Bold => &FACES[1],
    }
}

/// Font units in one em.
pub fn units_per_em(weight: Weight) -> f32 {
    face(weight).units_per_em
}

/// Glyph index and advance (in ems) of a letter; of the replacement sign where the face lacks it.
pub fn glyph(letter: char, weight: Weight) -> (u32, f32) {
    let face = face(weight);
    face.glyphs.get(&letter).copied().unwrap_or(face.missing)
}

/// The em that gives capitals of `height_mm`.
pub fn em_mm(height_mm: f32) -> f32 {
    height_mm / CAPS_PER_EM
}

/// Width of one line, millimetres.
pub fn width_mm(text: &str, weight: Weight, height_mm: f32) -> f32 {
    text.chars().map(|c| glyph(c, weight).1).sum::<f32>() * em_mm(height_mm)
}

/// The text as it can be printed: control characters and line ends become blanks, blanks are single, ends are bare.
pub fn plain(text: &str) -> String {
    text.split(|c: char| c.is_whitespace() || c.is_control()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The text shortened with `…` until it is no wider than `width_mm`.
pub fn fitted(text: &str, weight: Weight, height_mm: f32, limit_mm: f32) -> String {
    let text = plain(text);
    if width_mm(&text, weight, height_mm) <= limit_mm {
        return text;
    }
    let room = limit_mm - width_mm("…", weight, height_mm);
    let mut out = String::new();
    let mut used = 0.0;
    for c in text.chars() {
        used += glyph(c, weight).1 * em_mm(height_mm);
        if used > room {
            break;
        }
        out.push(c);
    }
    out.truncate(out.trim_end().len());
    out.push('…');
    out
}

/// Text and height that fit into `limit_mm`: first the letters get smaller, but not below `least_mm` high; then the text
/// is shortened.
pub fn shrunk(text: &str, weight: Weight, height_mm: f32, least_mm: f32, limit_mm: f32) -> (String, f32) {
    let text = plain(text);
    let wide = width_mm(&text, weight, height_mm);
    let height = if wide > limit_mm { (height_mm * limit_mm / wide * 0.999).max(least_mm) } else { height_mm };
    (fitted(&text, weight, height, limit_mm), height)
}

/// Units that stay on the line of their figure.
const UNITS: [&str; 16] =
    ["mm", "mm²", "mm³", "cm³", "g", "kg", "l", "s", "min", "h", "°C", "mbar", "%", "°", "Pa·s", "mm/s"];

/// The text with figures and units held together by no-break blanks.
fn bound(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut after_figure = false;
    for word in text.split(' ') {
        if !out.is_empty() {
            let unit = word.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
            out.push(if after_figure && UNITS.contains(&unit) { NO_BREAK } else { ' ' });
        }
        out.push_str(word);
        after_figure = word.ends_with(|c: char| c.is_ascii_digit());
    }
    out
}

const NO_BREAK: char = '\u{a0}';

/// The text broken into lines no wider than `limit_mm`, at blanks where it can be, inside a word where it must be.
/// At least one line; a line break in the text is kept.
pub fn wrapped(text: &str, weight: Weight, height_mm: f32, limit_mm: f32) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        let mut used = 0.0;
        let blank = width_mm(" ", weight, height_mm);
        for word in bound(&plain(paragraph)).split(' ') {
            let width = width_mm(word, weight, height_mm);
            let gap = if line.is_empty() { 0.0 } else { blank };
            if used + gap + width <= limit_mm {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
                used += gap + width;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            used = 0.0;
            for c in word.chars() {
                let step = glyph(c, weight).1 * em_mm(height_mm);
                if used + step > limit_mm && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                    used = 0.0;
                }
                line.push(c);
                used += step;
            }
        }
        lines.push(line);
    }
    // A plain blank is found by a search; a no-break one is not.
    lines.into_iter().map(|l| l.replace(NO_BREAK, " ")).collect()
}
