//! The largest ball inside a body: how thick its thickest section is.
//!
//! A section is as thick as the largest ball in it that reaches the place (Hildebrand & Rüegsegger 1997), so the thickest
//! one is the largest ball of all; a tall rim is as thick as its wall, not as its height. The distance to the surface is the
//! least of many smooth ones and has ridges; it is climbed from the middles of many straight ways through the body, first
//! straight away from the nearest place, then the best of them by gradient sampling: the shortest vector in the hull of the
//! directions away from the surface at places close by (Burke, Lewis & Overton 2005). No step is longer than the ball's
//! radius, so none leaves the body.

use super::samples::{Sample, spread};
use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Places of the surface that are looked at, about, and sharpest corners that are; of either the thickest that are climbed from,
/// and those of them that are climbed to the end. A nearest place is dear, and each step along a ridge asks for some forty.
const STARTS: usize = 3000;
const CORNERS: usize = 500;
const CLIMBED_AWAY: usize = 240;
const CLIMBED: usize = 8;
/// A corner is sharp where the normals round it make up for each other by this share; its start lies this far under it,
/// millimetres.
const SHARP: f32 = 0.1;
const UNDER_MM: f32 = 0.01;
/// Steps straight away from the surface, and steps along ridges.
const AWAY_STEPS: usize = 16;
const RIDGE_STEPS: usize = 80;
/// How far from the middle directions are asked for, as a share of the radius: first, and where the climb is over.
const FAR: f32 = 0.2;
const NEAR: f32 = 5e-4;
/// A hull whose shortest vector is no longer than this holds the middle: nothing is to be gained there.
const NO_WAY: f32 = 0.02;
/// Turns of the search for the shortest vector of a hull.
const HULL_TURNS: usize = 60;

/// A ball inside a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ball {
    /// Its middle.
    pub middle: Vec3,
    /// Where it touches the surface.
    pub touches: Vec3,
    /// Its diameter, millimetres.
    pub diameter_mm: f32,
}

/// The largest ball inside the surface of `mesh`; none where no straight way inwards ends at another wall. In an open mesh it
/// keeps inside the box round it.
///
/// # Errors
/// [`Cancelled`].
pub fn largest(mesh: &Mesh, tree: &Tree, run: &Run) -> Result<Option<Ball>, Cancelled> {
    run.check()?;
    let inside = Inside { tree, bounds: tree.bounds() };
    let of_sample = |s: Sample| {
        let out = mesh.unit_normal(s.triangle as usize).try_normalize()?;
        Some((s.position, -out, s.triangle))
    };
    let walls: Vec<(Vec3, Vec3, u32)> = spread(mesh, STARTS).into_iter().filter_map(of_sample).collect();
    // Where walls meet the part is thicker than each of them, and along an edge no way leads up to the corner.
    let under = |(at, out): (Vec3, Vec3)| (at - out * UNDER_MM, -out, u32::MAX);
    let meet: Vec<(Vec3, Vec3, u32)> = corners(mesh).into_iter().map(under).collect();
    let mut best = inside.best_of(&walls);
    run.check()?;
    best.extend(inside.best_of(&meet));
    run.check()?;
    let climbed: Vec<Ball> = best.into_par_iter().map(|b| inside.climb_ridge(b)).collect();
    run.check()?;
    // The first of those that are alike: the order of the starts, not of the threads.
    Ok(climbed.into_iter().reduce(|a, b| if b.diameter_mm > a.diameter_mm { b } else { a }))
}

/// The sharpest corners of a mesh with the mean of the normals round each.
fn corners(mesh: &Mesh) -> Vec<(Vec3, Vec3)> {
    let mut sums = vec![(Vec3::ZERO, 0.0f32); mesh.positions.len()];
    for (t, corners) in mesh.triangles.iter().enumerate() {
        let [a, b, c] = mesh.corners(t);
        let normal = mesh.unit_normal(t);
        // By angles, so that a face counts the same however it is cut up.
        for (v, [p, q, r]) in corners.iter().zip([[a, b, c], [b, c, a], [c, a, b]]) {
            let angle = (q - p).angle_between(r - p);
            if angle.is_finite() && normal.is_finite() {
                sums[*v as usize].0 += normal * angle;
                sums[*v as usize].1 += angle;
            }
        }
    }
    let mut sharp: Vec<(f32, usize)> = sums
        .iter()
        .enumerate()
        .map(|(v, (sum, whole))| (1.0 - sum.length() / whole.max(f32::MIN_POSITIVE), v))
        .filter(|s| s.0 > SHARP)
        .collect();
    sharp.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let with_normal = |(_, v): (f32, usize)| Some((mesh.positions[v], sums[v].0.try_normalize()?));
    sharp.into_iter().take(CORNERS).filter_map(with_normal).collect()
}

