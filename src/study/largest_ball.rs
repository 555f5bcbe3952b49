//! The largest ball inside a body: how thick its thickest section is.
//!
//! A section is as thick as the largest ball in it that reaches the place (Hildebrand & Rüegsegger 1997), so the thickest
//! one is the largest ball of all; a tall rim is as thick as its wall, not as its height. The distance to the surface is the
//! least of many smooth ones and has ridges; it is climbed from the middles of many straight ways through the body, first
//! straight away from the nearest place, then the best of them by gradient sampling: the shortest vector in the hull of the
//! directions away from the surface at places close by (Burke, Lewis & Overton 2005). No step is longer than the ball's
//! radius, so none leaves the body.

use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Most places that are climbed from, and most of those that are climbed to the end.
const STARTS: usize = 6000;
const CLIMBED: usize = 48;
/// Steps straight away from the surface, and steps along ridges.
const AWAY_STEPS: usize = 16;
const RIDGE_STEPS: usize = 200;
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

/// The largest ball inside the surface of `mesh`, sought from `starts`, places of triangles; none where no straight way
/// inwards from any of them ends at another wall. In an open mesh it keeps inside the box round it.
///
/// # Errors
/// [`Cancelled`].
pub fn largest(mesh: &Mesh, tree: &Tree, starts: &[(Vec3, u32)], run: &Run) -> Result<Option<Ball>, Cancelled> {
    run.check()?;
    let inside = Inside { tree, bounds: tree.bounds() };
    let step = starts.len().div_ceil(STARTS).max(1);
    let some: Vec<(Vec3, u32)> = starts.iter().step_by(step).copied().collect();
    let mut balls: Vec<Ball> = some
        .par_iter()
        .filter_map(|&(from, triangle)| {
            let inwards = -mesh.unit_normal(triangle as usize).try_normalize()?;
            let hit = tree.first_hit_where(from, inwards, f32::INFINITY, |hit| hit.triangle != triangle)?;
            if hit.entering || hit.t <= 0.0 {
                return None;
            }
            inside.climb_away(inside.at(from + inwards * (0.5 * hit.t))?)
        })
        .collect();
    run.check()?;
    balls.sort_by(|a, b| b.diameter_mm.total_cmp(&a.diameter_mm));
    let mut best: Vec<Ball> = Vec::new();
    for ball in balls {
        let apart = |b: &Ball| b.middle.distance(ball.middle) > 0.25 * ball.diameter_mm;
        if best.len() < CLIMBED && best.iter().all(apart) {
            best.push(ball);
        }
    }
    let climbed: Vec<Ball> = best.into_par_iter().map(|b| inside.climb_ridge(b)).collect();
    run.check()?;
    // The first of those that are alike: the order of the starts, not of the threads.
    Ok(climbed.into_iter().reduce(|a, b| if b.diameter_mm > a.diameter_mm { b } else { a }))
}

/// Where balls may be.
struct Inside<'a> {
    tree: &'a Tree,
    bounds: Bounds,
}

impl Inside<'_> {
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
