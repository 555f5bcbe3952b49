//! The cut surface: skirts, one sheet outside all lines, and a patch in every other loop.

use super::block_box::{BlockBox, Wall};
use super::border::Border;
use super::frame::Frame;
use super::keys::{Outline, SMOOTH_MM, Wave};
use super::sheet::{FillError, Task, fill, floor_and_ceiling};
use super::skirt::{Front, Sides, lead_out};
use super::{CutError, NoSheet};
use crate::mesh::Mesh;
use crate::plan::Half;
use crate::solve::run::Run;
use crate::study::job::channels::Rod;
use glam::{DVec2, DVec3, Vec3};

/// How far the sheet goes beyond the block before it is clipped, millimetres.
const BEYOND_MM: f64 = 12.0;
/// Widest distance between points of the sheet, and that where keys are cut, millimetres.
const SPACING_MM: [f64; 2] = [4.0, 1.8];
/// A loop whose area seen along the draw is less than this share of its own area is closed in its own plane.
const SEEN_SHARE: f64 = 0.5;
/// Keys keep this far off a channel's wall, millimetres.
const OFF_CHANNEL_MM: f64 = 3.0;

/// What a triangle of the cut is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Led out from a line.
    Skirt,
    /// The sheet outside the part.
    Sheet,
    /// A patch in the loop with this number.
    Patch(u32),
}

/// The cut surface. It and the body's surface share their vertices along the lines.
#[derive(Clone, Debug)]
pub struct CutSurface {
    /// The body's surface that it starts from.
    pub border: Border,
    /// The frame along the draw.
    pub frame: Frame,
    /// Vertices of the body, then those of the cut, in `work`.
    pub positions: Vec<Vec3>,
    /// Triangles, facing half 1.
    pub triangles: Vec<[u32; 3]>,
    /// What each triangle is.
    pub pieces: Vec<Piece>,
    /// Distance of each vertex from the nearest line seen along the draw, millimetres; 0 on a line and in skirts.
    pub off_line_mm: Vec<f64>,
    /// Corners of the sheet, counter-clockwise seen along the draw.
    pub corners: [u32; 4],
    /// The wave that keys the halves.
    pub wave: Wave,
    /// Patches: the loop of each and its area, mm².
    pub patches: Vec<(u32, f64)>,
}

impl CutSurface {
    /// The cut of `border` along `draw` in `block`. The sheet goes `through` points where it can; keys keep off `rods`.
    ///
    /// # Errors
    /// [`CutError`].
    pub fn new(
        border: Border,
        draw: Vec3,
        block: &BlockBox,
        through: &[Vec3],
        rods: &[Rod],
        run: &Run,
    ) -> Result<CutSurface, CutError> {
        if let Some(at) = border.open {
            return Err(CutError::NoSheet(NoSheet {
                place: at,
                why: "the line runs out into an open edge of the mesh",
                sure: true,
            }));
        }
        if border.loops.is_empty() {
            return Err(CutError::NoLine);
        }
        let middle = border.mesh.bounds().centre().as_dvec3();
        let along_box = block.work_from_box().transform_vector3(DVec3::X);
        let frame = Frame::along(draw.as_dvec3(), along_box, middle);
        let sides = Sides::of(&border.mesh);
        let mut made = CutSurface {
            frame,
            positions: border.mesh.positions.clone(),
            off_line_mm: vec![0.0; border.mesh.positions.len()],
            triangles: Vec::new(),
            pieces: Vec::new(),
            corners: [0; 4],
            wave: Wave::default(),
            patches: Vec::new(),
            border,
        };
        let (outer, own) = made.sort_loops();
        if outer.is_empty() {
            return Err(CutError::NoLine);
        }
        for &l in &own {
            made.patch(l, &sides, run)?;
        }
        made.outside(&outer, &sides, block, through, rods, run)?;
        Ok(made)
    }

    fn front(&self, l: usize, frame: &Frame) -> Front {
        let line = &self.border.loops[l];
        let points = line.vertices.iter().map(|v| frame.local(self.positions[*v as usize])).collect();
        let out = line.normals.iter().map(|n| frame.across(*n)).collect();
        Front::new(points, line.vertices.clone(), out)
    }

    /// Loops that bound the sheet outside, and those that a patch of their own closes.
    fn sort_loops(&self) -> (Vec<usize>, Vec<usize>) {
        let fronts: Vec<Front> = (0..self.border.loops.len()).map(|l| self.front(l, &self.frame)).collect();
        let area = |l: usize| 0.5 * fronts[l].double_area();
        let own_area = |l: usize| self.area_vector(l).length();
        // The line that encloses most of each body is outside whatever else is.
        let bodies = self.border.loops.iter().map(|l| l.body).max().unwrap_or(0) as usize + 1;
        let mut main: Vec<Option<usize>> = vec![None; bodies];
        for l in 0..fronts.len() {
            let best = &mut main[self.border.loops[l].body as usize];
            if best.is_none_or(|b| area(l) > area(b)) {
                *best = Some(l);
            }
        }
        (0..fronts.len())
            .partition(|&l| main[self.border.loops[l].body as usize] == Some(l) || area(l) > SEEN_SHARE * own_area(l))
    }

