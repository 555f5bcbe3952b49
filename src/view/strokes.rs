//! Lines of a width in pixels: which parts of them are seen, and their smooth-edged painting.
//!
//! Whether a piece of a line is seen is settled on its axis, against the farthest of the samples round it, so that the
//! line's own surface never eats into it. It is then painted from the distance of each pixel to the axis: pieces of one
//! line are joined by taking the least distance, so no joint is painted twice.

use crate::view::camera::{Camera, Projection};
use crate::view::picture::{Layer, PaintedSpan};
use crate::view::raster::Grid;
use crate::view::scene::{LineStyle, PickId};
use crate::view::shade::{Tables, mix};
use crate::view::stage::Stage;
use glam::{Vec2, Vec3};
use rayon::prelude::*;

/// Rows of pixels painted by one thread at a time.
const BAND: usize = 32;
/// Longest piece, pixels: keeps the box of pixels round a slanted piece small.
const PIECE_PX: f32 = 24.0;

/// A straight piece of a line in the picture, either seen or hidden all along.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    pub from: Vec2,
    pub to: Vec2,
    pub visible: bool,
    pub colours: [[f32; 3]; 2],
}

/// How pieces are painted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    pub style: LineStyle,
    pub half_px: f32,
    pub dark: [f32; 3],
    /// Share of the colour where it is seen and where it is hidden.
    pub strength: f32,
    pub ghost: f32,
    /// Pixels of one point.
    pub px_per_point: f32,
}

/// A line ready to be painted.
#[derive(Clone, Debug)]
pub(crate) struct Stroke {
    pub look: Look,
    pub pieces: Vec<Piece>,
}

/// What hides lines.
pub(crate) struct Occluders<'a> {
    pub layers: [&'a Layer; 2],
    pub grid: Grid,
    pub per_side: usize,
    pub perspective: bool,
    /// Millimetres of a sample at the target, or at unit depth in a perspective view.
    pub mm_per_sample: f32,
}

