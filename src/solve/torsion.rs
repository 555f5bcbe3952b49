//! How far the wall is from every cell along the axes, and the function ψ with −∇²ψ = 1 inside a solid and ψ = 0 on its
//! walls: Prandtl's function of torsion, which is also the velocity of creeping flow through a channel of that section.
//!
//! Where the wall cuts the line to a neighbour the second difference is taken over the two uneven steps (Shortley & Weller
//! 1938; Gibou et al. 2002), so ψ is exact at the cells of slots, round and elliptic channels however they lie on the
//! grid. Part of the surface may be declared open: there ψ has no slope.

use crate::mesh::tree::Tree;
use crate::solve::cells::{Cells, NONE};
use crate::solve::multigrid::{Lopsided, Multigrid};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// No opening: a wall, or a linked neighbour.
pub const CLOSED: u16 = u16::MAX;

/// Nearest that a wall may stand to the middle of a cell, in cells.
const NEAREST: f32 = 0.001;
/// Where the mesh has a hole and no wall is found, it is taken to stand between the cells.
const UNKNOWN: f32 = 0.5;
/// Where ψ is good enough: remainder over right side.
const TOLERANCE: f64 = 1e-6;
const MOST_STEPS: usize = 200;

/// What stands next to every cell on its six sides, in the order of [`Cells::neighbours`].
#[derive(Clone, Debug, Default)]
pub struct Sides {
    /// Steps to the neighbour, 1, or to the wall or opening, up to 1, in cells.
    pub reach: Vec<[f32; 6]>,
    /// Number of the opening that lies on a side; [`CLOSED`] for walls and neighbours.
    pub opening: Vec<[u16; 6]>,
}

/// Directions of the six sides.
pub const SIDES: [Vec3; 6] = [Vec3::NEG_X, Vec3::X, Vec3::NEG_Y, Vec3::Y, Vec3::NEG_Z, Vec3::Z];

impl Sides {
    /// Looks from every cell along the axes to the surface in `tree`; `opening` says which opening a point of the surface
    /// belongs to.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn of(
        cells: &Cells,
        tree: &Tree,
        opening: impl Fn(Vec3) -> Option<u16> + Sync,
        run: &Run,
    ) -> Result<Sides, Cancelled> {
        let edge = cells.cell_mm() as f32;
        let look = |c: usize| {
            let (mut reach, mut open) = ([1.0; 6], [CLOSED; 6]);
            if run.is_cancelled() {
                return (reach, open);
            }
            let from = cells.centre(c as u32);
            for side in 0..6 {
                if cells.neighbours()[c][side] != NONE {
                    continue;
                }
                let way = SIDES[side] * edge;
                reach[side] = match tree.first_hit(from, way, 1.0) {
                    Some(hit) => {
                        open[side] = opening(from + way * hit.t).unwrap_or(CLOSED);
                        hit.t.clamp(NEAREST, 1.0)
                    }
                    None => UNKNOWN,
                };
            }
            (reach, open)
        };
        let (reach, opening) = (0..cells.len()).into_par_iter().map(look).unzip();
        run.check()?;
        Ok(Sides { reach, opening })
    }

    /// Lays opening `number` on the one wall of a cell that is nearest to `centre`, at most `limit` away: for openings so
    /// small that no line between cells goes through them. False where there is no such wall.
    pub fn lay_opening(&mut self, cells: &Cells, number: u16, centre: Vec3, limit: f32) -> bool {
        let edge = cells.cell_mm() as f32;
        let reach = ((limit / edge).ceil() as i32 + 1).min(32);
        let mut best: Option<(f32, u32, usize)> = None;
        for c in cells.round(cells.place_of(centre), reach) {
            for side in 0..6 {
                let i = c as usize;
                if cells.neighbours()[i][side] == NONE && self.opening[i][side] == CLOSED {
                    let wall = cells.centre(c) + SIDES[side] * (edge * self.reach[i][side]);
                    let far = wall.distance(centre);
                    if far <= limit && best.is_none_or(|b| (far, c, side) < b) {
                        best = Some((far, c, side));
                    }
                }
            }
        }
        if let Some((_, c, side)) = best {
            self.opening[c as usize][side] = number;
        }
        best.is_some()
    }

    /// True where opening `number` lies on some cell.
    pub fn has_opening(&self, number: u16) -> bool {
        self.opening.iter().any(|o| o.contains(&number))
    }

    /// ψ at cell `c` and along axis `axis` its slope and its second derivative, all in cells; `psi` in cells squared.
    #[inline]
    pub fn along(&self, cells: &Cells, psi: &[f64], c: usize, axis: usize) -> Along {
        let [low, high] = [2 * axis, 2 * axis + 1].map(|side| {
            let n = cells.neighbours()[c][side];
            let value = if n != NONE {
                psi[n as usize]
            } else if self.opening[c][side] != CLOSED {
                psi[c]
            } else {
                0.0
            };
            (self.reach[c][side] as f64, value)
        });
        let (fall, rise) = ((psi[c] - low.1) / low.0, (high.1 - psi[c]) / high.0);
        Along {
            value: psi[c],
            slope: (rise * low.0 + fall * high.0) / (low.0 + high.0),
            second: 2.0 * (rise - fall) / (low.0 + high.0),
        }
    }
}

