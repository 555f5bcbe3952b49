//! Which way the halves part: many directions measured on depth rasters, the best few proposed.

use crate::mesh::Mesh;
use crate::mesh::solids::frame_square_to;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// What a depth raster shows of one direction.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RasterView {
    /// Area that neither half can see, mm²; an estimate from samples. Undercuts shallower than a cell of the raster, a
    /// two-hundredth of the part, are not seen.
    pub hidden_from_both_mm2: f64,
    /// Extent along the direction, millimetres: how far the halves travel before they are clear.
    pub height_mm: f64,
    /// Area of the shadow along the direction, mm².
    pub shadow_mm2: f64,
    /// Length round the shadow, holes too, millimetres: about what the parting line and its shut-offs will be.
    pub outline_mm: f64,
}

impl RasterView {
    /// What is seen of two parts that do not stand before each other.
    fn beside(self, other: RasterView) -> RasterView {
        RasterView {
            hidden_from_both_mm2: self.hidden_from_both_mm2 + other.hidden_from_both_mm2,
            height_mm: self.height_mm.max(other.height_mm),
            shadow_mm2: self.shadow_mm2 + other.shadow_mm2,
            outline_mm: self.outline_mm + other.outline_mm,
        }
    }
}

/// A direction for the draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawProposal {
    /// W, a unit vector. W and −W part alike; this is the one that points up, else to +X, +Y.
    pub draw: Vec3,
    /// What the raster shows.
    pub view: RasterView,
    /// Cost, millimetres of plain line; less is better.
    pub score_mm: f64,
}

/// Cells along the longer side of a raster.
const CELLS: usize = 192;
/// Places on the surface that are looked at.
const SAMPLES: usize = 12_000;
/// Directions of the spiral over the half sphere.
const SPIRAL: usize = 240;
/// Level directions tried besides.
const LEVEL: usize = 24;
/// Facing directions of large surfaces tried besides.
const FACES: usize = 8;
/// Proposals nearer than so many radians are one.
const NEAR: f32 = 0.2;
/// What faces along an axis but for so many radians faces along it: the mean over triangles is not more exact.
const SAME: f32 = 2e-3;
/// Best directions that are refined and proposed.
const BEST: usize = 6;
/// Cost of a square millimetre hidden from both halves, as in the energy of the labels.
const HIDDEN_MM: f64 = super::energy::HIDDEN_PER_MM;
/// Cost of a square millimetre of outline times height, about the area of wall that drags (set here: fifty of them weigh
/// a millimetre of line).
const DRAG_MM: f64 = 0.02;
/// A draw beside an axis or the facing of a large surface must be better than that by so much, as a share of its score: a
/// degree askew hides steps along walls that the raster cannot see (set here).
const ASKEW: f64 = 0.03;
/// Cost of a draw that is not level, share of the outline for a draw straight up (set here).
const TILT: f64 = 0.5;

/// A place on the surface.
#[derive(Clone, Copy)]
struct Sample {
    at: Vec3,
    normal: Vec3,
}

/// Places spread evenly by area over a mesh, and the mesh: what every raster is drawn from.
pub struct Rasters<'a> {
    mesh: &'a Mesh,
    samples: Vec<Sample>,
    area_mm2: f64,
}

/// One depth raster seen along a direction: the highest and the lowest surface in every cell.
struct Raster {
    u: Vec3,
    v: Vec3,
    w: Vec3,
    low: [f32; 2],
    cell: f32,
    wide: usize,
    high: usize,
    /// Extent along `w`.
    height: f32,
    top: Vec<f32>,
    bottom: Vec<f32>,
}

