//! The sheet: a surface over a flat domain, given by a height at each point, that starts from lines and is as flat as it
//! can be everywhere else.
//!
//! The domain lies to the right of every line; it is triangulated with points that stand closer near the lines, and the
//! heights are harmonic. Over and under the sheet only surface of its own half may lie: that gives each point a floor and
//! a ceiling, which keeps the sheet out of the part. Where a floor is over its ceiling there is no honest sheet.

use super::frame::Frame;
use super::skirt::{Front, lattice};
use crate::mesh::tree::{Hit, Tree};
use crate::plan::Half;
use crate::solve::planar::{Planar, Point};
use crate::solve::relax::{Height, relax};
use crate::solve::run::{Cancelled, Run};
use glam::{DVec2, DVec3};
use rayon::prelude::*;

/// Kind of a kept edge of the domain that belongs to a line.
const BORDER: u8 = 1;
/// Heights lie still below this, millimetres.
const STILL_MM: f64 = 2e-4;
/// The sheet stays this far off a part that it passes over or under, millimetres; near the line this share of its distance
/// from it.
const CLEAR_MM: f64 = 6.0;
const CLEAR_SHARE: f64 = 0.6;
/// Floor and ceiling this close together leave no rubber between them, millimetres.
const LEAST_GAP_MM: f64 = 0.1;
/// Most points of one sheet.
const MOST_POINTS: usize = 120_000;

/// What is to be filled.
pub struct Task<'a> {
    /// The frame whose axis heights are measured on.
    pub frame: Frame,
    /// Lines, simple and not steep.
    pub fronts: &'a [Front],
    /// Lower and upper corner of the domain where it is open to the outside; none where lines enclose it.
    pub rectangle: Option<(DVec2, DVec2)>,
    /// Wanted distance between points at a place that is so far from the nearest line.
    pub spacing: &'a (dyn Fn(DVec2, f64) -> f64 + Sync),
    /// Floor and ceiling at a place.
    pub bounds: &'a (dyn Fn(DVec2) -> (f64, f64) + Sync),
    /// Points that the sheet should pass through, in the frame; left out where that would make it steep.
    pub through: &'a [DVec3],
    /// What is added to the height of a point that is so far from the nearest line.
    pub lift: &'a (dyn Fn(DVec3, f64) -> f64 + Sync),
}

/// A filled domain.
#[derive(Clone, Debug, Default)]
pub struct Filled {
    /// Points beside those of the lines, in the frame; their vertices count on from `first`.
    pub added: Vec<DVec3>,
    /// How far each is from the nearest line seen along the axis, millimetres.
    pub off_line_mm: Vec<f64>,
    /// Triangles, facing along the axis.
    pub triangles: Vec<[u32; 3]>,
    /// Vertices of the rectangle's corners, counter-clockwise.
    pub corners: Option<[u32; 4]>,
    /// Places where the part leaves no room for the sheet.
    pub blocked: Vec<DVec3>,
}

/// Why a domain could not be filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FillError {
    /// Lines cross or enclose nothing at this place.
    Tangled(DVec3),
    /// The run was cancelled.
    Cancelled,
}

impl From<Cancelled> for FillError {
    fn from(_: Cancelled) -> FillError {
        FillError::Cancelled
    }
}

/// A point to put in and how far it is from the nearest line.
type Seed = (DVec2, f64);

