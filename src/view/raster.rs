//! Triangles into samples: sorted into bands of rows, each band filled by one thread, nearest sample kept.
//!
//! Corners lie on a grid of 1/256 sample; edge functions are whole numbers, and a sample centre on an edge belongs to
//! the triangle only where that edge is a top or a left one. So triangles that share an edge neither leave a gap nor hit
//! a sample twice. In each band triangles come in the order of the scene whatever the number of threads, and only a
//! strictly nearer one replaces a sample.

use crate::view::picture::Layer;
use crate::view::stage::{SUB, SUB_BITS, ScreenVertex, Stage};
use glam::Vec3;
use rayon::prelude::*;

/// Rows of samples in a band.
pub(crate) const BAND: usize = 32;
/// Triangles sorted at a time by one thread.
const PER_CHUNK: usize = 16_384;
/// Marks an entry of a bin that names a piece of a cut triangle.
const PIECE: u32 = 1 << 31;
/// Largest width and height, in samples, for which edge functions fit in 32 bits.
const SMALL: i32 = 48;

/// The grid of samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    pub width: usize,
    pub height: usize,
}

/// One mesh on the way to the grid.
pub(crate) struct Batch<'a> {
    pub stage: Stage,
    pub positions: &'a [Vec3],
    pub triangles: &'a [[u32; 3]],
    pub vertices: &'a [ScreenVertex],
    /// Id of triangle 0.
    pub first: u32,
    /// Leave out triangles that turn away from the eye.
    pub cull: bool,
    /// Count turns of the surface behind the section, to find where its solid is cut.
    pub capped: Option<Cap>,
}

/// The plane of a section as it lies over the grid: nearness of its points is affine in the place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cap {
    /// Nearness at sample (0, 0)'s centre, and its growth to the right and down.
    pub near: [f64; 3],
    pub id: u32,
}

/// Triangles of one chunk of one batch, sorted into bands. Kept from picture to picture.
#[derive(Default)]
pub(crate) struct Chunk {
    batch: usize,
    bins: Vec<Vec<u32>>,
    pieces: Vec<([ScreenVertex; 3], u32)>,
    polygon: Vec<ScreenVertex>,
}

/// Buffers kept from picture to picture.
#[derive(Default)]
pub(crate) struct Bins {
    chunks: Vec<Chunk>,
    used: usize,
}

/// A triangle ready to be filled.
#[derive(Clone, Copy)]
pub(crate) struct Ready {
    pub v: [ScreenVertex; 3],
    /// Twice the area in grid steps; positive where the front is seen.
    pub area: i64,
    /// First and last column and row whose sample centres the bounds hold, before cutting to the picture.
    pub x: (i32, i32),
    pub y: (i32, i32),
}

/// The triangle unless it covers no sample centre or, with `cull`, turns away from the eye.
#[inline(always)]
pub(crate) fn ready(v: [ScreenVertex; 3], cull: bool) -> Option<Ready> {
    let (ax, ay) = ((v[1].x - v[0].x) as i64, (v[1].y - v[0].y) as i64);
    let (bx, by) = ((v[2].x - v[0].x) as i64, (v[2].y - v[0].y) as i64);
    // With y down, a triangle that runs counter-clockwise to the eye has a negative product.
    let area = ay * bx - ax * by;
    if area == 0 || (cull && area < 0) {
        return None;
    }
    let low = |c: i32| (c + SUB / 2 - 1) >> SUB_BITS;
    let high = |c: i32| (c - SUB / 2) >> SUB_BITS;
    let x = (low(v[0].x.min(v[1].x).min(v[2].x)), high(v[0].x.max(v[1].x).max(v[2].x)));
    let y = (low(v[0].y.min(v[1].y).min(v[2].y)), high(v[0].y.max(v[1].y).max(v[2].y)));
    if x.0 > x.1 || y.0 > y.1 {
        return None;
    }
    Some(Ready { v, area, x, y })
}