    /// Half the sum of the cross products along a loop: its area times the direction that it turns round.
    fn area_vector(&self, l: usize) -> DVec3 {
        let vertices = &self.border.loops[l].vertices;
        let origin = self.positions[vertices[0] as usize].as_dvec3();
        let at = |i: usize| self.positions[vertices[i % vertices.len()] as usize].as_dvec3() - origin;
        (0..vertices.len()).map(|i| at(i).cross(at(i + 1))).fold(DVec3::ZERO, |a, b| a + b) * 0.5
    }

    /// Closes loop `l` by a patch: seen along the draw where it is open to it, else in its own plane.
    fn patch(&mut self, l: usize, sides: &Sides, run: &Run) -> Result<(), CutError> {
        let area = self.area_vector(l);
        // A patch lies to the right of its loop: seen along this axis the loop turns clockwise.
        let own = Frame::along(-area, self.frame.u, self.frame.origin);
        let along_draw = -area.dot(self.frame.w) > SEEN_SHARE * area.length();
        let frames = if along_draw { vec![self.frame, own] } else { vec![own] };
        let mut place = None;
        for frame in frames {
            match self.fill_patch(l, &frame, sides, run) {
                Ok(()) => return Ok(()),
                Err(CutError::NoSheet(no)) => place = place.or(Some(no)),
                Err(other) => return Err(other),
            }
        }
        Err(CutError::NoSheet(place.unwrap_or(NoSheet { place: Vec3::ZERO, why: TANGLED, sure: false })))
    }

    fn fill_patch(&mut self, l: usize, frame: &Frame, sides: &Sides, run: &Run) -> Result<(), CutError> {
        let mut fronts = [self.front(l, frame)];
        let first = self.positions.len() as u32;
        let led = lead_out(&mut fronts, frame, &self.border.mesh, sides, first, run)?;
        if let Some(at) = led.fault {
            return Err(no_sheet(frame.work(at), TANGLED));
        }
        let count = fronts[0].points.len() as f64;
        let edge = (0..fronts[0].points.len())
            .map(|i| fronts[0].points[i].distance(fronts[0].points[(i + 1) % fronts[0].points.len()]))
            .fold(0.0, |a, b| a + b)
            / count;
        let task = Task {
            frame: *frame,
            fronts: &fronts,
            rectangle: None,
            spacing: &|_, d| (edge + 0.35 * d).clamp(0.3, SPACING_MM[0]),
            bounds: &|_| (f64::NEG_INFINITY, f64::INFINITY),
            through: &[],
            lift: &|_, _| 0.0,
        };
        let filled = fill(&task, first + led.added.len() as u32, run).map_err(|e| told(e, frame))?;
        let before = self.triangles.len();
        self.take(frame, led.added, None, led.triangles, Piece::Patch(l as u32));
        self.take(frame, filled.added, Some(filled.off_line_mm), filled.triangles, Piece::Patch(l as u32));
        let area = self.triangles[before..].iter().map(|t| self.area_of(t)).fold(0.0, |a, b| a + b);
        self.patches.push((l as u32, area));
        Ok(())
    }

    fn area_of(&self, t: &[u32; 3]) -> f64 {
        let [a, b, c] = t.map(|v| self.positions[v as usize].as_dvec3());
        0.5 * (b - a).cross(c - a).length()
    }

    fn take(
        &mut self,
        frame: &Frame,
        added: Vec<DVec3>,
        off: Option<Vec<f64>>,
        triangles: Vec<[u32; 3]>,
        piece: Piece,
    ) {
        let off = off.unwrap_or_else(|| vec![0.0; added.len()]);
        self.positions.extend(added.iter().map(|p| frame.work(*p)));
        self.off_line_mm.extend(off);
        self.pieces.extend(std::iter::repeat_n(piece, triangles.len()));
        self.triangles.extend(triangles);
    }

