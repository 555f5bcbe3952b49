//! What stands round the part in a picture: the glass box's edges and floor grid, axes with the up arrow, the scale bar,
//! the painted tags.

use crate::view::camera::{Camera, Projection};
use crate::view::canvas::{self, Canvas};
use crate::view::lettering;
use crate::view::palette::{self, Colour, Theme};
use crate::view::scene::{Axes, GlassBox, LineStyle, Tag, TagKind};
use crate::view::shade::Tables;
use crate::view::strokes::{self, Look, Piece, Stroke};
use crate::view::tags::{self, PlacedTag};
use glam::{DVec3, Vec2, Vec3};

/// Most grid lines drawn each way: a finer grid is thinned out to every tenth line.
const MOST_GRID_LINES: f32 = 200.0;

/// A straight edge of a glass box with its weight, points, and strength.
pub(crate) struct BoxLine {
    pub ends: [Vec3; 2],
    pub width_pt: f32,
    pub strength: f32,
}

/// Edges and floor grid of a glass box, in its own frame.
pub(crate) fn box_lines(glass: &GlassBox) -> Vec<BoxLine> {
    let (min, max) = (glass.bounds.min, glass.bounds.max);
    let mut lines = Vec::new();
    if glass.bounds.is_empty() {
        return lines;
    }
    let mut put = |a: Vec3, b: Vec3, width_pt: f32, strength: f32| {
        lines.push(BoxLine { ends: [a, b], width_pt, strength });
    };
    if let Some(step) = glass.grid_mm.filter(|s| *s > 0.0) {
        for axis in 0..2 {
            let across = 1 - axis;
            let sparse = if (max[axis] - min[axis]) / step > MOST_GRID_LINES { 10 } else { 1 };
            let (first, last) = ((min[axis] / step).ceil(), (max[axis] / step).floor());
            if !(first.is_finite() && last.is_finite()) || last - first > MOST_GRID_LINES * 10.0 {
                continue;
            }
            for i in (first as i64..=last as i64).filter(|i| i % sparse == 0) {
                let heavy = i.rem_euclid(10) == 0;
                let at = |end: f32| {
                    let mut p = Vec3::new(0.0, 0.0, min.z);
                    p[axis] = i as f32 * step;
                    p[across] = end;
                    p
                };
                let (width, strength) = if heavy { (1.1, 0.55) } else { (0.7, 0.32) };
                put(at(min[across]), at(max[across]), width, strength);
            }
        }
    }
    for axis in 0..3 {
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        for corner in 0..4 {
            let mut a = min;
            a[u] = if corner & 1 == 0 { min[u] } else { max[u] };
            a[v] = if corner & 2 == 0 { min[v] } else { max[v] };
            let mut b = a;
            b[axis] = max[axis];
            put(a, b, 1.0, 0.75);
        }
    }
    lines
}

/// A round length for a scale bar, millimetres (1, 2 or 5 times a power of ten), and its length in pixels, at most
/// `most_px`.
pub fn scale_bar(px_per_mm: f64, most_px: f64) -> Option<(f64, f64)> {
    let most_mm = most_px / px_per_mm;
    if !(most_mm.is_finite() && most_mm > 0.0) {
        return None;
    }
    let decade = 10f64.powf(most_mm.log10().floor());
    let mm = [5.0, 2.0, 1.0].map(|k| k * decade).into_iter().find(|mm| *mm <= most_mm * (1.0 + 1e-9))?;
    Some((mm, mm * px_per_mm))
}

/// Paints flat things over a picture.
pub(crate) struct Sketch<'a> {
    pub rgba: &'a mut [u8],
    pub width: usize,
    pub tables: &'a Tables,
    pub px_per_point: f32,
    pub theme: &'a Theme,
    pub canvas: &'a mut Canvas,
}

