//! The skirt: from each line outwards, square to the frame's axis, until its outer edge is simple and not steep seen
//! along that axis.
//!
//! A line may run along the axis (a step on an upright wall) or fold over itself seen along it. There rings of points are
//! led off the part a little at a time and evened out along the line, as a front that spreads from it; elsewhere the line
//! itself is the edge. Nothing is moved where nothing is wrong.

use super::frame::Frame;
use crate::mesh::Mesh;
use crate::mesh::signed::Pseudonormals;
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use crate::solve::planar::{Point, cross_properly, side};
use crate::solve::run::{Cancelled, Run};
use glam::{DVec2, DVec3};
use std::collections::HashMap;

/// Steps of the lattice in a millimetre.
pub const LATTICE_PER_MM: f64 = 65536.0;
/// A height for each unit across beyond which the edge is steep.
const STEEP: f64 = 2.5;
/// Distance between rings, millimetres.
const STEP_MM: f64 = 0.4;
/// Rings beyond which there is no honest skirt.
const MOST_RINGS: usize = 60;
/// The share of its way that a led point at least keeps off the part, and that which its edges keep between points.
const CLEAR_SHARE: f64 = 0.3;
const BULGE_SHARE: f64 = 0.15;
/// What single precision may lose between two points, millimetres.
const HAIR_MM: f64 = 1e-3;
/// Rounds of pushing edges off the part.
const BULGE_ROUNDS: usize = 6;
/// Length along the line round a fault that is led out with it, millimetres.
const ROUND_MM: f64 = 5.0;

/// The lattice point of a point of the frame.
pub fn lattice(p: DVec3) -> Point {
    [(p.x * LATTICE_PER_MM).round() as i64, (p.y * LATTICE_PER_MM).round() as i64]
}

/// What tells on which side of the part's surface a point lies.
#[derive(Debug)]
pub struct Sides {
    /// The tree of the surface.
    pub tree: Tree,
    topology: Topology,
    normals: Pseudonormals,
}

impl Sides {
    /// Of a closed surface.
    pub fn of(surface: &Mesh) -> Sides {
        Sides { tree: Tree::of(surface), topology: Topology::of(surface), normals: Pseudonormals::of(surface) }
    }
}

/// One loop on its way outwards.
#[derive(Clone, Debug)]
pub struct Front {
    /// Points in the frame.
    pub points: Vec<DVec3>,
    /// Their vertices in the sheet's list.
    pub vertices: Vec<u32>,
    /// Unit directions off the part, across.
    pub out: Vec<DVec2>,
    /// How far each has come, millimetres.
    pub gone_mm: Vec<f64>,
    /// So far round each there is nothing of the part, millimetres; zero where that is not known.
    free_mm: Vec<f64>,
}

impl Front {
    /// The front at a line itself. `out` are the surface's normals across; points without one get the line's own side.
    pub fn new(points: Vec<DVec3>, vertices: Vec<u32>, mut out: Vec<DVec2>) -> Front {
        let n = points.len();
        for i in 0..n {
            if out[i].length() < 0.05 {
                let heading = (points[(i + 1) % n] - points[(i + n - 1) % n]).truncate();
                out[i] = DVec2::new(heading.y, -heading.x).normalize_or(out[i].normalize_or(DVec2::X));
            } else {
                out[i] = out[i].normalize();
            }
        }
        Front { gone_mm: vec![0.0; n], free_mm: vec![0.0; n], points, vertices, out }
    }

    /// Twice the area inside, counter-clockwise positive.
    pub fn double_area(&self) -> f64 {
        let n = self.points.len();
        (0..n).map(|i| self.points[i].truncate().perp_dot(self.points[(i + 1) % n].truncate())).sum()
    }
}

/// What is wrong with the fronts seen along the axis: for each front and point.
pub fn faults(fronts: &[Front]) -> Vec<Vec<bool>> {
    let mut faulty: Vec<Vec<bool>> = fronts.iter().map(|f| vec![false; f.points.len()]).collect();
    let cell = (2.0 * LATTICE_PER_MM) as i64;
    let mut cells: HashMap<(i64, i64), Vec<(u32, u32)>> = HashMap::new();
    let ends = |f: u32, i: u32| {
        let (front, i) = (&fronts[f as usize], i as usize);
        let j = (i + 1) % front.points.len();
        (lattice(front.points[i]), lattice(front.points[j]), front.vertices[i], front.vertices[j])
    };
    for (f, front) in fronts.iter().enumerate() {
        let n = front.points.len();
        for i in 0..n {
            let j = (i + 1) % n;
            let d = front.points[j] - front.points[i];
            let flat = d.truncate();
            if d.z.abs() > STEEP * flat.length() || flat.length() < 8.0 / LATTICE_PER_MM {
                faulty[f][i] = true;
                faulty[f][j] = true;
            }
            let (a, b, ..) = ends(f as u32, i as u32);
            for x in a[0].min(b[0]).div_euclid(cell)..=a[0].max(b[0]).div_euclid(cell) {
                for y in a[1].min(b[1]).div_euclid(cell)..=a[1].max(b[1]).div_euclid(cell) {
                    cells.entry((x, y)).or_default().push((f as u32, i as u32));
                }
            }
        }
    }
    for list in cells.values() {
        for (x, &(f, i)) in list.iter().enumerate() {
            let one = ends(f, i);
            for &(g, j) in &list[x + 1..] {
                if meet(one, ends(g, j)) {
                    for (front, at) in [(f as usize, i as usize), (g as usize, j as usize)] {
                        let n = fronts[front].points.len();
                        faulty[front][at] = true;
                        faulty[front][(at + 1) % n] = true;
                    }
                }
            }
        }
    }
    faulty
}

