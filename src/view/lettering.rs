//! Words in the picture: outlines of letters from the bundled font.

use glam::Vec2;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, MetadataProvider};

/// DejaVu Sans Bold; its licence lies beside it.
static FONT: &[u8] = include_bytes!("../../assets/fonts/DejaVuSans-Bold.ttf");

/// A line of text as outlines about its middle, and its width, pixels. Letters that the font lacks are left out.
pub(crate) fn outlines(text: &str, size_px: f32, middle: Vec2) -> (Vec<Vec<Vec2>>, f32) {
    let Ok(font) = FontRef::new(FONT) else { return (Vec::new(), 0.0) };
    let size = Size::new(size_px);
    let metrics = font.glyph_metrics(size, LocationRef::default());
    let glyphs = font.outline_glyphs();
    let charmap = font.charmap();
    let named: Vec<_> = text.chars().filter_map(|c| charmap.map(c)).collect();
    let width: f32 = named.iter().filter_map(|g| metrics.advance_width(*g)).sum();
    let capital = font.metrics(size, LocationRef::default()).cap_height.unwrap_or(size_px * 0.73);
    let mut pen = Pen { at: Vec2::ZERO, from: middle + Vec2::new(-width * 0.5, capital * 0.5), done: Vec::new() };
    for g in named {
        if let Some(glyph) = glyphs.get(g) {
            // A glyph that fails to draw is left out like one that is missing.
            let _ = glyph.draw(DrawSettings::unhinted(size, LocationRef::default()), &mut pen);
        }
        pen.from.x += metrics.advance_width(g).unwrap_or(0.0);
    }
    (pen.done, width)
}

/// Collects flattened outlines; the font's y runs up, the picture's down.
struct Pen {
    at: Vec2,
    from: Vec2,
    done: Vec<Vec<Vec2>>,
}

impl Pen {
    fn place(&self, x: f32, y: f32) -> Vec2 {
        self.from + Vec2::new(x, -y)
    }

    fn push(&mut self, p: Vec2) {
        self.at = p;
        if let Some(outline) = self.done.last_mut() {
            outline.push(p);
        }
    }
}

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.at = self.place(x, y);
        self.done.push(vec![self.at]);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.push(self.place(x, y));
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        let (a, c, b) = (self.at, self.place(cx, cy), self.place(x, y));
        for i in 1..=6 {
            let t = i as f32 / 6.0;
            self.push(a.lerp(c, t).lerp(c.lerp(b, t), t));
        }
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let (p, a, b, q) = (self.at, self.place(ax, ay), self.place(bx, by), self.place(x, y));
        for i in 1..=8 {
            let t = i as f32 / 8.0;
            let (pa, ab, bq) = (p.lerp(a, t), a.lerp(b, t), b.lerp(q, t));
            self.push(pa.lerp(ab, t).lerp(ab.lerp(bq, t), t));
        }
    }

    fn close(&mut self) {}
}
