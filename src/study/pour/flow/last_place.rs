//! The place that resin reaches last, and the taut way there.
//!
//! The march says where to look: vertices of the wall and cells that lie further than all round them. It is out by a part
//! of a cell, and near a place where fronts meet it does not say from which side resin comes first. So the ways there from
//! every side are pulled taut, the shortest of them is the place's distance, and the place is moved, by
//! steps that become smaller, to where that distance is largest. What is left of the cells is which place is looked at.

use super::{Field, LongestPath};
use crate::solve::cells::NONE;
use crate::solve::run::{Cancelled, Run};
use crate::solve::taut;
use glam::Vec3;

/// Places that are tried as the last one to be reached.
const MOST_LAST: usize = 8;
/// Cells round a place that are asked for other ways to it.
const LOOK_ROUND: i32 = 3;
/// Ways to one place that are compared.
const MOST_WAYS: usize = 4;
/// Two ways are different where their middles lie further apart than so many cells.
const WAYS_APART: f32 = 4.0;
/// Steps of the search for the furthest place, in cells: the first and the last.
const STEPS: [f32; 2] = [1.0, 0.04];

/// The search goes so many cells from where it began at most: no further is the march in error.
const FURTHEST: f32 = 4.0;

/// So many cells at the end of a way are pulled to see whether a place lies further.
const TAIL: f64 = 16.0;

/// The search keeps so far from walls, in cells.
const OFF_WALL: f32 = 0.01;

/// A thread from a gate.
#[derive(Clone)]
struct Way {
    points: Vec<Vec3>,
    source: Option<usize>,
}

/// A place with the ways that lead to it, each pulled.
struct Place {
    at: Vec3,
    ways: Vec<Way>,
    /// Number of the shortest way.
    shortest: usize,
    /// Its length from the edge of its gate, mm.
    mm: f64,
}

