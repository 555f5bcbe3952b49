//! The line while a hand drags it: the cheapest way along the edges of the surface from where the line is held to the
//! cursor and on to where it is held again, at once and only roughly (Mortensen & Barrett 1995, "Intelligent scissors").
//! The whole parting is computed afresh once the hand rests.

use super::crease::CREASE_DEG;
use super::energy::{ON_CREASE, edge_cost_mm};
use super::surface::{NONE, Surface};
use crate::mesh::Mesh;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::Arc;

/// How far the line is taken out of its place on both sides of the hand, in distances that the hand has moved.
const REACH: f32 = 2.5;
/// At least so many lengths of an edge of the surface.
const LEAST_EDGES: f32 = 6.0;
/// At most so much of the whole line on each side.
const MOST_SHARE: f32 = 0.35;

/// The edges of a surface as ways for the line, each with what it costs.
#[derive(Debug)]
pub struct Ways {
    mesh: Arc<Mesh>,
    /// Ways out of each vertex: `first[v]..first[v + 1]`.
    first: Vec<u32>,
    to: Vec<u32>,
    /// Cost with the usual love of creases, millimetres of plain line.
    cost_mm: Vec<f32>,
    length_mm: Vec<f32>,
    /// Convex creases, by their two vertices.
    creases: Vec<[u32; 2]>,
    edge_mm: f32,
    search: Search,
}

/// What one search after another writes into: a hash map of what was reached took most of the time of a long way.
#[derive(Debug, Default)]
struct Search {
    /// The search that last reached each vertex.
    reached_in: Vec<u32>,
    now: u32,
    cost_mm: Vec<f32>,
    before: Vec<u32>,
}

impl Search {
    fn begin(&mut self, vertices: usize) {
        if self.now == u32::MAX || self.reached_in.len() != vertices {
            *self = Search {
                reached_in: vec![0; vertices],
                now: 0,
                cost_mm: vec![0.0; vertices],
                before: vec![0; vertices],
            };
        }
        self.now += 1;
    }

    /// Writes down that `at` is reached over `before`, unless it was reached as cheaply before.
    fn better(&mut self, at: u32, before: u32, cost: f32) -> bool {
        let v = at as usize;
        if self.reached_in[v] == self.now && self.cost_mm[v] <= cost {
            return false;
        }
        (self.reached_in[v], self.cost_mm[v], self.before[v]) = (self.now, cost, before);
        true
    }
}

/// How the line goes while it is dragged.
#[derive(Clone, Debug, PartialEq)]
pub struct Dragged {
    /// The whole line, closed where it was closed.
    pub points: Vec<Vec3>,
    /// The stretch that the hand has moved, held end to held end.
    pub moved: Vec<Vec3>,
}

impl Ways {
    /// The ways of a surface for a draw.
    pub fn of(surface: &Surface, draw: Vec3) -> Ways {
        let mesh = &surface.mesh;
        let edges: Vec<(u32, u32, f32, f32, bool)> = (0..surface.len())
            .into_par_iter()
            .flat_map_iter(|f| {
                (0..3).filter_map(move |k| {
                    let g = surface.across[f][k];
                    if g != NONE && (g as usize) < f {
                        return None;
                    }
                    let t = mesh.triangles[f];
                    let [a, b] = surface.ends(f, k);
                    if g == NONE {
                        return Some((t[k], t[(k + 1) % 3], a.distance(b), a.distance(b), false));
                    }
                    let g = g as usize;
                    let cost = edge_cost_mm(surface, &[], f, k, g, draw, &[]) as f32;
                    let (n, m) = (surface.normal[f], surface.normal[g]);
                    let crease = n.dot(m) < CREASE_DEG.to_radians().cos() && n.cross(m).dot(b - a) > 0.0;
                    Some((t[k], t[(k + 1) % 3], cost, a.distance(b), crease))
                })
            })
            .collect();
        let mut first = vec![0u32; mesh.positions.len() + 1];
        for e in &edges {
            first[e.0 as usize + 1] += 1;
            first[e.1 as usize + 1] += 1;
        }
        for v in 1..first.len() {
            first[v] += first[v - 1];
        }
        let mut next = first.clone();
        let count = 2 * edges.len();
        let (mut to, mut cost_mm, mut length_mm) = (vec![0u32; count], vec![0f32; count], vec![0f32; count]);
        for &(a, b, cost, length, _) in &edges {
            for (from, into) in [(a, b), (b, a)] {
                let slot = &mut next[from as usize];
                (to[*slot as usize], cost_mm[*slot as usize], length_mm[*slot as usize]) = (into, cost, length);
                *slot += 1;
            }
        }
        let creases = edges.iter().filter(|e| e.4).map(|e| [e.0, e.1]).collect();
        Ways {
            mesh: mesh.clone(),
            first,
            to,
            cost_mm,
            length_mm,
            creases,
            edge_mm: surface.edge_mm,
            search: Search::default(),
        }
    }

    /// The vertex nearest to a point.
    pub fn vertex_near(&self, point: Vec3) -> Option<u32> {
        let away = |v: usize| self.mesh.positions[v].distance_squared(point);
        let used = |v: usize| self.first[v] < self.first[v + 1];
        // One after the other: the threads of the pool may be deep in the parting.
        (0..self.mesh.positions.len())
            .filter(|&v| used(v))
            .min_by(|&a, &b| away(a).total_cmp(&away(b)).then(a.cmp(&b)))
            .map(|v| v as u32)
    }