/// A segment by its ends on the lattice and their vertices.
type Segment = (Point, Point, u32, u32);

/// True where two segments have a point in common that is not a common vertex.
fn meet((a, b, va, vb): Segment, (c, d, vc, vd): Segment) -> bool {
    let along = |hub: Point, p: Point, q: Point| {
        let dot = (p[0] - hub[0]) as i128 * (q[0] - hub[0]) as i128 + (p[1] - hub[1]) as i128 * (q[1] - hub[1]) as i128;
        side(hub, p, q) == 0 && dot > 0
    };
    match (va == vc, va == vd, vb == vc, vb == vd) {
        (false, false, false, false) => touch(a, b, c, d),
        (true, _, _, true) | (_, true, true, _) => true,
        (true, ..) => along(a, b, d),
        (_, true, ..) => along(a, b, c),
        (_, _, true, _) => along(b, a, d),
        (_, _, _, true) => along(b, a, c),
    }
}

/// True where two segments have a point in common.
fn touch(a: Point, b: Point, c: Point, d: Point) -> bool {
    let within = |a: Point, b: Point, p: Point| {
        side(a, b, p) == 0
            && p[0] >= a[0].min(b[0])
            && p[0] <= a[0].max(b[0])
            && p[1] >= a[1].min(b[1])
            && p[1] <= a[1].max(b[1])
    };
    cross_properly(a, b, c, d) || within(a, b, c) || within(a, b, d) || within(c, d, a) || within(c, d, b)
}

/// What came of leading fronts outwards.
#[derive(Debug, Default)]
pub struct Led {
    /// Triangles of the skirt, facing along the axis.
    pub triangles: Vec<[u32; 3]>,
    /// Points that were added, in the frame; their vertices count on from those that were given.
    pub added: Vec<DVec3>,
    /// A place that is still not simple or too steep.
    pub fault: Option<DVec3>,
}

/// Leads `fronts` off the part until they are simple and not steep. `first` is the number of the first new vertex.
///
/// # Errors
/// [`Cancelled`].
pub fn lead_out(
    fronts: &mut [Front],
    frame: &Frame,
    body: &Mesh,
    sides: &Sides,
    first: u32,
    run: &Run,
) -> Result<Led, Cancelled> {
    let mut led = Led::default();
    for ring in 0..=MOST_RINGS {
        run.check()?;
        let faulty = faults(fronts);
        let place = faulty.iter().enumerate().find_map(|(f, l)| l.iter().position(|x| *x).map(|i| fronts[f].points[i]));
        let Some(place) = place else { return Ok(led) };
        if ring == MOST_RINGS {
            led.fault = Some(place);
            return Ok(led);
        }
        for (f, front) in fronts.iter_mut().enumerate() {
            let share = spread(front, &faulty[f]);
            if share.iter().any(|s| *s > 0.0) {
                step(front, &share, frame, body, sides, first, &mut led);
            }
        }
    }
    Ok(led)
}

/// The share of a step that each point takes: whole at faulty points and within half of [`ROUND_MM`] of them along the
/// line, none beyond it.
fn spread(front: &Front, faulty: &[bool]) -> Vec<f64> {
    let n = front.points.len();
    let mut share = vec![0.0f64; n];
    let length = |i: usize| front.points[i].distance(front.points[(i + 1) % n]).max(1e-6);
    for i in (0..n).filter(|&i| faulty[i]) {
        share[i] = 1.0;
        for forwards in [true, false] {
            let (mut at, mut gone) = (i, 0.0);
            for _ in 0..n {
                let next = if forwards { (at + 1) % n } else { (at + n - 1) % n };
                gone += length(if forwards { at } else { next });
                at = next;
                if gone > ROUND_MM || faulty[at] {
                    break;
                }
                share[at] = share[at].max((2.0 * (1.0 - gone / ROUND_MM)).clamp(0.0, 1.0));
            }
        }
    }
    share
}