/// Fills the domain of `task`. `first` is the number of the first new vertex.
///
/// # Errors
/// [`FillError`].
pub fn fill(task: &Task, first: u32, run: &Run) -> Result<Filled, FillError> {
    let all = || task.fronts.iter().flat_map(|f| f.points.iter());
    let (mut low, mut high) = task.rectangle.unwrap_or((DVec2::INFINITY, DVec2::NEG_INFINITY));
    for p in all() {
        low = low.min(p.truncate() - 1.0);
        high = high.max(p.truncate() + 1.0);
    }
    let whole = |p: DVec2| -> Point { lattice(p.extend(0.0)) };
    let anywhere = all().next().copied().unwrap_or(DVec3::ZERO);
    let mut planar = Planar::new(whole(low), whole(high)).map_err(|_| FillError::Tangled(anywhere))?;

    // Lines first, then the points between.
    let mut at: Vec<DVec3> =
        [low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)].map(|p| p.extend(0.0)).into();
    let mut name: Vec<Option<u32>> = vec![None; 4];
    let mut line_ends: Vec<(u32, u32, DVec3)> = Vec::new();
    for front in task.fronts {
        let mut ring = Vec::with_capacity(front.points.len());
        for (p, vertex) in front.points.iter().zip(&front.vertices) {
            let v = planar.insert(lattice(*p)).map_err(|_| FillError::Tangled(*p))?;
            if v as usize == at.len() {
                at.push(*p);
                name.push(Some(*vertex));
            } else if name[v as usize] != Some(*vertex) {
                return Err(FillError::Tangled(*p));
            }
            ring.push(v);
        }
        for i in 0..ring.len() {
            line_ends.push((ring[i], ring[(i + 1) % ring.len()], front.points[i]));
        }
    }
    for &(a, b, p) in &line_ends {
        planar.keep(a, b, BORDER).map_err(|_| FillError::Tangled(p))?;
    }
    run.check()?;
    let lines: Vec<[DVec2; 2]> =
        line_ends.iter().map(|&(a, b, _)| [at[a as usize].truncate(), at[b as usize].truncate()]).collect();
    let mut seeds = Vec::new();
    let side = (high - low).max_element();
    scatter(task, &lines, (0..lines.len() as u32).collect(), low, side, (low, high), &mut seeds);
    let mut off_line = vec![0.0; at.len()];
    for &(p, d) in seeds.iter().take(MOST_POINTS) {
        let v = planar.insert(whole(p)).map_err(|_| FillError::Tangled(p.extend(0.0)))?;
        if v as usize == at.len() {
            at.push(p.extend(0.0));
            name.push(None);
            off_line.push(d);
        }
    }
    let mut wanted = vec![None; at.len()];
    for p in task.through {
        if p.truncate().cmplt(low).any() || p.truncate().cmpgt(high).any() {
            continue;
        }
        let d = lines.iter().map(|l| distance(p.truncate(), l)).fold(f64::INFINITY, f64::min);
        if d < 0.1 {
            continue;
        }
        let v = planar.insert(lattice(*p)).map_err(|_| FillError::Tangled(*p))?;
        if v as usize == at.len() {
            at.push(*p);
            name.push(None);
            off_line.push(d);
            wanted.push(Some(p.z));
        } else if v >= 4 && name[v as usize].is_none() {
            wanted[v as usize] = Some(p.z);
        }
    }
    run.check()?;

    let inside = domain(&planar, &line_ends, task.rectangle.is_some())?;
    let triangles: Vec<[u32; 3]> =
        planar.triangles().iter().zip(&inside).filter(|(_, inside)| **inside).map(|(t, _)| *t).collect();
    let mut used = vec![false; at.len()];
    for t in &triangles {
        for v in t {
            used[*v as usize] = true;
        }
    }

    let bounds: Vec<(f64, f64)> = (0..at.len())
        .into_par_iter()
        .map(|v| {
            if used[v] && name[v].is_none() {
                (task.bounds)(at[v].truncate())
            } else {
                (f64::NEG_INFINITY, f64::INFINITY)
            }
        })
        .collect();
    let mut blocked = Vec::new();
    let mut heights: Vec<Height> = (0..at.len())
        .map(|v| {
            if name[v].is_some() {
                return Height::Held(at[v].z);
            }
            let (floor, ceiling) = bounds[v];
            if floor > ceiling - LEAST_GAP_MM {
                blocked.push(at[v].truncate().extend(0.5 * (floor + ceiling)));
            }
            let clear = CLEAR_MM.min(CLEAR_SHARE * off_line[v]);
            Height::Free { floor: floor + clear, ceiling: ceiling - clear }
        })
        .collect();
    let mean = all().map(|p| p.z).fold(0.0, |a, b| a + b) / all().count().max(1) as f64;
    let start: Vec<f64> = (0..at.len()).map(|v| if name[v].is_some() { at[v].z } else { mean }).collect();
    let flat: Vec<DVec2> = at.iter().map(|p| p.truncate()).collect();
    let mut z = relax(&flat, &triangles, &heights, &start, STILL_MM, run)?;
    let mut held = false;
    for v in 0..at.len() {
        let Some(want) = wanted[v].filter(|_| used[v] && name[v].is_none()) else { continue };
        let (floor, ceiling) = bounds[v];
        let fits = want > floor + 0.2 && want < ceiling - 0.2;
        if fits && (want - z[v]).abs() <= 1.2 * off_line[v] + 0.3 {
            heights[v] = Height::Held(want);
            held = true;
        }
    }
    if held {
        z = relax(&flat, &triangles, &heights, &z, STILL_MM, run)?;
    }
    for v in 0..at.len() {
        if name[v].is_some() {
            continue;
        }
        at[v].z = match heights[v] {
            Height::Free { floor, ceiling } if used[v] && floor <= ceiling => {
                (z[v] + (task.lift)(at[v].truncate().extend(z[v]), off_line[v])).clamp(floor, ceiling)
            }
            _ => z[v],
        };
    }

    let mut filled = Filled { blocked, ..Filled::default() };
    let mut number: Vec<u32> = vec![u32::MAX; at.len()];
    for v in 0..at.len() {
        number[v] = match name[v] {
            Some(vertex) => vertex,
            None if used[v] => {
                filled.added.push(at[v]);
                filled.off_line_mm.push(if v < 4 { f64::INFINITY } else { off_line[v] });
                first + filled.added.len() as u32 - 1
            }
            None => u32::MAX,
        };
    }
    filled.triangles = triangles.iter().map(|t| t.map(|v| number[v as usize])).collect();
    filled.corners = task.rectangle.map(|_| [0, 1, 2, 3].map(|v| number[v]));
    Ok(filled)
}