/// A function along one axis near the middle of a cell.
#[derive(Clone, Copy, Debug)]
pub struct Along {
    value: f64,
    slope: f64,
    second: f64,
}

impl Along {
    /// Its integral over `length` from the middle of the cell, towards the high side or the low one.
    pub fn integral(&self, length: f64, high: bool) -> f64 {
        let slope = if high { self.slope } else { -self.slope };
        length * (self.value + length * (slope / 2.0 + length * self.second / 6.0))
    }
}

/// ψ at every cell in cells squared: times the square of the cell's edge it is in mm².
///
/// # Errors
/// [`Cancelled`].
pub fn torsion(cells: &Cells, sides: &Sides, grid: &mut Multigrid, run: &Run) -> Result<Vec<f64>, Cancelled> {
    let row = |c: usize| {
        let (mut own, mut other) = (0.0, [0.0; 6]);
        for axis in 0..3 {
            let step = |side: usize| {
                let reach = sides.reach[c][side] as f64;
                // The share of this step in the length that the second difference stands for; no slope at an opening.
                if sides.opening[c][side] == CLOSED { (1.0 / reach, reach / 2.0) } else { (0.0, reach) }
            };
            let (low, high) = (step(2 * axis), step(2 * axis + 1));
            let length = low.1 + high.1;
            for (side, step) in [(2 * axis, low), (2 * axis + 1, high)] {
                own += step.0 / length;
                if cells.neighbours()[c][side] != NONE {
                    other[side] = step.0 / length;
                }
            }
        }
        (own, other)
    };
    let (own, other) = (0..cells.len()).into_par_iter().map(row).unzip();
    let system = Lopsided { own, other };
    run.check()?;
    let link = |c: u32| cells.neighbours()[c as usize].map(|n| if n == NONE { 0.0 } else { 1.0 });
    let wall = |c: u32| {
        let is_wall =
            |side: usize| cells.neighbours()[c as usize][side] == NONE && sides.opening[c as usize][side] == CLOSED;
        (0..6).filter(|&s| is_wall(s)).map(|s| 1.0 / sides.reach[c as usize][s]).fold(0.0, |a, b| a + b)
    };
    grid.set(link, wall);
    let mut psi = vec![0.0; cells.len()];
    grid.solve_lopsided(&system, &vec![1.0; cells.len()], &mut psi, TOLERANCE, MOST_STEPS, run)?;
    psi.par_iter_mut().for_each(|p| *p = p.max(0.0));
    Ok(psi)
}