#[inline(always)]
fn corners_of(batch: &Batch<'_>, t: usize) -> [ScreenVertex; 3] {
    let [a, b, c] = batch.triangles[t];
    [batch.vertices[a as usize], batch.vertices[b as usize], batch.vertices[c as usize]]
}

impl Bins {
    /// Sorts every triangle of the batches into bands.
    pub fn sort(&mut self, batches: &[Batch<'_>], grid: Grid) {
        let bands = grid.height.div_ceil(BAND);
        let mut jobs = Vec::new();
        for (b, batch) in batches.iter().enumerate() {
            for at in (0..batch.triangles.len()).step_by(PER_CHUNK) {
                jobs.push((b, at));
            }
        }
        self.used = jobs.len();
        if self.chunks.len() < jobs.len() {
            self.chunks.resize_with(jobs.len(), Chunk::default);
        }
        self.chunks[..jobs.len()].par_iter_mut().zip(jobs.par_iter()).for_each(|(chunk, &(b, at))| {
            chunk.fill(&batches[b], b, at, bands, grid);
        });
    }

    /// Calls `each` for every triangle that touches a band, in the order of the scene, batch by batch; `done` after each
    /// batch that has any in the band.
    pub fn in_band(
        &self,
        batches: &[Batch<'_>],
        band: usize,
        mut each: impl FnMut(usize, &Ready, u32),
        mut done: impl FnMut(usize),
    ) {
        let mut open: Option<usize> = None;
        for chunk in &self.chunks[..self.used] {
            let Some(bin) = chunk.bins.get(band) else { continue };
            if bin.is_empty() {
                continue;
            }
            if let Some(b) = open.filter(|b| *b != chunk.batch) {
                done(b);
            }
            open = Some(chunk.batch);
            let batch = &batches[chunk.batch];
            for &entry in bin {
                let (v, t) = if entry & PIECE != 0 {
                    chunk.pieces[(entry & !PIECE) as usize]
                } else {
                    (corners_of(batch, entry as usize), entry)
                };
                if let Some(triangle) = ready(v, batch.cull) {
                    each(chunk.batch, &triangle, t);
                }
            }
        }
        if let Some(b) = open {
            done(b);
        }
    }
}

impl Chunk {
    fn fill(&mut self, batch: &Batch<'_>, index: usize, at: usize, bands: usize, grid: Grid) {
        self.batch = index;
        self.bins.resize_with(bands, Vec::new);
        self.bins.iter_mut().for_each(Vec::clear);
        self.pieces.clear();
        let end = (at + PER_CHUNK).min(batch.triangles.len());
        for t in at..end {
            let v = corners_of(batch, t);
            if v[0].is_whole() & v[1].is_whole() & v[2].is_whole() {
                self.put(v, t as u32, batch.cull, grid, false);
            } else if !v.iter().all(ScreenVertex::is_cut_away) {
                let tri = batch.triangles[t];
                let mut polygon = std::mem::take(&mut self.polygon);
                batch.stage.cut_triangle(tri.map(|v| batch.positions[v as usize]), tri, &mut polygon);
                for i in 2..polygon.len() {
                    self.put([polygon[0], polygon[i - 1], polygon[i]], t as u32, batch.cull, grid, true);
                }
                self.polygon = polygon;
            }
        }
    }

    #[inline]
    fn put(&mut self, v: [ScreenVertex; 3], t: u32, cull: bool, grid: Grid, piece: bool) {
        let Some(triangle) = ready(v, cull) else { return };
        let (y0, y1) = (triangle.y.0.max(0), triangle.y.1.min(grid.height as i32 - 1));
        let out = triangle.x.0 >= grid.width as i32 || triangle.x.1 < 0 || y0 > y1;
        if out {
            return;
        }
        let entry = if piece {
            self.pieces.push((v, t));
            PIECE | (self.pieces.len() as u32 - 1)
        } else {
            t
        };
        for band in y0 as usize / BAND..=y1 as usize / BAND {
            self.bins[band].push(entry);
        }
    }
}

/// Calls `span(y, x0, x1)` for each row of samples that the triangle covers between the rows `rows` and left of `width`:
/// samples `x0..x1`.
#[inline(always)]
pub(crate) fn spans(t: &Ready, width: usize, rows: (i32, i32), mut span: impl FnMut(i32, i32, i32)) {
    let (x_low, x_high) = (t.x.0.max(0), t.x.1.min(width as i32 - 1));
    let (y_low, y_high) = (t.y.0.max(rows.0), t.y.1.min(rows.1 - 1));
    if x_low > x_high || y_low > y_high {
        return;
    }
    // Order the corners so that the inside is where all three edge functions are positive.
    let v = if t.area > 0 { [t.v[0], t.v[2], t.v[1]] } else { t.v };
    let small = t.x.1 - t.x.0 < SMALL && t.y.1 - t.y.0 < SMALL;
    if small {
        let edge = |a: ScreenVertex, b: ScreenVertex| {
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let inclusive = dy < 0 || (dy == 0 && dx > 0);
            let (px, py) = (x_low * SUB + SUB / 2 - a.x, y_low * SUB + SUB / 2 - a.y);
            // Positive inside; one less where a centre on the edge does not belong.
            (dx * py - dy * px - i32::from(!inclusive), -dy * SUB, dx * SUB)
        };
        let (mut r0, sx0, sy0) = edge(v[0], v[1]);
        let (mut r1, sx1, sy1) = edge(v[1], v[2]);
        let (mut r2, sx2, sy2) = edge(v[2], v[0]);
        for y in y_low..=y_high {
            let (mut e0, mut e1, mut e2) = (r0, r1, r2);
            let mut x = x_low;
            while x <= x_high && (e0 | e1 | e2) < 0 {
                (e0, e1, e2) = (e0 + sx0, e1 + sx1, e2 + sx2);
                x += 1;
            }
            let from = x;
            while x <= x_high && (e0 | e1 | e2) >= 0 {
                (e0, e1, e2) = (e0 + sx0, e1 + sx1, e2 + sx2);
                x += 1;
            }
            if x > from {
                span(y, from, x);
            }
            (r0, r1, r2) = (r0 + sy0, r1 + sy1, r2 + sy2);
        }
        return;
    }
    let edge = |a: ScreenVertex, b: ScreenVertex| {
        let (dx, dy) = ((b.x - a.x) as i64, (b.y - a.y) as i64);
        let inclusive = dy < 0 || (dy == 0 && dx > 0);
        let (px, py) = ((SUB / 2 - a.x) as i64, (SUB / 2 - a.y) as i64);
        (dx * py - dy * px - i64::from(!inclusive), -dy * SUB as i64, dx * SUB as i64)
    };
    let edges = [edge(v[0], v[1]), edge(v[1], v[2]), edge(v[2], v[0])];
    for y in y_low..=y_high {
        let (mut from, mut to) = (x_low as i64, x_high as i64 + 1);
        for (start, right, down) in edges {
            let e = start + down * y as i64;
            // Samples with e + right·x ≥ 0.
            match right {
                0 if e < 0 => to = from,
                0 => {}
                1.. => from = from.max((-e).div_euclid(right) + i64::from((-e).rem_euclid(right) != 0)),
                _ => to = to.min(e.div_euclid(-right) + 1),
            }
        }
        if from < to {
            span(y, from as i32, to as i32);
        }
    }
}

/// Nearness over a triangle as an affine function of the sample, kept within its corners' range so that slivers cannot
/// run away.
#[derive(Clone, Copy)]
pub(crate) struct Slope {
    base: f32,
    right: f32,
    down: f32,
    x: f32,
    y: f32,
    low: f32,
    high: f32,
}

impl Slope {
    #[inline(always)]
    pub fn of(t: &Ready) -> Slope {
        let [a, b, c] = t.v;
        let inverse = -(SUB as f32) / t.area as f32;
        let (bx, by) = ((b.x - a.x) as f32, (b.y - a.y) as f32);
        let (cx, cy) = ((c.x - a.x) as f32, (c.y - a.y) as f32);
        let (db, dc) = (b.near - a.near, c.near - a.near);
        Slope {
            base: a.near,
            right: (db * cy - dc * by) * inverse,
            down: (dc * bx - db * cx) * inverse,
            x: (a.x - SUB / 2) as f32 / SUB as f32,
            y: (a.y - SUB / 2) as f32 / SUB as f32,
            low: a.near.min(b.near).min(c.near),
            high: a.near.max(b.near).max(c.near),
        }
    }

    #[inline(always)]
    pub fn at(&self, x: i32, y: i32) -> f32 {
        let near = self.base + (x as f32 - self.x) * self.right + (y as f32 - self.y) * self.down;
        near.max(self.low).min(self.high)
    }
}

/// Fills a layer with the nearest triangles of all batches.
pub(crate) fn fill(bins: &Bins, batches: &[Batch<'_>], grid: Grid, layer: &mut Layer) {
    let band_len = BAND * grid.width;
    layer
        .near
        .par_chunks_mut(band_len)
        .zip(layer.id.par_chunks_mut(band_len))
        .enumerate()
        .for_each_init(Vec::new, |turns, (band, (near, id))| fill_band(bins, batches, grid, band, near, id, turns));
}

fn fill_band(
    bins: &Bins,
    batches: &[Batch<'_>],
    grid: Grid,
    band: usize,
    near: &mut [f32],
    id: &mut [u32],
    turns: &mut Vec<i16>,
) {
    near.fill(f32::NEG_INFINITY);
    id.fill(0);
    let y0 = (band * BAND) as i32;
    let rows = (y0, y0 + (near.len() / grid.width) as i32);
    if batches.iter().any(|b| b.capped.is_some()) {
        turns.clear();
        turns.resize(near.len(), 0);
    }
    let turns = std::cell::RefCell::new(turns);
    let cells = std::cell::RefCell::new((near, id));
    bins.in_band(
        batches,
        band,
        |b, t, triangle| {
            let (near, id) = &mut *cells.borrow_mut();
            let slope = Slope::of(t);
            let name = batches[b].first + triangle;
            let capped = batches[b].capped.is_some();
            let turn = if t.area < 0 { 1 } else { -1 };
            spans(t, grid.width, rows, |y, x0, x1| {
                let row = (y - y0) as usize * grid.width;
                let (from, to) = (row + x0 as usize, row + x1 as usize);
                for (i, (n, name_here)) in near[from..to].iter_mut().zip(&mut id[from..to]).enumerate() {
                    let here = slope.at(x0 + i as i32, y);
                    if here > *n {
                        *n = here;
                        *name_here = name;
                    }
                }
                if capped {
                    turns.borrow_mut()[from..to].iter_mut().for_each(|c| *c = c.saturating_add(turn));
                }
            });
        },
        |b| {
            // Beyond the section each ray leaves a closed solid once more than it enters exactly where the section cuts it.
            let Some(cap) = batches[b].capped else { return };
            let (near, id) = &mut *cells.borrow_mut();
            for (i, c) in turns.borrow_mut().iter_mut().enumerate() {
                if *c > 0 {
                    let (x, y) = ((i % grid.width) as f64, (i / grid.width) as f64 + y0 as f64);
                    let here = (cap.near[0] + cap.near[1] * x + cap.near[2] * y) as f32;
                    if here > near[i] {
                        near[i] = here;
                        id[i] = cap.id;
                    }
                }
                *c = 0;
            }
        },
    );
}
