//! Where resin comes last, and where two fronts meet.

use super::front::Front;
use crate::solve::cells::NONE;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Most places that are listed.
const MOST: usize = 6;
/// Nearer than this share of the part's size, two last places are one.
const APART: f32 = 0.08;
/// A place that fills before this share of the whole time is not among the last.
const LATE: f32 = 0.5;
/// Cells that two fronts must meet in to count.
const LEAST_KNIT: usize = 12;
/// Least length of a knit line, in cells.
const LEAST_LONG: f32 = 3.0;
/// Steps along an axis over which fronts must come from both sides.
const STEPS: usize = 2;
/// Least angle between the ways of two fronts that leave a line, radians: 45°, a meeting angle of 135° (common practice of
/// injection moulding, from memory).
const LEAST_TURN: f32 = std::f32::consts::FRAC_PI_4;
/// Times that a direction is drawn towards the one of most spread.
const POWERS: usize = 8;

/// A place that is among the last to fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Last {
    /// The place, in `work`.
    pub position: Vec3,
    /// ∫dt/μ when it was full, 1/Pa.
    pub at: f32,
}

/// Where two fronts meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Knit {
    /// A place in its middle, in `work`.
    pub position: Vec3,
    /// Its longest extent, mm.
    pub length_mm: f32,
    /// A line along it, through the middle of the wall.
    pub points: Vec<Vec3>,
}

/// Places that fill later than all round them, the last one first.
pub fn last_places(front: &Front, size_mm: f32) -> Vec<Last> {
    let (cells, at) = (&front.creep().cells, &front.filled_at);
    let whole = at.iter().copied().filter(|t| t.is_finite()).fold(0.0, f32::max);
    let later_than_beside = |c: u32| {
        let own = at[c as usize];
        cells.neighbours()[c as usize].iter().all(|&k| k == NONE || !(at[k as usize] > own))
    };
    let mut found: Vec<Last> = (0..cells.len() as u32)
        .filter(|&c| at[c as usize].is_finite() && at[c as usize] >= LATE * whole && later_than_beside(c))
        .filter(|&c| cells.round(cells.place(c), 3).all(|k| !(at[k as usize] > at[c as usize])))
        .map(|c| Last { position: cells.centre(c), at: at[c as usize] })
        .collect();
    found.sort_by(|a, b| b.at.total_cmp(&a.at).then(a.position.x.total_cmp(&b.position.x)));
    let mut kept: Vec<Last> = Vec::new();
    for last in found {
        if kept.len() < MOST && kept.iter().all(|k| k.position.distance(last.position) > APART * size_mm) {
            kept.push(last);
        }
    }
    kept
}

/// Where fronts meet, longest first.
///
/// Along some axis resin comes from both sides, and the ways that it goes on both sides turn by more than 45°:
/// fronts that meet at less flow on together and knit well.
pub fn knit_lines(front: &Front, run: &Run) -> Result<Vec<Knit>, Cancelled> {
    let cells = &front.creep().cells;
    let n = cells.len() as u32;
    let knit: Vec<bool> = (0..n).into_par_iter().map(|c| is_knit(front, c)).collect();
    let beside =
        |c: u32| knit[c as usize] || cells.neighbours()[c as usize].iter().any(|&k| k != NONE && knit[k as usize]);
    let (group, groups) = cells.groups(beside, run)?;
    let mut members: Vec<Vec<Vec3>> = vec![Vec::new(); groups as usize];
    for c in (0..n).filter(|&c| knit[c as usize] && group[c as usize] != NONE) {
        members[group[c as usize] as usize].push(cells.centre(c));
    }
    let edge = cells.cell_mm() as f32;
    let mut lines: Vec<Knit> = members
        .iter()
        .filter(|m| m.len() >= LEAST_KNIT)
        .map(|m| along(m, edge))
        .filter(|k| k.length_mm >= LEAST_LONG * edge)
        .collect();
    lines.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm));
    lines.truncate(2 * MOST);
    Ok(lines)
}