    /// The nearest point of a convex crease within some distance.
    pub fn on_crease_near(&self, point: Vec3, within_mm: f32) -> Option<Vec3> {
        let on = |e: &[u32; 2]| {
            let [a, b] = e.map(|v| self.mesh.positions[v as usize]);
            let ab = b - a;
            let t = ((point - a).dot(ab) / ab.length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
            a + ab * t
        };
        self.creases
            .iter()
            .map(|e| (on(e).distance(point), on(e)))
            .filter(|c| c.0 <= within_mm)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|c| c.1)
    }

    /// The cheapest way between two vertices, both among its vertices; none where there is no way. `free` takes the
    /// shortest one instead, whatever it crosses.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn path(&mut self, from: u32, to: u32, free: bool, run: &Run) -> Result<Option<Vec<u32>>, Cancelled> {
        let goal = self.mesh.positions[to as usize];
        let (costs, least) = if free { (&self.length_mm, 1.0) } else { (&self.cost_mm, ON_CREASE as f32) };
        // Never more than what is left, but for rounding.
        let left = |v: u32| self.mesh.positions[v as usize].distance(goal) * least * 0.999;
        let search = &mut self.search;
        search.begin(self.mesh.positions.len());
        let mut open = BinaryHeap::from([Step { rank: left(from), cost: 0.0, at: from }]);
        search.better(from, from, 0.0);
        let mut taken = 0u32;
        while let Some(Step { cost, at, .. }) = open.pop() {
            if at == to {
                let mut way = vec![to];
                while way[way.len() - 1] != from {
                    way.push(search.before[way[way.len() - 1] as usize]);
                }
                way.reverse();
                return Ok(Some(way));
            }
            if cost > search.cost_mm[at as usize] {
                continue;
            }
            taken += 1;
            if taken.is_multiple_of(1024) {
                run.check()?;
            }
            for i in self.first[at as usize]..self.first[at as usize + 1] {
                let (next, cost) = (self.to[i as usize], cost + costs[i as usize]);
                if search.better(next, at, cost) {
                    open.push(Step { rank: cost + left(next), cost, at: next });
                }
            }
        }
        Ok(None)
    }

    /// What a way costs, millimetres of plain line; none where it is no way.
    pub fn cost_of(&self, way: &[u32], free: bool) -> Option<f32> {
        let costs = if free { &self.length_mm } else { &self.cost_mm };
        way.windows(2)
            .map(|e| {
                let mut out = self.first[e[0] as usize]..self.first[e[0] as usize + 1];
                out.find(|&i| self.to[i as usize] == e[1]).map(|i| costs[i as usize])
            })
            .sum()
    }

    /// The line through `points` (closed or not) with the place `grabbed` (a number of a point) taken to `hand`. It stays
    /// where it is at the points whose numbers are `held` (in any order), and far from the hand. None where no way leads
    /// to the hand.
    ///
    /// # Errors
    /// [`Cancelled`].
    #[allow(clippy::too_many_arguments)]
    pub fn dragged(
        &mut self,
        points: &[Vec3],
        closed: bool,
        held: &[usize],
        grabbed: usize,
        hand: Vec3,
        free: bool,
        run: &Run,
    ) -> Result<Option<Dragged>, Cancelled> {
        let n = points.len();
        if n < 3 || grabbed >= n {
            return Ok(None);
        }
        let whole: f32 = (1..n).map(|i| points[i].distance(points[i - 1])).sum();
        let moved_mm = points[grabbed].distance(hand);
        let reach = (REACH * moved_mm).max(LEAST_EDGES * self.edge_mm).min(MOST_SHARE * whole);
        let walk = |forth: bool| {
            let (mut at, mut gone) = (grabbed, 0.0);
            while gone < reach {
                let next = match (forth, closed) {
                    (true, true) => (at + 1) % n,
                    (false, true) => (at + n - 1) % n,
                    (true, false) if at + 1 < n => at + 1,
                    (false, false) if at > 0 => at - 1,
                    _ => break,
                };
                gone += points[next].distance(points[at]);
                at = next;
                if held.contains(&at) {
                    break;
                }
            }
            at
        };
        let (before, after) = (walk(false), walk(true));
        let ends = [before, after].map(|i| self.vertex_near(points[i]));
        let (Some(from), Some(through), Some(to)) = (ends[0], self.vertex_near(hand), ends[1]) else { return Ok(None) };
        let Some(there) = self.path(from, through, free, run)? else { return Ok(None) };
        let Some(back) = self.path(through, to, free, run)? else { return Ok(None) };
        let at = |v: &u32| self.mesh.positions[*v as usize];
        let mut moved = vec![points[before]];
        moved.extend(there[..there.len() - 1].iter().map(at));
        moved.push(hand);
        moved.extend(back[1..].iter().map(at));
        moved.push(points[after]);
        moved.dedup();
        let mut all = moved.clone();
        if closed {
            let mut i = (after + 1) % n;
            while i != before && after != before {
                all.push(points[i]);
                i = (i + 1) % n;
            }
        } else {
            all.extend_from_slice(&points[(after + 1).min(n)..]);
            all.splice(0..0, points[..before].iter().copied());
        }
        Ok(Some(Dragged { points: all, moved }))
    }
}

/// A vertex to go on from; the cheapest comes first out of the heap.
struct Step {
    rank: f32,
    cost: f32,
    at: u32,
}

impl PartialEq for Step {
    fn eq(&self, other: &Step) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Step {}

impl PartialOrd for Step {
    fn partial_cmp(&self, other: &Step) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Step {
    fn cmp(&self, other: &Step) -> Ordering {
        other.rank.total_cmp(&self.rank).then(other.at.cmp(&self.at))
    }
}