impl Sketch<'_> {
    fn fill(&mut self, outline: Vec<Vec2>, colour: Colour) {
        self.canvas.fill(&[outline], colour.linear(), 1.0, self.rgba, self.width, self.tables);
    }

    fn line(&mut self, points: &[Vec2], width_pt: f32, colour: Colour) {
        let c = colour.linear();
        let look = Look {
            style: LineStyle::Plain,
            half_px: width_pt * 0.5 * self.px_per_point,
            dark: c,
            strength: 1.0,
            ghost: 0.0,
            px_per_point: self.px_per_point,
        };
        let pieces =
            points.windows(2).map(|w| Piece { from: w[0], to: w[1], visible: true, colours: [c, c] }).collect();
        strokes::paint(&[Stroke { look, pieces }], self.rgba, self.width, self.tables);
    }

    fn words(&mut self, text: &str, size_pt: f32, middle: Vec2, colour: Colour) {
        let (outlines, _) = lettering::outlines(text, size_pt * self.px_per_point, middle);
        self.canvas.fill(&outlines, colour.linear(), 1.0, self.rgba, self.width, self.tables);
    }

    /// An arrow head with its point at `tip`.
    fn head(&mut self, tip: Vec2, along: Vec2, size_px: f32, colour: Colour) {
        let side = along.perp() * size_px * 0.42;
        self.fill(vec![tip, tip - along * size_px + side, tip - along * size_px - side], colour);
    }

    /// The axes and the up arrow in the lower left corner.
    pub fn axes(&mut self, axes: &Axes, camera: &Camera) {
        let pt = self.px_per_point;
        let height = self.rgba.len() / (4 * self.width.max(1));
        let origin = Vec2::new(52.0 * pt, height as f32 - 52.0 * pt);
        let ink = self.theme.ink;
        let pale = ink.mix(self.theme.ground_bottom, 0.35);
        let flat = |d: DVec3| Vec2::new(d.dot(camera.right()) as f32, -d.dot(camera.top()) as f32);
        let mut order = [0usize, 1, 2];
        order.sort_by(|a, b| axes.frame[*a].dot(camera.backward()).total_cmp(&axes.frame[*b].dot(camera.backward())));
        for i in order {
            let d = axes.frame[i];
            let tip = flat(d) * 26.0 * pt;
            self.line(&[origin, origin + tip], 1.4, pale);
            let letter = ["X", "Y", "Z"][i];
            let along = tip.normalize_or_zero();
            let place = if d.dot(axes.up) > 0.99 && tip.length() > 8.0 * pt {
                origin + tip * 0.8 + along.perp() * 9.0 * pt
            } else if tip.length() > 6.0 * pt {
                origin + tip + along * 8.0 * pt
            } else {
                origin + Vec2::new(-9.0, 9.0) * pt
            };
            self.words(letter, 9.5, place, pale);
        }
        // Directions of the part are named elsewhere; these are those of the box.
        self.words("box", 9.5, origin + Vec2::new(-24.0, 24.0) * pt, pale);
        let up = flat(axes.up);
        if up.length() > 0.25 {
            let along = up.normalize();
            let tip = origin + up * 40.0 * pt;
            self.line(&[origin, tip - along * 5.0 * pt], 2.4, ink);
            self.head(tip, along, 9.0 * pt, ink);
            self.words("up", 11.0, tip + along * 9.0 * pt + Vec2::new(along.x * 4.0 * pt, 0.0), ink);
        } else {
            // Seen end-on: a dot towards the eye, a cross away from it.
            self.fill(canvas::circle(origin, 6.5 * pt), ink);
            self.fill(canvas::circle(origin, 4.9 * pt), self.theme.ground_bottom);
            if axes.up.dot(camera.backward()) > 0.0 {
                self.fill(canvas::circle(origin, 2.2 * pt), ink);
            } else {
                for d in [Vec2::ONE, Vec2::new(1.0, -1.0)] {
                    self.line(&[origin - d * 3.2 * pt, origin + d * 3.2 * pt], 1.5, ink);
                }
            }
            self.words("up", 11.0, origin + Vec2::new(0.0, -15.0) * pt, ink);
        }
    }

    /// The scale bar at the lower right; nothing in a perspective view.
    pub fn scale_bar(&mut self, camera: &Camera) {
        let pt = self.px_per_point;
        let height = (self.rgba.len() / (4 * self.width.max(1))) as f32;
        if camera.projection != Projection::Parallel {
            return;
        }
        let Some((mm, length)) = scale_bar(camera.px_per_mm(), 120.0 * pt as f64) else { return };
        let right = Vec2::new(self.width as f32 - 24.0 * pt, height - 24.0 * pt);
        let left = right - Vec2::new(length as f32, 0.0);
        let tick = Vec2::new(0.0, 4.0 * pt);
        let ink = self.theme.ink;
        self.line(&[left - tick, left + tick], 1.4, ink);
        self.line(&[right - tick, right + tick], 1.4, ink);
        self.line(&[left, right], 1.4, ink);
        let text = if mm >= 1.0 { format!("{mm:.0} mm") } else { format!("{mm} mm") };
        self.words(&text, 11.0, (left + right) * 0.5 - Vec2::new(0.0, 12.0 * pt), ink);
    }

    /// Leaders first, then the tags themselves.
    pub fn tags(&mut self, scene: &[Tag], placed: &[PlacedTag]) {
        let pt = self.px_per_point;
        for tag in placed.iter().filter(|t| t.shown) {
            self.line(&[tag.foot_px, tag.centre_px], 3.2, palette::LINE_LIGHT);
        }
        for tag in placed.iter().filter(|t| t.shown) {
            self.line(&[tag.foot_px, tag.centre_px], 1.3, palette::LINE_DARK);
            self.fill(canvas::circle(tag.foot_px, 3.4 * pt), palette::LINE_DARK);
            self.fill(canvas::circle(tag.foot_px, 2.1 * pt), scene[tag.index].colour);
        }
        for tag in placed.iter().filter(|t| t.shown) {
            let own = &scene[tag.index];
            let (centre, radius) = (tag.centre_px, tag.radius_px);
            let edge = if own.chosen { 2.6 } else { 1.4 } * pt;
            self.fill(tags::outline(tag.kind, centre, radius), palette::LINE_LIGHT);
            self.fill(tags::outline(tag.kind, centre, radius - 1.0 * pt), palette::LINE_DARK);
            self.fill(tags::outline(tag.kind, centre, radius - 1.0 * pt - edge), own.colour);
            let ink = text_on(own.colour);
            let size = match tag.text.chars().count() {
                0 | 1 => 12.0,
                2 => 10.5,
                _ => 8.0,
            };
            let size = if tag.kind == TagKind::HighPoint { size - 1.5 } else { size };
            self.words(&tag.text, size, tags::text_middle(tag.kind, centre, radius), ink);
        }
    }
}

/// Dark or light letters, whichever stand out more on a colour.
pub fn text_on(colour: Colour) -> Colour {
    let (dark, light) = (palette::BLACK, palette::WHITE);
    if colour.contrast(dark) >= colour.contrast(light) { dark } else { light }
}