impl<'a> Occluders<'a> {
    pub fn new(layers: [&'a Layer; 2], grid: Grid, per_side: usize, camera: &Camera) -> Occluders<'a> {
        let perspective = camera.projection == Projection::Perspective;
        let px = if perspective { camera.focal_px() } else { camera.px_per_mm() };
        Occluders { layers, grid, per_side, perspective, mm_per_sample: (1.0 / (px * per_side as f64)) as f32 }
    }

    /// True where a point of a line is seen: place in samples, nearness, lift in millimetres.
    fn sees(&self, at: Vec2, near: f32, lift_mm: f32) -> bool {
        let forward = if self.perspective {
            let depth = 1.0 / near;
            let moved = depth - lift_mm - 1.5 * self.mm_per_sample * depth;
            if moved > 0.0 { 1.0 / moved } else { f32::INFINITY }
        } else {
            near + lift_mm + 1.5 * self.mm_per_sample
        };
        let step = self.per_side as i32;
        let (x, y) = (at.x.floor() as i32, at.y.floor() as i32);
        for dy in [0, -step, step] {
            for dx in [0, -step, step] {
                let (sx, sy) = (x + dx, y + dy);
                if sx < 0 || sy < 0 || sx >= self.grid.width as i32 || sy >= self.grid.height as i32 {
                    return true;
                }
                let s = sy as usize * self.grid.width + sx as usize;
                let hidden = self.layers.iter().any(|l| l.near.get(s).is_some_and(|n| *n > forward));
                if !hidden {
                    return true;
                }
            }
        }
        false
    }

    /// Cuts a line between two points of a stage into seen and hidden pieces. `walked` is the length already walked,
    /// pixels, for dashes; it is moved on.
    #[allow(clippy::too_many_arguments)]
    pub fn trace(
        &self,
        stage: &Stage,
        ends: [Vec3; 2],
        colours: [[f32; 3]; 2],
        lift_mm: f32,
        dash: Option<(f32, f32)>,
        walked: &mut f32,
        keep_hidden: bool,
        out: &mut Vec<Piece>,
    ) {
        let Some([(a, near_a), (b, near_b)]) = stage.line(ends[0], ends[1]) else { return };
        let inverse = 1.0 / self.per_side as f32;
        let length = a.distance(b) * inverse;
        let start = *walked;
        *walked += length;
        // Only what lies in the picture, with room for the width of the line.
        let Some((t0, t1)) = within(a, b, self.grid, 24.0 * self.per_side as f32) else { return };
        let step_px = if dash.is_some() { 1.0 } else { 2.0 };
        let steps = (((t1 - t0) * length / step_px).ceil() as usize).clamp(1, 20_000);
        let at = |t: f32| a + (b - a) * t;
        let mut open: Option<(f32, bool)> = None;
        let mut finish = |from: f32, to: f32, visible: bool| {
            if !visible && !keep_hidden {
                return;
            }
            let pieces = (((to - from) * length / PIECE_PX).ceil() as usize).max(1);
            for i in 0..pieces {
                let (f, g) = (i as f32 / pieces as f32, (i + 1) as f32 / pieces as f32);
                let (f, g) = (from + (to - from) * f, from + (to - from) * g);
                out.push(Piece {
                    from: at(f) * inverse,
                    to: at(g) * inverse,
                    visible,
                    colours: [mix(colours[0], colours[1], f), mix(colours[0], colours[1], g)],
                });
            }
        };
        for i in 0..steps {
            let t = t0 + (t1 - t0) * (i as f32 + 0.5) / steps as f32;
            let edge = t0 + (t1 - t0) * i as f32 / steps as f32;
            let on = dash.is_none_or(|(on, off)| (start + t * length).rem_euclid(on + off) < on);
            let state = on.then(|| self.sees(at(t), near_a + (near_b - near_a) * t, lift_mm));
            if open.map(|o| o.1) != state {
                if let Some((from, visible)) = open {
                    finish(from, edge, visible);
                }
                open = state.map(|visible| (edge, visible));
            }
        }
        if let Some((from, visible)) = open {
            finish(from, t1, visible);
        }
    }
}

/// The stretch of a segment, as shares of it, that lies in the grid widened by `margin` (Liang & Barsky 1984).
fn within(a: Vec2, b: Vec2, grid: Grid, margin: f32) -> Option<(f32, f32)> {
    let (mut t0, mut t1) = (0.0f32, 1.0f32);
    let d = b - a;
    for (p, q) in [
        (-d.x, a.x + margin),
        (d.x, grid.width as f32 + margin - a.x),
        (-d.y, a.y + margin),
        (d.y, grid.height as f32 + margin - a.y),
    ] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            t0 = t0.max(q / p);
        } else {
            t1 = t1.min(q / p);
        }
    }
    (t0 < t1 || (t0 == t1 && d == Vec2::ZERO)).then_some((t0, t1))
}

/// Notes pieces for picking.
pub(crate) fn spans(pieces: &[Piece], pick: PickId, out: &mut Vec<PaintedSpan>) {
    out.extend(pieces.iter().map(|p| PaintedSpan { from: p.from, to: p.to, pick, visible: p.visible }));
}

/// One thread's paint pots: distances to the axis, seen and hidden, and the colour there.
#[derive(Default)]
struct Pots {
    distance: [Vec<f32>; 2],
    colour: [Vec<[f32; 3]>; 2],
    touched: [Vec<u32>; 2],
}

/// Paints strokes over a picture, later ones on top.
pub(crate) fn paint(strokes: &[Stroke], rgba: &mut [u8], width: usize, tables: &Tables) {
    if strokes.is_empty() || width == 0 {
        return;
    }
    let height = rgba.len() / (4 * width);
    let bands = height.div_ceil(BAND);
    let mut bins: Vec<Vec<(u32, u32)>> = vec![Vec::new(); bands];
    for (s, stroke) in strokes.iter().enumerate() {
        let reach = stroke.look.half_px + 1.0;
        for (p, piece) in stroke.pieces.iter().enumerate() {
            let (low, high) = (piece.from.min(piece.to) - reach, piece.from.max(piece.to) + reach);
            if high.y < 0.0 || low.y >= height as f32 || high.x < 0.0 || low.x >= width as f32 {
                continue;
            }
            let last = (high.y as usize / BAND).min(bands - 1);
            for bin in &mut bins[low.y.max(0.0) as usize / BAND..=last] {
                bin.push((s as u32, p as u32));
            }
        }
    }
    rgba.par_chunks_mut(BAND * width * 4).zip(bins.par_iter()).enumerate().for_each_init(
        Pots::default,
        |pots, (band, (rows, bin))| {
            for kind in 0..2 {
                pots.distance[kind].resize(BAND * width, f32::INFINITY);
                pots.colour[kind].resize(BAND * width, [0.0; 3]);
            }
            let y0 = band * BAND;
            let band_rows = rows.len() / (4 * width);
            for of_stroke in bin.chunk_by(|a, b| a.0 == b.0) {
                let stroke = &strokes[of_stroke[0].0 as usize];
                for &(_, p) in of_stroke {
                    pots.measure(&stroke.pieces[p as usize], stroke.look.half_px + 0.5, y0, band_rows, width);
                }
                pots.lay(&stroke.look, rows, tables);
            }
        },
    );
}