    fn outside(
        &mut self,
        outer: &[usize],
        sides: &Sides,
        block: &BlockBox,
        through: &[Vec3],
        rods: &[Rod],
        run: &Run,
    ) -> Result<(), CutError> {
        let frame = self.frame;
        let mut fronts: Vec<Front> = outer.iter().map(|&l| self.front(l, &frame)).collect();
        let first = self.positions.len() as u32;
        let led = lead_out(&mut fronts, &frame, &self.border.mesh, sides, first, run)?;
        if let Some(at) = led.fault {
            return Err(no_sheet(frame.work(at), TANGLED));
        }
        run.progress(0.3);
        let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        for corner in block.corners() {
            let p = frame.local(corner.as_vec3()).truncate();
            low = low.min(p);
            high = high.max(p);
        }
        let outline = Outline::round(fronts.iter().flat_map(|f| f.points.iter().map(|p| p.truncate())));
        let level = {
            let heights = fronts.iter().flat_map(|f| f.points.iter().map(|p| p.z));
            let n = fronts.iter().map(|f| f.points.len()).sum::<usize>().max(1);
            heights.fold(0.0, |a, b| a + b) / n as f64
        };
        let wave = Wave::round(outline, |p, d| {
            let at = frame.origin + frame.u * p.x + frame.v * p.y + frame.w * level;
            let (t, wall) = block.way_out(at, frame.u * d.x + frame.v * d.y);
            (t, wall.index())
        });
        let lengths = fronts.iter().flat_map(|f| {
            let n = f.points.len();
            (0..n).map(move |i| f.points[i].truncate().distance(f.points[(i + 1) % n].truncate()))
        });
        let mut lengths: Vec<f64> = lengths.collect();
        lengths.sort_by(f64::total_cmp);
        let edge = lengths[lengths.len() / 2].clamp(0.3, 2.0);
        let channels: Vec<(DVec3, DVec3, f64)> =
            rods.iter().map(|r| (frame.local(r.from), frame.local(r.to), f64::from(r.radius_mm))).collect();
        let keyed = |p: DVec2| {
            let at = (frame.origin + frame.u * p.x + frame.v * p.y + frame.w * level).as_vec3();
            block.depth(at.as_dvec3()) > -4.0
        };
        let reach = f64::from(self.border.mesh.bounds().diagonal()) + 10.0;
        let halves: &[Half] = &self.border.halves;
        let through: Vec<DVec3> = through.iter().map(|p| frame.local(*p)).collect();
        let task = Task {
            frame,
            fronts: &fronts,
            rectangle: Some((low - BEYOND_MM, high + BEYOND_MM)),
            spacing: &|p, d| {
                let most = if d > SMOOTH_MM - 2.0 && keyed(p) { SPACING_MM[1] } else { SPACING_MM[0] };
                (edge + 0.35 * d).min(most)
            },
            bounds: &|p| floor_and_ceiling(&frame, &sides.tree, halves, reach, p),
            through: &through,
            lift: &|p, d| {
                let off = channels.iter().map(|c| off_rod(p, c)).fold(f64::INFINITY, f64::min);
                let share = ((off / OFF_CHANNEL_MM) - 1.0).clamp(0.0, 1.0) * ((d - SMOOTH_MM) / 2.0).clamp(0.0, 1.0);
                if share > 0.0 { share * wave.height(p.truncate()) } else { 0.0 }
            },
        };
        let filled = fill(&task, first + led.added.len() as u32, run).map_err(|e| told(e, &frame))?;
        run.progress(0.6);
        if let Some(p) = filled.blocked.first() {
            let place = frame.work(if p.z.is_finite() { *p } else { p.truncate().extend(level) });
            return Err(no_sheet(place, "the part leaves no room for the cut between its two halves here"));
        }
        let Some(corners) = filled.corners else { return Err(CutError::NoLine) };
        self.corners = corners;
        self.take(&frame, led.added, None, led.triangles, Piece::Skirt);
        self.take(&frame, filled.added, Some(filled.off_line_mm), filled.triangles, Piece::Sheet);
        self.wave = wave;
        Ok(())
    }

    /// The cut as a mesh of its own, facing half 1, with the vertex of [`CutSurface::positions`] at each of its own.
    pub fn mesh(&self) -> (Mesh, Vec<u32>) {
        let mut number = vec![u32::MAX; self.positions.len()];
        let mut named = Vec::new();
        let mut mesh = Mesh::default();
        for t in &self.triangles {
            mesh.triangles.push(t.map(|v| {
                let n = &mut number[v as usize];
                if *n == u32::MAX {
                    *n = named.len() as u32;
                    named.push(v);
                }
                *n
            }));
        }
        mesh.positions = named.iter().map(|v| self.positions[*v as usize]).collect();
        (mesh, named)
    }

    /// The wall that [`super::keys::Key::wall`] names.
    pub fn wall(index: usize) -> Wall {
        Wall::ALL[index.min(5)]
    }
}

const TANGLED: &str = "the line folds over itself seen along the draw and cannot be led out of the part";

fn no_sheet(place: Vec3, why: &'static str) -> CutError {
    CutError::NoSheet(NoSheet { place, why, sure: why != TANGLED })
}

fn told(e: FillError, frame: &Frame) -> CutError {
    match e {
        FillError::Cancelled => CutError::Cancelled(crate::solve::run::Cancelled),
        FillError::Tangled(p) => no_sheet(frame.work(p), TANGLED),
    }
}

/// Distance from the wall of a rod, negative inside.
fn off_rod(p: DVec3, (a, b, radius): &(DVec3, DVec3, f64)) -> f64 {
    let ab = b - a;
    let t = ((p - a).dot(ab) / ab.length_squared().max(1e-12)).clamp(0.0, 1.0);
    p.distance(*a + ab * t) - radius
}
