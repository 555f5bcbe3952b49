//! Where resin comes last, and where two fronts meet.

use super::front::Front;
use crate::solve::cells::NONE;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;

/// Most places that are listed.
const MOST: usize = 6;
/// Nearer than this share of the part's size, two last places are one.
const APART: f32 = 0.08;
/// A place that fills before this share of the whole time is not among the last.
const LATE: f32 = 0.5;
/// Cells that two fronts must meet in to count.
const LEAST_KNIT: usize = 12;
/// Steps along an axis over which fronts must come from both sides.
const STEPS: usize = 2;

/// A place that is among the last to fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Last {
    /// The place, in `work`.
    pub position: Vec3,
    /// ∫dt/μ when it was full, 1/Pa.
    pub at: f32,
}

/// Where two fronts meet head on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knit {
    /// A place in its middle, in `work`.
    pub position: Vec3,
    /// Its longest extent, mm.
    pub length_mm: f32,
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

/// Where resin comes from both sides along some axis, longest first.
pub fn knit_lines(front: &Front, run: &Run) -> Result<Vec<Knit>, Cancelled> {
    let (cells, at) = (&front.creep().cells, &front.filled_at);
    let n = cells.len();
    let far = |c: u32, side: usize| {
        let mut now = c;
        for _ in 0..STEPS {
            let next = cells.neighbours()[now as usize][side];
            // It must rise all the way.
            if next == NONE || !(at[next as usize] <= at[now as usize]) {
                return None;
            }
            now = next;
        }
        Some(at[c as usize] - at[now as usize])
    };
    // How much later than its earliest neighbour a cell fills: the pace of the front there.
    let pace = |c: u32| {
        let before =
            cells.neighbours()[c as usize].iter().filter(|&&k| k != NONE).map(|&k| at[c as usize] - at[k as usize]);
        before.fold(0.0, f32::max)
    };
    let knit: Vec<bool> = (0..n as u32)
        .map(|c| {
            at[c as usize].is_finite()
                && (0..3).any(|axis| match (far(c, 2 * axis), far(c, 2 * axis + 1)) {
                    (Some(low), Some(high)) => {
                        low.min(high) > 0.5 * pace(c).max(f32::MIN_POSITIVE) && low.min(high) > 0.3 * low.max(high)
                    }
                    _ => false,
                })
        })
        .collect();
    let beside =
        |c: u32| knit[c as usize] || cells.neighbours()[c as usize].iter().any(|&k| k != NONE && knit[k as usize]);
    let (group, groups) = cells.groups(beside, run)?;
    let mut boxes = vec![(crate::mesh::Bounds::EMPTY, 0usize); groups as usize];
    for c in (0..n as u32).filter(|&c| knit[c as usize] && group[c as usize] != NONE) {
        let (bounds, count) = &mut boxes[group[c as usize] as usize];
        *bounds = bounds.with(cells.centre(c));
        *count += 1;
    }
    let mut nearest = vec![(f32::INFINITY, Vec3::ZERO); groups as usize];
    for c in (0..n as u32).filter(|&c| knit[c as usize] && group[c as usize] != NONE) {
        let g = group[c as usize] as usize;
        let away = cells.centre(c).distance((boxes[g].0.min + boxes[g].0.max) / 2.0);
        if away < nearest[g].0 {
            nearest[g] = (away, cells.centre(c));
        }
    }
    let mut lines: Vec<Knit> = boxes
        .iter()
        .zip(&nearest)
        .filter(|(b, _)| b.1 >= LEAST_KNIT)
        .map(|(b, near)| Knit { position: near.1, length_mm: b.0.diagonal() })
        .collect();
    lines.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm));
    lines.truncate(2 * MOST);
    Ok(lines)
}

/// Where the cavity stays empty: a place in every region that is not, largest first.
pub fn empty_places(front: &Front) -> Vec<Last> {
    let mut left: Vec<_> = front.regions().iter().filter(|r| !r.crumb).collect();
    left.sort_by(|a, b| b.void_mm3.total_cmp(&a.void_mm3));
    let place = |cell: u32| Last { position: front.creep().cells.centre(cell), at: f32::INFINITY };
    left.into_iter().take(MOST).map(|r| place(r.cell)).collect()
}
