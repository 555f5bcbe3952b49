//! Which half each triangle belongs to: the global optimum of the energy by one minimum cut.

use super::energy::{self, HIDDEN_PER_MM};
use super::surface::Surface;
use super::visibility::Visibility;
use crate::plan::Half;
use crate::solve::min_cut::Network;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;

/// Units of capacity in one millimetre of energy.
const UNITS_PER_MM: f64 = 4096.0;

/// Energy in units of capacity, kept where sums over millions of triangles stay far from overflow.
pub fn units(energy_mm: f64) -> i64 {
    (energy_mm * UNITS_PER_MM).round().clamp(0.0, 1e15) as i64
}

/// What the labels are made from.
#[derive(Clone, Copy, Debug)]
pub struct Task<'a> {
    /// The surface.
    pub surface: &'a Surface,
    /// What each half sees.
    pub visibility: &'a Visibility,
    /// W.
    pub draw: Vec3,
    /// Triangles of shown surfaces; empty where there is none.
    pub shown: &'a [bool],
    /// Triangles that are forced to a half.
    pub forced: &'a [Option<Half>],
}

/// The labelling of least energy among those that keep every forced triangle. Of several, the one with the smallest
/// half 1.
///
/// A forced triangle is tied to its half by more than all its edges together cost, which no other choice can outweigh.
pub fn label(task: &Task, run: &Run) -> Result<Vec<Half>, Cancelled> {
    let cut = network(task, run)?.minimum_cut(run)?;
    Ok(cut.source_side.iter().map(|&one| if one { Half::One } else { Half::Two }).collect())
}

/// The graph whose minimum cut is that labelling: a node for each triangle, the source's side is half 1.
pub fn network(task: &Task, run: &Run) -> Result<Network, Cancelled> {
    let Task { surface, visibility, draw, shown, forced } = *task;
    let n = surface.len();
    let mut network = Network::with_capacity(n, n * 3 / 2);
    let costs = energy::edge_costs_mm(surface, &visibility.facing, draw, shown);
    run.check()?;
    for (f, k, g) in energy::pairs(surface) {
        let cost = units(costs[f][k]);
        network.add_edge(f as u32, g as u32, cost, cost);
    }
    for f in 0..n {
        let area = surface.area_mm2[f] as f64 * HIDDEN_PER_MM;
        // The source's side is half 1: being on the sink's side costs what half 2 is charged.
        let mut as_two = units(area * visibility.charged(Half::Two, f) as f64);
        let mut as_one = units(area * visibility.charged(Half::One, f) as f64);
        let bond = 1 + as_one + as_two + costs[f].iter().filter(|c| c.is_finite()).map(|&c| units(c)).sum::<i64>();
        match forced[f] {
            Some(Half::One) => as_two += bond,
            Some(Half::Two) => as_one += bond,
            None => {}
        }
        network.add_terminals(f as u32, as_two, as_one);
    }
    Ok(network)
}

/// The highest and the lowest triangle of every body along the draw, forced to half 1 and half 2, so that every body
/// has a line. Only triangles that the half sees are taken; a body that a half sees nothing of (an enclosed void) gets
/// none. Ties go to the lower index.
pub fn force_extremes(surface: &Surface, visibility: &Visibility, draw: Vec3, forced: &mut [Option<Half>]) {
    for (half, up) in [(Half::One, draw), (Half::Two, -draw)] {
        let hidden = visibility.from(half);
        let mut best: Vec<Option<(f32, usize)>> = vec![None; surface.bodies];
        for f in 0..surface.len() {
            if hidden[f] > 0.0 || surface.area_mm2[f] == 0.0 || forced[f] == Some(half.other()) {
                continue;
            }
            // Facing breaks ties between the top of a thin edge and its sides.
            let height = surface.centroid[f].dot(up);
            let here = &mut best[surface.body[f] as usize];
            if surface.normal[f].dot(up) > 0.0 && here.is_none_or(|(h, _)| height > h) {
                *here = Some((height, f));
            }
        }
        for (_, f) in best.into_iter().flatten() {
            forced[f] = Some(half);
        }
    }
}
