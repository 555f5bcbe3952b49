//! Runners that join the parts of a set: from each gate through the cut to one standing rod, or into a runner that is there.
//!
//! The ways are sought on a grid in the plane square to the draw at the height of the lines: cells nearer to a part than a
//! runner may come are closed, so are those beside the rods of vents, the rest is walked by the shortest way (Dijkstra 1959). The standing rod is put where all
//! ways together are shortest; then each gate, the nearest first, takes the shortest way to what stands already.

use crate::solve::run::{Cancelled, Run};
use crate::study::job::body::Body;
use crate::study::job::channels::Rod;
use crate::study::job::setting::Setting;
use crate::study::parting::channel_gaps;
use crate::study::pour::beside_lines::BesideLines;
use glam::{Vec2, Vec3};
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Edge of a cell, millimetres, and most cells.
const CELL_MM: f32 = 1.0;
const MOST_CELLS: f32 = 200_000.0;
/// Rubber beside bends may be this share of what it must be beside straight stretches, as for a lone runner.
const BESIDE_BEND: f32 = 0.85;
/// Places that are tried for the standing rod.
const STEMS_TRIED: usize = 3000;
/// A millimetre along the draw between a gate and the plane of the runners counts as so many along it.
const OFF_PLANE: f32 = 3.0;
/// Corners nearer to each other than this are one, millimetres.
const LEAST_LEG_MM: f32 = 2.0;
/// Places along a stretch at which its distance from the parts is looked at.
const LOOKS: usize = 48;

/// A place where a runner may begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// On the surface.
    pub at: Vec3,
    /// Off the surface, square to the draw.
    pub out: Vec3,
    /// What beginning here costs, as millimetres of way.
    pub cost_mm: f32,
}

/// A runner that was laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Place of its start in its group.
    pub start: usize,
    /// Its corners from the gate outwards.
    pub corners: Vec<Vec3>,
    /// Whose runner it ends in; none where its last corner is the foot of the standing rod.
    pub joins: Option<usize>,
}

/// A runner that stands already: whose it is, and its axis from the part outwards.
pub type Laid = (usize, Vec<Vec3>);

/// How far a runner's axis keeps from what is not its own.
#[derive(Clone, Copy, Debug)]
pub struct Clear<'a> {
    /// From a part, millimetres.
    pub apart: f32,
    /// From the outside of a rod, millimetres.
    pub beside: f32,
    /// Rods that it may not meet.
    pub rods: &'a [Rod],
    /// The lines that the cut it lies in comes down to.
    pub lines: &'a BesideLines,
}

impl Clear<'_> {
    /// True where a place lies far enough from every rod.
    fn of_rods(&self, at: Vec3) -> bool {
        self.rods.iter().all(|r| channel_gaps::distance(at, r) > self.beside + r.radius_mm)
    }
}

/// What ways are sought in.
pub struct Field<'a> {
    body: &'a Body,
    up: Vec3,
    draw: Vec3,
    e1: Vec3,
    e2: Vec3,
    /// Height of the plane along the draw.
    plane: f32,
    origin: Vec2,
    cell: f32,
    wide: usize,
    deep: usize,
    open: Vec<bool>,
    /// How far runners keep off.
    clear: Clear<'a>,
    /// Distance that a runner's axis keeps from a part.
    apart: f32,
    /// Height of the highest point along up.
    top: f32,
}