/// True where fronts meet in cell `c`.
fn is_knit(front: &Front, c: u32) -> bool {
    let (cells, at) = (&front.creep().cells, &front.filled_at);
    if !at[c as usize].is_finite() {
        return false;
    }
    let far = |side: usize| {
        let mut now = c;
        for _ in 0..STEPS {
            let next = cells.neighbours()[now as usize][side];
            // It must be earlier all the way; only beside the meeting itself may two be as late.
            if next == NONE || !(at[next as usize] <= at[now as usize]) {
                return None;
            }
            now = next;
        }
        (at[now as usize] < at[c as usize]).then_some(now)
    };
    (0..3).any(|axis| {
        let (Some(low), Some(high)) = (far(2 * axis), far(2 * axis + 1)) else { return false };
        let (low, high) = (way(front, low), way(front, high));
        low[axis] > 0.0 && high[axis] < 0.0 && low.dot(high) < LEAST_TURN.cos()
    })
}

/// The way that resin goes through a cell: up the slope of the times round it.
fn way(front: &Front, c: u32) -> Vec3 {
    let (neighbours, at) = (front.creep().cells.neighbours(), &front.filled_at);
    let time = |side: usize| {
        let k = neighbours[c as usize][side];
        (k != NONE).then(|| at[k as usize]).filter(|t| t.is_finite())
    };
    let own = at[c as usize];
    let slope = |axis: usize| match (time(2 * axis), time(2 * axis + 1)) {
        (Some(low), Some(high)) => 0.5 * (high - low),
        (Some(low), None) => own - low,
        (None, Some(high)) => high - own,
        (None, None) => 0.0,
    };
    Vec3::new(slope(0), slope(1), slope(2)).normalize_or_zero()
}

/// A line through places that lie along one, in bins of two cells.
fn along(places: &[Vec3], edge: f32) -> Knit {
    let count = places.len() as f32;
    let middle = places.iter().sum::<Vec3>() / count;
    // The direction in which they spread most, by powers of their second moments.
    let mut direction = places.iter().fold(Vec3::ZERO, |a, p| {
        let d = *p - middle;
        if d.length_squared() > a.length_squared() { d } else { a }
    });
    for _ in 0..POWERS {
        let next = places.iter().fold(Vec3::ZERO, |a, p| a + (*p - middle) * (*p - middle).dot(direction));
        direction = next.normalize_or(direction);
    }
    let direction = direction.normalize_or(Vec3::X);
    let mut bins: std::collections::BTreeMap<i32, (Vec3, f32)> = std::collections::BTreeMap::new();
    for p in places {
        let bin = bins.entry(((*p - middle).dot(direction) / (2.0 * edge)).floor() as i32).or_default();
        bin.0 += *p;
        bin.1 += 1.0;
    }
    let points: Vec<Vec3> = bins.values().map(|(sum, n)| *sum / *n).collect();
    let away = |p: &&Vec3| p.distance_squared(middle);
    let position = places.iter().min_by(|a, b| away(a).total_cmp(&away(b))).copied().unwrap_or(middle);
    let bounds = crate::mesh::Bounds::of(places.iter().copied());
    Knit { position, length_mm: bounds.diagonal(), points }
}

/// Where the cavity stays empty: in every region that is not full the place that is farthest from the resin, largest first.
pub fn empty_places(front: &Front) -> Vec<Last> {
    let mut left: Vec<_> = front.regions().iter().enumerate().filter(|r| !r.1.crumb).collect();
    left.sort_by(|a, b| b.1.void_mm3.total_cmp(&a.1.void_mm3));
    let deepest = deepest_cells(front);
    let place = |cell: u32| Last { position: front.creep().cells.centre(cell), at: f32::INFINITY };
    left.into_iter().take(MOST).map(|(i, r)| place(deepest[i].unwrap_or(r.cell))).collect()
}

/// For each region the cell that is most steps from any full one; none where there is no full one beside it.
fn deepest_cells(front: &Front) -> Vec<Option<u32>> {
    let cells = &front.creep().cells;
    let region_of = front.region_of();
    let is_empty = |c: u32| region_of[c as usize] != NONE;
    let beside_full = |c: u32| cells.neighbours()[c as usize].iter().any(|&k| k != NONE && !is_empty(k));
    let mut seen = vec![false; cells.len()];
    let mut queue: Vec<u32> = (0..cells.len() as u32).filter(|&c| is_empty(c) && beside_full(c)).collect();
    queue.iter().for_each(|&c| seen[c as usize] = true);
    let mut deepest = vec![None; front.regions().len()];
    let mut next = 0;
    while let Some(&c) = queue.get(next) {
        next += 1;
        deepest[region_of[c as usize] as usize] = Some(c);
        for &k in &cells.neighbours()[c as usize] {
            if k != NONE && is_empty(k) && !seen[k as usize] {
                seen[k as usize] = true;
                queue.push(k);
            }
        }
    }
    deepest
}