impl Field<'_> {
    /// The longest of the taut ways to the places that are reached last.
    pub(super) fn longest(
        &self,
        normals: &[Vec3],
        vertex_mm: &[f32],
        run: &Run,
    ) -> Result<Option<LongestPath>, Cancelled> {
        let most = (0..self.cells.len() as u32)
            .filter(|&c| self.march.reached(c))
            .max_by(|&a, &b| self.march.mm(a).total_cmp(&self.march.mm(b)).then(b.cmp(&a)));
        let Some(most) = most else { return Ok(None) };
        let edge = self.cells.cell_mm() as f32;
        // Places whose marched distance comes within the error of the march.
        let limit = 0.97 * self.march.mm(most) - edge;
        let mut places: Vec<(f32, Vec3, u32)> = vertex_mm
            .iter()
            .zip(&self.mesh.positions)
            .filter(|&(&mm, _)| mm.is_finite() && mm >= limit)
            .zip(normals)
            .filter_map(|((_, &p), &n)| self.at_wall(p, n).map(|(mm, c)| (mm, p, c)))
            .collect();
        let mut walls: Vec<(f32, Vec3, u32)> = (0..self.cells.len() as u32)
            .filter(|&c| self.march.reached(c) && self.march.mm(c) >= limit && self.is_last(c))
            .map(|c| self.carried_on(c))
            .collect();
        places.append(&mut walls);
        places.sort_unstable_by(|a, b| {
            b.0.total_cmp(&a.0)
                .then(a.2.cmp(&b.2))
                .then_with(|| a.1.to_array().map(f32::to_bits).cmp(&b.1.to_array().map(f32::to_bits)))
        });
        let mut tried: Vec<Vec3> = Vec::new();
        // Compared half taut; only the longest is pulled until it lies still.
        let mut best: Option<Place> = None;
        for &(_, place, cell) in &places {
            if tried.len() == MOST_LAST {
                break;
            }
            if tried.iter().any(|t| t.distance(place) < 4.0 * edge) {
                continue;
            }
            tried.push(place);
            let found = self.ways_to(place, cell, run)?;
            if best.as_ref().is_none_or(|b| found.mm > b.mm) {
                best = Some(found);
            }
        }
        let Some(best) = best else { return Ok(None) };
        let Place { ways, shortest, .. } = self.furthest_round(best, run)?;
        let Way { points, source } = &ways[shortest];
        let mut points = taut::pull(points, 0.1 * edge, taut::ROUNDS, |a, b| self.free(a, b), run)?;
        trim_start(&mut points, self.radius_of(*source) as f32);
        let gate = source.map_or(0, |s| self.sources[s].gate);
        Ok(Some(LongestPath { length_mm: taut::length(&points), points, gate }))
    }

    /// Radius of a gate, mm; 0 where the way began nowhere.
    fn radius_of(&self, source: Option<usize>) -> f64 {
        source.map_or(0.0, |s| self.sources[s].radius_mm as f64)
    }

    /// Pulls every way to a place that comes from another side; their ends are the place.
    fn ways_to(&self, place: Vec3, cell: u32, run: &Run) -> Result<Place, Cancelled> {
        let edge = self.cells.cell_mm() as f32;
        let first = self.way_to(place, cell);
        let at = first.points.last().copied().unwrap_or(place);
        let mut rough = vec![first];
        let mut near: Vec<(f32, u32)> = self
            .cells
            .round(self.cells.place_of(at), LOOK_ROUND)
            .filter(|&c| self.march.reached(c))
            .map(|c| (self.cells.centre(c).distance(at), c))
            .collect();
        near.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, c) in near {
            if rough.len() == MOST_WAYS {
                break;
            }
            let way = self.way_to(self.cells.centre(c), c);
            let (true, Some(middle)) = (self.free(self.cells.centre(c), at), middle(&way.points)) else { continue };
            let is_new = |w: &Way| apart_from(&w.points, middle) > WAYS_APART * edge;
            if rough.iter().all(is_new) {
                let mut way = way;
                way.points.push(at);
                rough.push(way);
            }
        }
        let mut ways = Vec::with_capacity(rough.len());
        for way in rough {
            let points = taut::pull(&way.points, edge, 3, |a, b| self.free(a, b), run)?;
            ways.push(Way { points, source: way.source });
        }
        Ok(self.judged(at, ways))
    }

    /// A place by the shortest of its ways.
    fn judged(&self, at: Vec3, ways: Vec<Way>) -> Place {
        let mm = |w: &Way| taut::length(&w.points) - self.radius_of(w.source);
        let shortest = (0..ways.len()).min_by(|&a, &b| mm(&ways[a]).total_cmp(&mm(&ways[b]))).unwrap_or(0);
        let mm = ways.get(shortest).map_or(0.0, mm);
        Place { at, ways, shortest, mm }
    }

    /// Moves a place to where its distance is largest, in the cavity and along its walls.
    fn furthest_round(&self, mut best: Place, run: &Run) -> Result<Place, Cancelled> {
        let edge = self.cells.cell_mm() as f32;
        let home = best.at;
        let mut step = STEPS[0] * edge;
        while step >= STEPS[1] * edge {
            let mut moved = false;
            for x in -1..=1 {
                for y in -1..=1 {
                    for z in -1..=1 {
                        let way = Vec3::new(x as f32, y as f32, z as f32).normalize_or_zero();
                        if way == Vec3::ZERO {
                            continue;
                        }
                        run.check()?;
                        let at = self.slid(best.at, way * step);
                        if !self.is_inside(at)
                            || at.distance(best.at) < 0.1 * step
                            || at.distance(home) > FURTHEST * edge
                        {
                            continue;
                        }
                        let least = best.mm + 1e-3 * step as f64;
                        let Some(there) = self.place_beyond(&best, at, least, run)? else { continue };
                        best = there;
                        moved = true;
                    }
                }
            }
            if !moved {
                step *= 0.5;
            }
        }
        Ok(best)
    }

    /// True for a point off the walls that a cell near it sees. Where rounding lets a ray slip through a wall that it starts
    /// at, the point beyond is seen from nowhere.
    fn is_inside(&self, at: Vec3) -> bool {
        !self.tree.is_within(at, 0.3 * OFF_WALL * self.cells.cell_mm() as f32)
            && self.march.at(at, |c| self.free(self.cells.centre(c), at)).is_some()
    }

    /// From a point along `by`, and where a wall comes in the way, on along the wall.
    fn slid(&self, from: Vec3, by: Vec3) -> Vec3 {
        let hair = OFF_WALL * self.cells.cell_mm() as f32;
        let Some(hit) = self.tree.first_hit(from, by, 1.0) else { return from + by };
        // As far as a hair before the wall, then square to it.
        let before = from + by * (hit.t - hair / by.length()).max(0.0);
        let [a, b, c] = self.mesh.corners(hit.triangle as usize);
        let out = (b - a).cross(c - a).normalize_or_zero();
        let rest = (from + by) - before;
        let along = rest - out * rest.dot(out);
        let t = self.tree.first_hit(before, along, 1.0).map_or(1.0, |hit| hit.t);
        before + along * (t - hair / along.length().max(hair)).clamp(0.0, 1.0)
    }

    /// The place at `at`, beside another, with the ways of that one led on to it, where it lies further than `least`, mm.
    fn place_beyond(&self, beside: &Place, at: Vec3, least: f64, run: &Run) -> Result<Option<Place>, Cancelled> {
        // Only ends pulled, ways are never too short: most places are done with by that.
        for w in &beside.ways {
            let points = self.led_on(&w.points, at, TAIL * self.cells.cell_mm(), run)?;
            if taut::length(&points) - self.radius_of(w.source) <= least {
                return Ok(None);
            }
        }
        let mut ways = Vec::with_capacity(beside.ways.len());
        for w in &beside.ways {
            ways.push(Way { points: self.led_on(&w.points, at, f64::INFINITY, run)?, source: w.source });
        }
        let there = self.judged(at, ways);
        Ok((there.mm > least).then_some(there))
    }

    /// A taut way led on to a point that its end sees, its last `tail` mm pulled again.
    fn led_on(&self, way: &[Vec3], to: Vec3, tail: f64, run: &Run) -> Result<Vec<Vec3>, Cancelled> {
        let mut points = way.to_vec();
        let n = points.len();
        if n >= 2 && self.free(points[n - 2], to) {
            points[n - 1] = to;
        } else {
            points.push(to);
        }
        let (mut from, mut long) = (points.len() - 1, 0.0);
        while from > 0 && long < tail {
            long += f64::from(points[from].distance(points[from - 1]));
            from -= 1;
        }
        if points.len() - from > 2 {
            let edge = self.cells.cell_mm() as f32;
            let pulled = taut::pull(&points[from..], 0.25 * edge, 3, |a, b| self.free(a, b), run)?;
            points.truncate(from);
            points.extend(pulled);
        }
        Ok(points)
    }

    /// True where no linked neighbour lies further on.
    fn is_last(&self, c: u32) -> bool {
        let at = self.march.mm(c);
        self.cells.neighbours()[c as usize].iter().all(|&n| n == NONE || self.march.mm(n) <= at)
    }

    /// From a cell on in the direction of flow, as far as the distance still rises: to the wall or to where another front
    /// comes to meet this one, at most two cells.
    fn carried_on(&self, c: u32) -> (f32, Vec3, u32) {
        let at = self.cells.centre(c);
        let way = self.march.descend(c);
        let behind = self.cells.centre(way[(way.len() - 1).min(6)]);
        let edge = self.cells.cell_mm() as f32;
        let ahead = (at - behind).normalize_or_zero();
        let far = self.tree.first_hit(at, ahead, 2.0 * edge).map_or(2.0 * edge, |hit| hit.t);
        let mut best = (self.march.mm(c), at, c);
        for step in 1..=16 {
            let p = at + ahead * (far * step as f32 / 16.0);
            if let Some((mm, cell)) = self.march.at(p, |c| self.sees(c, p))
                && mm > best.0
            {
                best = (mm, p, cell);
            }
        }
        best
    }

    /// The rough way from the gate to `place`, which lies by cell `c`, with the source that it begins at.
    fn way_to(&self, place: Vec3, c: u32) -> Way {
        let centre = self.cells.centre(c);
        let mut rough = Vec::new();
        // As far off the wall as the search keeps, which could not leave a place on it; a place that its cell does not see
        // gives way to the cell.
        let off = self.hair_mm.max(OFF_WALL * self.cells.cell_mm() as f32);
        let end = place + (centre - place).clamp_length_max(off);
        if self.free(end, centre) {
            rough.push(end);
        }
        let mut at = c;
        loop {
            let way = self.march.descend(at);
            rough.extend(way.iter().map(|&c| self.cells.centre(c)));
            at = way[way.len() - 1];
            // A way that came round a corner of cells goes on where it came from.
            match self.bridged_from.get(&at) {
                Some(&from) => at = from,
                None => break,
            }
        }
        let source = self.seeded_by.get(&at).copied();
        rough.extend(source.map(|s| self.sources[s].inside));
        rough.reverse();
        Way { points: rough, source }
    }
}