impl<'a> Rasters<'a> {
    /// Spreads the places: one in the middle of each equal share of the area, walked in the order of the triangles and
    /// put in the triangle by a low-discrepancy sequence (Roberts 2018, the plastic number).
    pub fn new(mesh: &'a Mesh) -> Rasters<'a> {
        let areas: Vec<f64> =
            (0..mesh.triangles.len()).map(|t| mesh.double_area_normal(t).length() as f64 / 2.0).collect();
        let area_mm2: f64 = areas.iter().sum();
        let share = area_mm2 / SAMPLES as f64;
        let mut samples = Vec::with_capacity(SAMPLES);
        let mut behind = 0.0;
        if share > 0.0 && share.is_finite() {
            for (t, &area) in areas.iter().enumerate() {
                behind += area;
                let [a, b, c] = mesh.corners(t);
                while samples.len() < SAMPLES && (samples.len() as f64 + 0.5) * share < behind {
                    let i = samples.len() as f64 + 1.0;
                    let (mut p, mut q) =
                        ((i * 0.754_877_666_246_692_7).fract() as f32, (i * 0.569_840_290_998_053_3).fract() as f32);
                    if p + q > 1.0 {
                        (p, q) = (1.0 - p, 1.0 - q);
                    }
                    samples.push(Sample { at: a + (b - a) * p + (c - a) * q, normal: mesh.unit_normal(t) });
                }
            }
        }
        Rasters { mesh, samples, area_mm2 }
    }

    /// What is seen along `direction`.
    pub fn view(&self, direction: Vec3) -> RasterView {
        let w = direction.normalize_or(Vec3::Z);
        let raster = Raster::draw(self.mesh, w);
        let mut hidden = 0usize;
        for sample in &self.samples {
            hidden += raster.hides_both(sample) as usize;
        }
        let share = if self.samples.is_empty() { 0.0 } else { self.area_mm2 / self.samples.len() as f64 };
        let (shadow_mm2, outline_mm) = raster.shadow();
        RasterView {
            hidden_from_both_mm2: hidden as f64 * share,
            height_mm: raster.height as f64,
            shadow_mm2,
            outline_mm,
        }
    }
}

impl Raster {
    fn draw(mesh: &Mesh, w: Vec3) -> Raster {
        let (u, v) = frame_square_to(w);
        let mut low = [f32::INFINITY; 3];
        let mut high = [f32::NEG_INFINITY; 3];
        let flat: Vec<Vec3> = mesh
            .positions
            .iter()
            .map(|p| {
                let q = Vec3::new(p.dot(u), p.dot(v), p.dot(w));
                low = [low[0].min(q.x), low[1].min(q.y), low[2].min(q.z)];
                high = [high[0].max(q.x), high[1].max(q.y), high[2].max(q.z)];
                q
            })
            .collect();
        let extent = (high[0] - low[0]).max(high[1] - low[1]).max(1e-6);
        let cell = extent / CELLS as f32;
        let height = (high[2] - low[2]).max(0.0);
        // A margin of two cells, so that a step off the outermost wall still lands in a cell.
        let low = [low[0] - 2.0 * cell, low[1] - 2.0 * cell];
        let cells = |k: usize| (((high[k] - low[k]) / cell).max(0.0) as usize).min(CELLS + 4) + 3;
        let (wide, tall) = (cells(0), cells(1));
        let mut raster = Raster {
            u,
            v,
            w,
            low,
            cell,
            wide,
            high: tall,
            height,
            top: vec![f32::NEG_INFINITY; wide * tall],
            bottom: vec![f32::INFINITY; wide * tall],
        };
        for t in &mesh.triangles {
            raster.fill(t.map(|i| flat[i as usize]));
        }
        raster
    }

    /// Draws one triangle: every cell whose middle it covers; a triangle smaller than a cell marks the cell it is in.
    fn fill(&mut self, corners: [Vec3; 3]) {
        let [a, b, c] = corners
            .map(|p| Vec3::new((p.x - self.low[0]) / self.cell - 0.5, (p.y - self.low[1]) / self.cell - 0.5, p.z));
        let (x0, x1) = (a.x.min(b.x).min(c.x), a.x.max(b.x).max(c.x));
        let (y0, y1) = (a.y.min(b.y).min(c.y), a.y.max(b.y).max(c.y));
        let (i0, i1) = (x0.ceil().max(0.0) as usize, x1.floor().min(self.wide as f32 - 1.0));
        let (j0, j1) = (y0.ceil().max(0.0) as usize, y1.floor().min(self.high as f32 - 1.0));
        let double = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
        if double == 0.0 || i1 < i0 as f32 || j1 < j0 as f32 {
            return;
        }
        let (i1, j1) = (i1 as usize, j1 as usize);
        // Height over the cells is a plane; each row is the span between the edges.
        let dzdx = ((b.z - a.z) * (c.y - a.y) - (c.z - a.z) * (b.y - a.y)) / double;
        let dzdy = ((c.z - a.z) * (b.x - a.x) - (b.z - a.z) * (c.x - a.x)) / double;
        let edges = [(a, b), (b, c), (c, a)];
        for j in j0..=j1 {
            let y = j as f32;
            let (mut left, mut right) = (f32::INFINITY, f32::NEG_INFINITY);
            for (p, q) in edges {
                if (p.y - y) * (q.y - y) <= 0.0 && p.y != q.y {
                    let x = p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y);
                    left = left.min(x);
                    right = right.max(x);
                } else if p.y == y && q.y == y {
                    left = left.min(p.x.min(q.x));
                    right = right.max(p.x.max(q.x));
                }
            }
            if left > right {
                continue;
            }
            let from = (left.ceil().max(0.0) as usize).max(i0);
            let to = right.floor().min(i1 as f32);
            if to < from as f32 {
                continue;
            }
            for i in from..=to as usize {
                let z = a.z + dzdx * (i as f32 - a.x) + dzdy * (y - a.y);
                let at = j * self.wide + i;
                self.top[at] = self.top[at].max(z);
                self.bottom[at] = self.bottom[at].min(z);
            }
        }
    }