impl Pots {
    /// Notes the distance of each pixel near a piece.
    fn measure(&mut self, piece: &Piece, reach: f32, y0: usize, rows: usize, width: usize) {
        let kind = usize::from(!piece.visible);
        let (low, high) = (piece.from.min(piece.to) - reach - 0.5, piece.from.max(piece.to) + reach - 0.5);
        let (x_low, x_high) = (low.x.ceil().max(0.0) as usize, high.x.floor().min(width as f32 - 1.0));
        let (y_low, y_high) =
            ((low.y.ceil() - y0 as f32).max(0.0) as usize, (high.y.floor() - y0 as f32).min(rows as f32 - 1.0));
        if x_high < 0.0 || y_high < 0.0 {
            return;
        }
        let along = piece.to - piece.from;
        let inverse = 1.0 / along.length_squared().max(1e-12);
        for y in y_low..=y_high as usize {
            for x in x_low..=x_high as usize {
                let p = Vec2::new(x as f32 + 0.5, (y0 + y) as f32 + 0.5) - piece.from;
                let t = (p.dot(along) * inverse).clamp(0.0, 1.0);
                let d = (p - along * t).length();
                let i = y * width + x;
                if d < reach && d < self.distance[kind][i] {
                    if self.distance[kind][i] == f32::INFINITY {
                        self.touched[kind].push(i as u32);
                    }
                    self.distance[kind][i] = d;
                    self.colour[kind][i] = mix(piece.colours[0], piece.colours[1], t);
                }
            }
        }
    }

    /// Lays the paint and empties the pots.
    fn lay(&mut self, look: &Look, rows: &mut [u8], tables: &Tables) {
        for kind in [1, 0] {
            let strength = if kind == 0 { look.strength } else { look.strength * look.ghost };
            let mut touched = std::mem::take(&mut self.touched[kind]);
            for i in touched.drain(..).map(|i| i as usize) {
                let d = std::mem::replace(&mut self.distance[kind][i], f32::INFINITY);
                let colour = self.colour[kind][i];
                let pixel = &mut rows[i * 4..i * 4 + 3];
                let cover = |half: f32| (half + 0.5 - d).clamp(0.0, 1.0);
                match look.style {
                    LineStyle::Plain => tables.blend(pixel, colour, strength * thin(look.half_px, d)),
                    LineStyle::Double => {
                        // One colour for the pixel, so that a ghost lets through the same everywhere.
                        let inner = cover(look.half_px * 0.42);
                        tables.blend(pixel, mix(look.dark, colour, inner), strength * cover(look.half_px));
                    }
                    LineStyle::Tube => {
                        let inner = cover(look.half_px - 0.9 * look.px_per_point);
                        let round = (1.0 - (d / look.half_px).powi(2)).max(0.0).sqrt();
                        let lit = colour.map(|c| c * (0.62 + 0.43 * round));
                        tables.blend(pixel, mix(look.dark, lit, inner), strength * cover(look.half_px));
                    }
                }
            }
            self.touched[kind] = touched;
        }
    }
}

/// Coverage of a plain line: one thinner than a pixel is as wide as a pixel but fainter.
fn thin(half: f32, d: f32) -> f32 {
    let drawn = half.max(0.5);
    (drawn + 0.5 - d).clamp(0.0, 1.0) * (half / drawn)
}