fn step(front: &mut Front, share: &[f64], frame: &Frame, body: &Mesh, sides: &Sides, first: u32, led: &mut Led) {
    let n = front.points.len();
    let old = front.points.clone();
    let mut new = old.clone();
    for i in 0..n {
        new[i] += (front.out[i] * STEP_MM * share[i]).extend(0.0);
    }
    for _ in 0..10 {
        let last = new.clone();
        let last_out = front.out.clone();
        for i in (0..n).filter(|&i| share[i] > 0.0) {
            let (p, q) = ((i + n - 1) % n, (i + 1) % n);
            new[i] += (0.5 * (last[p] + last[q]) - last[i]) * (0.5 * share[i]);
            // Towards the mean of both sides and, where it is not turned back, of the front's own right.
            let heading = (last[q] - last[p]).truncate().normalize_or_zero();
            let right = DVec2::new(heading.y, -heading.x) * 0.1;
            let own = if right.dot(last_out[i]) > 0.0 { right } else { DVec2::ZERO };
            let mean =
                last_out[i] + (last_out[p] + last_out[q] - 2.0 * last_out[i]) * (0.25 * share[i]) + own * share[i];
            front.out[i] = mean.normalize_or(last_out[i]);
        }
    }
    let (gone_before, free_before) = (front.gone_mm.clone(), front.free_mm.clone());
    for i in (0..n).filter(|&i| share[i] > 0.0) {
        // Evening out must not draw the front back over what is behind it.
        let gained = (new[i] - old[i]).truncate().dot(front.out[i]);
        let least = 0.25 * STEP_MM * share[i];
        if gained < least {
            new[i] += (front.out[i] * (least - gained)).extend(0.0);
        }
        front.gone_mm[i] += STEP_MM * share[i];
        let least = CLEAR_SHARE * front.gone_mm[i];
        let still = front.free_mm[i] - new[i].distance(old[i]);
        (new[i], front.free_mm[i]) =
            if still > least + HAIR_MM { (new[i], still) } else { clear_of(new[i], least, frame, body, sides) };
    }
    // The shorter way across a strip keeps it from folding.
    let straight = |i: usize, new: &[DVec3]| {
        let j = (i + 1) % n;
        old[i].distance_squared(new[j]) < old[j].distance_squared(new[i])
    };
    // On a coarse part an edge of the strip may cut through what bulges between its ends.
    let mut moved = vec![true; n];
    for _ in 0..BULGE_ROUNDS {
        let mut moves_now = vec![false; n];
        for i in 0..n {
            let j = (i + 1) % n;
            if !(moved[i] || moved[j] || moves_now[i] || moves_now[j]) {
                continue;
            }
            let across = if straight(i, &new) { (i, j) } else { (j, i) };
            // The front's new edge, then the edge across the strip, whose first end has stayed.
            for (a, b, new_edge) in [(i, j, true), (across.0, across.1, false)] {
                let moves = [new_edge && share[a] > 0.0, share[b] > 0.0];
                if moves == [false, false] {
                    continue;
                }
                let (from, gone, free) = if new_edge {
                    (new[a], front.gone_mm[a], front.free_mm[a])
                } else {
                    (old[a], gone_before[a], free_before[a])
                };
                let length = from.distance(new[b]);
                for t in [0.25, 0.5, 0.75] {
                    let at = from.lerp(new[b], t);
                    let least = BULGE_SHARE * (gone + (front.gone_mm[b] - gone) * t);
                    if (free - t * length).max(front.free_mm[b] - (1.0 - t) * length) > least + HAIR_MM {
                        continue;
                    }
                    let off = clear_of(at, least, frame, body, sides).0 - at;
                    if off.length_squared() > 0.0 {
                        for end in [(a, moves[0]), (b, moves[1])].into_iter().filter(|m| m.1).map(|m| m.0) {
                            new[end] += off;
                            front.free_mm[end] -= off.length();
                            moves_now[end] = true;
                        }
                        break;
                    }
                }
            }
        }
        if !moves_now.contains(&true) {
            break;
        }
        moved = moves_now;
    }
    let mut vertices = front.vertices.clone();
    for i in (0..n).filter(|&i| share[i] > 0.0) {
        vertices[i] = first + led.added.len() as u32;
        led.added.push(new[i]);
    }
    for i in 0..n {
        let j = (i + 1) % n;
        let (a, b, a2, b2) = (front.vertices[i], front.vertices[j], vertices[i], vertices[j]);
        let straight = straight(i, &new);
        let two = if straight { [[b, a, b2], [b2, a, a2]] } else { [[b, a, a2], [b, a2, b2]] };
        led.triangles.extend(two.into_iter().filter(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]));
    }
    front.points = new;
    front.vertices = vertices;
}

/// `p` pushed off the body to `least` millimetres where it is nearer or inside, and how far round it there is nothing of
/// the body; zero where it was pushed.
fn clear_of(p: DVec3, least: f64, frame: &Frame, body: &Mesh, sides: &Sides) -> (DVec3, f64) {
    let at = frame.work(p);
    let Some(near) = sides.tree.nearest(at) else { return (p, f64::INFINITY) };
    // Over a sharp crease a point lies behind the plane of one of its two faces, and is outside all the same.
    let normal = sides.normals.at(body, &sides.topology, &near);
    let off = at - near.point;
    let distance = f64::from(near.distance);
    let inside = distance > 1e-5 && off.dot(normal) < 0.0;
    if !inside && distance >= least {
        return (p, distance);
    }
    let away = if inside || distance < 1e-4 { normal } else { off.normalize() };
    (frame.local(near.point + away * least as f32), 0.0)
}