impl<'a> Field<'a> {
    /// The plane square to `draw` at the middling height of `starts`; none where there is no start.
    pub fn of(body: &'a Body, setting: &Setting, draw: Vec3, starts: &[Start], clear: Clear<'a>) -> Option<Field<'a>> {
        let apart = clear.apart;
        let up = setting.frames.rubber_up();
        let draw = draw.try_normalize()?;
        let mut heights: Vec<f32> = starts.iter().map(|s| s.at.dot(draw)).collect();
        heights.sort_by(f32::total_cmp);
        let plane = *heights.get(heights.len() / 2)?;
        let level = draw - up * draw.dot(up);
        let e1 = if level.length() < 1e-3 { draw.any_orthonormal_vector() } else { up.cross(level).normalize() };
        let e2 = draw.cross(e1).normalize();
        let flat = |p: &Vec3| Vec2::new(p.dot(e1), p.dot(e2));
        let far = Vec2::splat(f32::INFINITY);
        let (low, high) = body.mesh.positions.iter().map(flat).fold((far, -far), |(l, h), p| (l.min(p), h.max(p)));
        let margin = 2.0 * apart + 5.0;
        let (low, size) = (low - margin, high - low + 2.0 * margin);
        let cell = CELL_MM.max((size.x * size.y / MOST_CELLS).sqrt());
        let (wide, deep) = ((size.x / cell).ceil() as usize + 1, (size.y / cell).ceil() as usize + 1);
        let top = body.mesh.positions.iter().map(|p| p.dot(up)).fold(f32::NEG_INFINITY, f32::max);
        let mut field =
            Field { body, up, draw, e1, e2, plane, origin: low, cell, wide, deep, open: Vec::new(), clear, apart, top };
        let is_open = |at: Vec3| clear.of_rods(at) && clear.lines.lets(at) && !body.tree.is_within(at, apart);
        field.open = (0..wide * deep).into_par_iter().map(|c| is_open(field.place(c))).collect();
        Some(field)
    }

    fn place(&self, c: usize) -> Vec3 {
        let at = self.origin + Vec2::new((c % self.wide) as f32, (c / self.wide) as f32) * self.cell;
        self.e1 * at.x + self.e2 * at.y + self.draw * self.plane
    }

    /// The cell under a place, if any.
    fn cell_at(&self, p: Vec3) -> Option<usize> {
        let at = (Vec2::new(p.dot(self.e1), p.dot(self.e2)) - self.origin) / self.cell;
        let (x, y) = (at.x.round(), at.y.round());
        let inside = x >= 0.0 && y >= 0.0 && (x as usize) < self.wide && (y as usize) < self.deep;
        inside.then(|| x as usize + y as usize * self.wide)
    }

    /// The open cell nearest to a place that has just come clear, its own or one beside it.
    fn open_cell_by(&self, p: Vec3) -> Option<usize> {
        let own = self.cell_at(p)?;
        let beside = std::iter::once(own).chain(self.neighbours(own).map(|n| n.0)).filter(|c| self.open[*c]);
        let away = |c: usize| {
            let off = self.place(c) - p;
            (off - self.draw * off.dot(self.draw)).length_squared()
        };
        beside.min_by(|a, b| away(*a).total_cmp(&away(*b)))
    }

    fn neighbours(&self, c: usize) -> impl Iterator<Item = (usize, f32)> + '_ {
        let (x, y) = ((c % self.wide) as isize, (c / self.wide) as isize);
        (-1..=1).flat_map(move |dy: isize| (-1..=1).map(move |dx: isize| (dx, dy))).filter_map(move |(dx, dy)| {
            let (nx, ny) = (x + dx, y + dy);
            let inside = (dx, dy) != (0, 0) && nx >= 0 && ny >= 0 && nx < self.wide as isize && ny < self.deep as isize;
            let step = if dx != 0 && dy != 0 { std::f32::consts::SQRT_2 } else { 1.0 };
            inside.then(|| (nx as usize + ny as usize * self.wide, step * self.cell))
        })
    }

    /// True where the parts stay further than `least` from the stretch, and no rod is met.
    fn is_free(&self, from: Vec3, to: Vec3, least: f32) -> bool {
        let at = |i: usize| from.lerp(to, i as f32 / LOOKS as f32);
        (0..=LOOKS).all(|i| self.clear.of_rods(at(i)) && !self.body.tree.is_within(at(i), least))
    }

    /// Where a runner from `start` has come clear of its part; none where it cannot.
    fn first(&self, start: &Start) -> Option<Vec3> {
        let out = (start.out - self.draw * start.out.dot(self.draw)).try_normalize()?;
        let first = start.at + out * (self.apart + 0.5);
        let clear = start.at + out * (self.apart * 0.9 + 0.1);
        let in_cut = || self.clear.lines.let_leave(start.at, out, first);
        (self.is_free(clear, first, self.apart * BESIDE_BEND) && in_cut()).then_some(first)
    }

    /// Shortest ways from `starts` to every open cell.
    fn reach(&self, starts: &[Start]) -> Reach {
        let cells = self.wide * self.deep;
        let mut reach = Reach { cost: vec![f32::INFINITY; cells], from: vec![Origin::Nowhere; cells] };
        let mut heap: BinaryHeap<Reverse<(u32, usize)>> = BinaryHeap::new();
        // Costs are never negative, so their bits sort as they do.
        let push = |heap: &mut BinaryHeap<_>, cost: f32, c: usize| heap.push(Reverse((cost.to_bits(), c)));
        for (i, start) in starts.iter().enumerate() {
            let Some(first) = self.first(start) else { continue };
            let Some(c) = self.open_cell_by(first) else { continue };
            let cost = start.cost_mm.max(0.0) + OFF_PLANE * (first.dot(self.draw) - self.plane).abs();
            if cost < reach.cost[c] {
                (reach.cost[c], reach.from[c]) = (cost, Origin::Start(i));
                push(&mut heap, cost, c);
            }
        }
        while let Some(Reverse((bits, c))) = heap.pop() {
            let cost = f32::from_bits(bits);
            if cost > reach.cost[c] {
                continue;
            }
            for (n, step) in self.neighbours(c) {
                if self.open[n] && cost + step < reach.cost[n] {
                    (reach.cost[n], reach.from[n]) = (cost + step, Origin::Cell(c));
                    push(&mut heap, cost + step, n);
                }
            }
        }
        reach
    }

    /// The runner from its start to cell `end`, whose last corner is `last`.
    fn way(&self, reach: &Reach, starts: &[Start], end: usize, last: Vec3, joins: Option<usize>) -> Option<Way> {
        let mut cells = vec![end];
        let start = loop {
            match reach.from[*cells.last()?] {
                Origin::Cell(c) => cells.push(c),
                Origin::Start(i) => break i,
                Origin::Nowhere => return None,
            }
        };
        cells.reverse();
        let first = self.first(&starts[start])?;
        let mut points = vec![first];
        points.extend(cells[1..].iter().map(|c| self.place(*c)));
        if let Some(end) = points.last_mut().filter(|_| cells.len() > 1) {
            *end = last;
        } else if first.distance(last) > 0.5 * self.cell {
            points.push(last);
        }
        Some(Way { start, corners: self.straightened(&points), joins })
    }

    /// The same way with as few corners as keep clear of the parts.
    fn straightened(&self, points: &[Vec3]) -> Vec<Vec3> {
        let mut corners = vec![points[0]];
        let mut at = 0;
        while at + 1 < points.len() {
            let free = |to: &usize| {
                self.is_free(points[at], points[*to], self.apart * 0.95)
                    && self.clear.lines.let_stretch(points[at], points[*to])
            };
            let next = (at + 2..points.len()).rev().find(free).unwrap_or(at + 1);
            corners.push(points[next]);
            at = next;
        }
        // Nobody cuts a rod for a leg as short as it is thick.
        let mut k = 0;
        while k + 1 < corners.len() {
            if corners[k].distance(corners[k + 1]) < LEAST_LEG_MM {
                corners.remove(k);
            } else {
                k += 1;
            }
        }
        corners
    }

    fn to_top(&self, p: Vec3) -> Vec3 {
        p + self.up * (self.top - p.dot(self.up) + 1.0).max(0.0)
    }

    /// The cell from which the ways of all groups that have one are shortest together, and a rod stands free.
    fn stem(&self, reaches: &[Reach]) -> Option<usize> {
        let able: Vec<&Reach> = reaches.iter().filter(|r| r.cost.iter().any(|c| c.is_finite())).collect();
        if able.is_empty() {
            return None;
        }
        let mut cells: Vec<(f32, usize)> = (0..self.open.len())
            .map(|c| (able.iter().map(|r| r.cost[c]).sum::<f32>(), c))
            .filter(|c| c.0.is_finite())
            .collect();
        cells.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // Spread over all of them, the best first.
        let step = (cells.len() / STEMS_TRIED).max(1);
        cells.iter().step_by(step).map(|c| c.1).find(|c| {
            let foot = self.place(*c);
            self.is_free(foot, self.to_top(foot), self.apart)
        })
    }
}