/// The middle one of the points of a rough way, whose legs are about even.
fn middle(points: &[Vec3]) -> Option<Vec3> {
    points.get(points.len() / 2).copied()
}

/// How far a rough way passes from a point.
fn apart_from(points: &[Vec3], from: Vec3) -> f32 {
    points.iter().map(|p| p.distance(from)).fold(f32::INFINITY, f32::min)
}

/// Cuts off what lies within `radius` of the first point.
fn trim_start(points: &mut Vec<Vec3>, radius: f32) {
    let Some(&centre) = points.first() else { return };
    if radius <= 0.0 {
        return;
    }
    let Some(out) = points.iter().position(|p| p.distance(centre) > radius) else {
        // The whole way lies in the gate.
        let last = points.last().copied();
        points.clear();
        points.extend(last);
        return;
    };
    let (a, b) = (points[out - 1], points[out]);
    // |a + s·(b − a) − centre| = radius, the root between a and b.
    let (leg, from) = (b - a, a - centre);
    let (p, q) = (leg.length_squared(), from.dot(leg));
    let s = (-q + (q * q - p * (from.length_squared() - radius * radius)).max(0.0).sqrt()) / p;
    points.drain(..out - 1);
    points[0] = a + leg * s.clamp(0.0, 1.0);
}