/// Distance from a point to a segment.
fn distance(p: DVec2, [a, b]: &[DVec2; 2]) -> f64 {
    let ab = b - a;
    let t = ((p - a).dot(ab) / ab.length_squared().max(1e-18)).clamp(0.0, 1.0);
    p.distance(*a + ab * t)
}

/// Points in the squares of a quadtree, each of about the wanted size. `near` are the lines that can be nearest here.
fn scatter(
    task: &Task,
    lines: &[[DVec2; 2]],
    near: Vec<u32>,
    low: DVec2,
    side: f64,
    rectangle: (DVec2, DVec2),
    seeds: &mut Vec<Seed>,
) {
    let middle = low + 0.5 * side;
    if low.cmpgt(rectangle.1).any() || seeds.len() >= MOST_POINTS {
        return;
    }
    let far: Vec<f64> = near.iter().map(|&l| distance(middle, &lines[l as usize])).collect();
    let d = far.iter().copied().fold(f64::INFINITY, f64::min);
    if side > (task.spacing)(middle, (d - 0.5 * side).max(0.0)) {
        let kept: Vec<u32> = near.iter().zip(&far).filter(|(_, f)| **f <= d + 1.5 * side).map(|(l, _)| *l).collect();
        let half = 0.5 * side;
        for (x, y) in [(0.0, 0.0), (half, 0.0), (0.0, half), (half, half)] {
            scatter(task, lines, kept.clone(), low + DVec2::new(x, y), half, rectangle, seeds);
        }
    } else if d > 0.4 * side && middle.cmplt(rectangle.1 - 1e-3).all() && middle.cmpgt(rectangle.0 + 1e-3).all() {
        seeds.push((middle, d));
    }
}

/// Which triangles lie to the right of the lines.
fn domain(planar: &Planar, line_ends: &[(u32, u32, DVec3)], open: bool) -> Result<Vec<bool>, FillError> {
    let mut inside = vec![false; planar.triangles().len()];
    let mut stack = Vec::new();
    let mut left = Vec::with_capacity(line_ends.len());
    for &(a, b, p) in line_ends {
        let (Some((t, _)), Some((r, _))) = (planar.edge(a, b), planar.edge(b, a)) else {
            return Err(FillError::Tangled(p));
        };
        left.push((t, p));
        stack.push(r);
    }
    if open {
        stack.extend(planar.triangles().iter().position(|t| t.contains(&0)));
    }
    while let Some(t) = stack.pop() {
        if std::mem::replace(&mut inside[t], true) {
            continue;
        }
        for k in 0..3 {
            let over = planar.across()[t][k];
            if over != u32::MAX && planar.kept()[t][k] & BORDER == 0 {
                stack.push(over as usize);
            } else if over == u32::MAX && !open {
                let p = line_ends.first().map_or(DVec3::ZERO, |l| l.2);
                return Err(FillError::Tangled(p));
            }
        }
    }
    match left.iter().find(|(t, _)| inside[*t]) {
        Some((_, p)) => Err(FillError::Tangled(*p)),
        None => Ok(inside),
    }
}

/// Floor and ceiling of the sheet at a place of `frame`: the highest surface of half 2 and the lowest of half 1 on the
/// line along the axis through it.
pub fn floor_and_ceiling(frame: &Frame, tree: &Tree, halves: &[Half], reach: f64, at: DVec2) -> (f64, f64) {
    let mut hits: Vec<Hit> = Vec::new();
    tree.all_hits(frame.work(at.extend(-reach)), frame.w.as_vec3(), (2.0 * reach) as f32, &mut hits);
    let (mut floor, mut ceiling) = (f64::NEG_INFINITY, f64::INFINITY);
    for hit in &hits {
        let height = f64::from(hit.t) - reach;
        match halves[hit.triangle as usize] {
            Half::One => ceiling = ceiling.min(height),
            Half::Two => floor = floor.max(height),
        }
    }
    (floor, ceiling)
}