/// Where balls may be.
struct Inside<'a> {
    tree: &'a Tree,
    bounds: Bounds,
}

impl Inside<'_> {
    /// The largest balls that lie apart, from half way through the part at `starts`: place, way inwards, triangle there.
    fn best_of(&self, starts: &[(Vec3, Vec3, u32)]) -> Vec<Ball> {
        let middle = |&(from, inwards, own): &(Vec3, Vec3, u32)| {
            let hit = self.tree.first_hit_where(from, inwards, f32::INFINITY, |hit| hit.triangle != own)?;
            if hit.entering || hit.t <= 0.0 {
                return None;
            }
            self.at(from + inwards * (0.5 * hit.t))
        };
        let thickest_first = |balls: &mut Vec<Ball>| balls.sort_by(|a, b| b.diameter_mm.total_cmp(&a.diameter_mm));
        let mut half_way: Vec<Ball> = starts.par_iter().filter_map(middle).collect();
        thickest_first(&mut half_way);
        half_way.truncate(CLIMBED_AWAY);
        let mut balls: Vec<Ball> = half_way.into_par_iter().filter_map(|b| self.climb_away(b)).collect();
        thickest_first(&mut balls);
        let mut best: Vec<Ball> = Vec::new();
        for ball in balls {
            let apart = |b: &Ball| b.middle.distance(ball.middle) > 0.25 * ball.diameter_mm;
            if best.len() < CLIMBED && best.iter().all(apart) {
                best.push(ball);
            }
        }
        best
    }

    /// The ball about a place inside.
    fn at(&self, middle: Vec3) -> Option<Ball> {
        let nearest = self.tree.nearest(middle)?;
        let in_box = (middle - self.bounds.min).min(self.bounds.max - middle).min_element();
        // Rounding leaves a closed surface a little outside its own box.
        if in_box < nearest.distance * (1.0 - 1e-4) {
            return None;
        }
        Some(Ball { middle, touches: nearest.point, diameter_mm: 2.0 * nearest.distance })
    }

    fn climb_away(&self, from: Ball) -> Option<Ball> {
        let mut ball = from;
        let mut share = 0.5;
        for _ in 0..AWAY_STEPS {
            let radius = 0.5 * ball.diameter_mm;
            let Some(away) = (ball.middle - ball.touches).try_normalize() else { break };
            match self.at(ball.middle + away * (share * radius)) {
                Some(next) if next.diameter_mm > ball.diameter_mm => ball = next,
                _ => share *= 0.5,
            }
        }
        (ball.diameter_mm > 0.0).then_some(ball)
    }

    fn climb_ridge(&self, from: Ball) -> Ball {
        let mut ball = from;
        let mut share = FAR;
        for _ in 0..RIDGE_STEPS {
            let radius = 0.5 * ball.diameter_mm;
            let away: Vec<Vec3> = around()
                .filter_map(|d| {
                    let by = ball.middle + d * (share * radius);
                    (by - self.tree.nearest(by)?.point).try_normalize()
                })
                .collect();
            let way = shortest_of_hull(&away);
            let found = (way.length() > NO_WAY).then(|| {
                let way = way.normalize();
                // From half a radius down to a little of what was looked round.
                let steps = (0..12).map(|k| 0.5 * 0.5f32.powi(k)).take_while(|s| *s > 0.02 * share);
                steps
                    .filter_map(|s| self.at(ball.middle + way * (s * radius)))
                    .find(|b| b.diameter_mm > ball.diameter_mm * (1.0 + 1e-6))
            });
            match found.flatten() {
                Some(next) => ball = next,
                None if share <= NEAR => break,
                None => share = (share * 0.4).max(NEAR),
            }
        }
        ball
    }
}

/// The middle itself and the ways to the corners, edges and sides of a cube.
fn around() -> impl Iterator<Item = Vec3> {
    let all = (0..27).map(|k| Vec3::new((k % 3) as f32 - 1.0, (k / 3 % 3) as f32 - 1.0, (k / 9) as f32 - 1.0));
    all.map(|d| d.normalize_or_zero())
}

/// The shortest vector of the hull of `points` (Gilbert 1966).
fn shortest_of_hull(points: &[Vec3]) -> Vec3 {
    let Some(first) = points.first() else { return Vec3::ZERO };
    let mut at = *first;
    for _ in 0..HULL_TURNS {
        let Some(least) = points.iter().min_by(|a, b| a.dot(at).total_cmp(&b.dot(at))) else { break };
        let gain = at.length_squared() - least.dot(at);
        if gain <= 1e-4 * at.length_squared().max(1e-6) {
            break;
        }
        let along = *least - at;
        at += along * (gain / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
    }
    at
}