    /// Whether both halves miss a place. It is moved a cell off the surface square to the direction, and its height is
    /// carried along its own plane to the middle of the cell.
    fn hides_both(&self, sample: &Sample) -> bool {
        let n = sample.normal;
        let facing = n.dot(self.w);
        let off = n - self.w * facing;
        let at = sample.at + off * (self.cell * 1.01);
        let x = (at.dot(self.u) - self.low[0]) / self.cell;
        let y = (at.dot(self.v) - self.low[1]) / self.cell;
        let (i, j) = (x.floor(), y.floor());
        if !(i >= 0.0 && j >= 0.0 && (i as usize) < self.wide && (j as usize) < self.high) {
            return false;
        }
        let cell = j as usize * self.wide + i as usize;
        if self.top[cell] < self.bottom[cell] {
            return false;
        }
        let steep = (off.length() / facing.abs().max(0.05)).min(20.0);
        let slack = self.cell * (0.1 + 0.75 * steep);
        let z = at.dot(self.w);
        let above = self.top[cell] > z + slack;
        let below = self.bottom[cell] < z - slack;
        // What faces away is hidden by what lies behind its own surface.
        (above || facing < -0.3) && (below || facing > 0.3)
    }

    /// Area of the shadow and length of its outline: edges between full and empty cells overrate a slanting outline by
    /// 4/π on the mean (Cauchy–Crofton).
    fn shadow(&self) -> (f64, f64) {
        let full = |i: usize, j: usize| self.top[j * self.wide + i] >= self.bottom[j * self.wide + i];
        let mut area = 0usize;
        let mut rim = 0usize;
        for j in 0..self.high {
            for i in 0..self.wide {
                if full(i, j) {
                    area += 1;
                }
                rim += (i + 1 < self.wide && full(i, j) != full(i + 1, j)) as usize;
                rim += (j + 1 < self.high && full(i, j) != full(i, j + 1)) as usize;
            }
        }
        let cell = self.cell as f64;
        (area as f64 * cell * cell, rim as f64 * cell * std::f64::consts::FRAC_PI_4)
    }
}

/// What is seen along each of many directions; seconds for hundreds of them on a mesh of 200 000 triangles.
pub fn raster_views(mesh: &Mesh, directions: &[Vec3], run: &Run) -> Result<Vec<RasterView>, Cancelled> {
    let rasters = Rasters::new(mesh);
    directions
        .par_iter()
        .map(|&d| {
            run.check()?;
            Ok(rasters.view(d))
        })
        .collect()
}

/// The area hidden from both halves for each direction, mm²; [`raster_views`] without the rest.
pub fn undercut_area_by_raster(mesh: &Mesh, directions: &[Vec3], run: &Run) -> Result<Vec<f64>, Cancelled> {
    Ok(raster_views(mesh, directions, run)?.into_iter().map(|v| v.hidden_from_both_mm2).collect())
}

/// The best few directions for the draw, best first: little hidden from both halves, a short way out, a short
/// line, and level (square to `up`) if it costs nothing, since the cut of a level draw stands upright and each half
/// drains alike.
///
/// The search itself knows nothing of `up`, so that another hang finds the same directions: a spiral over the half sphere
/// (Swinbank & Purser 2006), the axes, and the directions that large surfaces face, the best of which are moved about in
/// shrinking steps. What that finds a little askew to an axis or a large surface must be clearly better. Only then are
/// level directions tried besides, and all ranked by how level they are too.
///
/// Each of `meshes` is looked at by itself: what stands in one block is set beside each other only once the draw is known.
pub fn propose_draw(meshes: &[&Mesh], up: Vec3, run: &Run) -> Result<Vec<DrawProposal>, Cancelled> {
    let up = up.normalize_or(Vec3::Z);
    let rasters: Vec<Rasters> = meshes.iter().map(|m| Rasters::new(m)).collect();
    let measured = |directions: &[Vec3]| -> Result<Vec<DrawProposal>, Cancelled> {
        directions
            .par_iter()
            .map(|&d| {
                run.check()?;
                // Seen from behind a raster is not quite the same; all are seen from one side.
                let draw = turned_up(d.normalize_or(Vec3::Z), Vec3::Z);
                let view = rasters.iter().map(|r| r.view(draw)).fold(RasterView::default(), RasterView::beside);
                let score_mm =
                    HIDDEN_MM * view.hidden_from_both_mm2 + view.outline_mm * (1.0 + DRAG_MM * view.height_mm);
                Ok(DrawProposal { draw, view, score_mm })
            })
            .collect()
    };
    let mut square = measured(&square_to_axes_and_faces(meshes))?;
    let mut found = square.clone();
    found.extend(measured(&spiral())?);
    run.progress(0.6);
    let mut step = 0.12f32;
    for round in 0..3 {
        keep_best(&mut found, 3.0 * step);
        let around: Vec<Vec3> = found
            .iter()
            .flat_map(|p| {
                let (u, v) = frame_square_to(p.draw);
                (0..6).map(move |i| {
                    let (s, c) = (std::f32::consts::TAU * i as f32 / 6.0).sin_cos();
                    (p.draw + (u * c + v * s) * step).normalize()
                })
            })
            .collect();
        found.extend(measured(&around)?);
        step *= 0.4;
        run.progress(0.7 + 0.06 * round as f32);
    }
    keep_best(&mut found, NEAR);
    let is_askew = |p: &DrawProposal| {
        let beside = |s: &&DrawProposal| s.draw != p.draw && s.draw.dot(p.draw).abs() > NEAR.cos();
        square.iter().filter(beside).any(|s| s.score_mm <= (1.0 + ASKEW) * p.score_mm)
    };
    found.retain(|p| !is_askew(p));
    square.append(&mut found);
    found = square;
    found.extend(measured(&level(up))?);
    for p in &mut found {
        p.score_mm += TILT * (p.draw.dot(up) as f64).powi(2) * p.view.outline_mm;
        p.draw = turned_up(p.draw, up);
    }
    keep_best(&mut found, NEAR);
    run.progress(1.0);
    Ok(found)
}