/// Where a cell was come to from.
#[derive(Clone, Copy, Debug)]
enum Origin {
    Nowhere,
    Start(usize),
    Cell(usize),
}

struct Reach {
    cost: Vec<f32>,
    from: Vec<Origin>,
}

/// A runner for each of `groups`, from the best of its starts; `laid` stands already. None for a group that has no way.
///
/// # Errors
/// [`Cancelled`].
pub fn ways(field: &Field, groups: &[Vec<Start>], laid: &[Laid], run: &Run) -> Result<Vec<Option<Way>>, Cancelled> {
    let mut reaches = Vec::with_capacity(groups.len());
    for group in groups {
        run.check()?;
        reaches.push(field.reach(group));
    }
    let mut network: Vec<Laid> = laid.to_vec();
    let mut done: Vec<Option<Way>> = vec![None; groups.len()];
    let mut order: Vec<usize> = (0..groups.len()).collect();
    if network.is_empty() {
        let Some(stem) = field.stem(&reaches) else { return Ok(done) };
        order.sort_by(|a, b| reaches[*a].cost[stem].total_cmp(&reaches[*b].cost[stem]));
        let first = order.remove(0);
        done[first] = field.way(&reaches[first], &groups[first], stem, field.place(stem), None);
        let Some(way) = &done[first] else { return Ok(done) };
        let foot = way.corners[way.corners.len() - 1];
        let mut axis = way.corners.clone();
        axis.push(field.to_top(foot));
        network.push((first, axis));
    }
    for g in order {
        run.check()?;
        let mut best: Option<(f32, usize, Vec3, usize)> = None;
        for (owner, axis) in &network {
            for ends in axis.windows(2) {
                let steps = (ends[0].distance(ends[1]) / field.cell).ceil().max(1.0) as usize;
                for i in 0..=steps {
                    let at = ends[0].lerp(ends[1], i as f32 / steps as f32);
                    let off = (at.dot(field.draw) - field.plane).abs();
                    let Some(c) = field.cell_at(at).filter(|c| field.open[*c]) else { continue };
                    let cost = reaches[g].cost[c] + OFF_PLANE * off;
                    if cost.is_finite() && best.is_none_or(|b| cost < b.0) {
                        best = Some((cost, c, at, *owner));
                    }
                }
            }
        }
        let Some((_, c, at, owner)) = best else { continue };
        done[g] = field.way(&reaches[g], &groups[g], c, at, Some(owner));
        if let Some(way) = &done[g] {
            network.push((g, way.corners.clone()));
        }
    }
    Ok(done)
}