/// Of W and −W the one that points up; of level ones the one towards +X, +Y, +Z.
fn turned_up(d: Vec3, up: Vec3) -> Vec3 {
    let key = [d.dot(up), d.x, d.y, d.z];
    match key.into_iter().find(|k| k.abs() > 1e-4) {
        // No −0.0, which reads badly in a plan.
        Some(k) if k < 0.0 => Vec3::ZERO - d,
        _ => d,
    }
}

/// Keeps the best few that differ by more than `apart` radians, best first.
fn keep_best(found: &mut Vec<DrawProposal>, apart: f32) {
    // Scores within rounding are one: exact directions (axes, faces) come first in the list and win.
    found.sort_by(|a, b| a.score_mm.total_cmp(&b.score_mm));
    let mut kept: Vec<DrawProposal> = Vec::new();
    for p in found.iter() {
        if kept.len() == BEST {
            break;
        }
        if kept.iter().all(|k| k.draw.dot(p.draw).abs() < apart.cos()) {
            kept.push(*p);
        }
    }
    *found = kept;
}

/// The axes, and what large surfaces face where that is another direction.
fn square_to_axes_and_faces(meshes: &[&Mesh]) -> Vec<Vec3> {
    let mut directions = vec![Vec3::Y, Vec3::X, Vec3::Z];
    for face in meshes.iter().flat_map(|m| faced(m)) {
        if directions.iter().all(|d| d.dot(face).abs() < SAME.cos()) {
            directions.push(face);
        }
    }
    directions
}

/// Directions spread evenly over the half sphere.
fn spiral() -> Vec<Vec3> {
    let golden = std::f32::consts::PI * (3.0 - 5f32.sqrt());
    let at = |i: usize| {
        let z = (i as f32 + 0.5) / SPIRAL as f32;
        let (s, c) = (golden * i as f32).sin_cos();
        let r = (1.0 - z * z).sqrt();
        Vec3::new(r * c, r * s, z)
    };
    (0..SPIRAL).map(at).collect()
}

/// Directions square to `up`.
fn level(up: Vec3) -> Vec<Vec3> {
    let (u, v) = frame_square_to(up);
    let at = |i: usize| {
        let (s, c) = (std::f32::consts::PI * i as f32 / LEVEL as f32).sin_cos();
        u * c + v * s
    };
    (0..LEVEL).map(at).collect()
}

/// The directions that most area faces, opposite ones taken together.
fn faced(mesh: &Mesh) -> Vec<Vec3> {
    let mut bins: std::collections::HashMap<[i32; 3], (f64, glam::DVec3)> = std::collections::HashMap::new();
    for t in 0..mesh.triangles.len() {
        let double = mesh.double_area_normal(t);
        let length = double.length();
        if length > 0.0 {
            let n = turned_up(double / length, Vec3::Z);
            let key = (n * 50.0).round().as_ivec3().to_array();
            let bin = bins.entry(key).or_default();
            bin.0 += length as f64;
            bin.1 += (n * length).as_dvec3();
        }
    }
    let mut list: Vec<_> = bins.into_iter().collect();
    list.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
    list.into_iter().take(FACES).map(|(_, (_, sum))| sum.normalize_or(glam::DVec3::Z).as_vec3()).collect()
}
