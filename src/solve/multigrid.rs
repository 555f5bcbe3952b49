//! A potential on linked cells: flow through links is weight times difference, and what flows into a cell is given.
//!
//! Conjugate gradients with a multigrid cycle as preconditioner. Cells are gathered in blocks of 2×2×2, those of one
//! block that hang together through links inside it becoming one cell of the next level, so that two stretches that only
//! lie side by side are never tied together. A link of the next level is half the sum of the links that it stands for:
//! the cells that it joins lie twice as far apart (the over-correction of Braess 1995, which makes constant interpolation
//! good enough). Each level is smoothed red cells first and then black ones going down, and the other way round going
//! up, which keeps the preconditioner symmetric; all neighbours of a red cell are black, on every level.
//!
//! The pattern of blocks is made once for a solid; weights may be changed at small cost, as a front moves on. Cells all of
//! whose weights are nothing are left out.
//!
//! The cycle works in single precision, the gradients in double. Results do not depend on the number of threads.

mod level;

use crate::solve::cells::Cells;
use crate::solve::run::{Cancelled, Run};
use level::{Level, Values};
use rayon::prelude::*;

/// Most levels: 2¹⁶ cells along.
const MOST_LEVELS: usize = 17;
/// Rows that are summed together; the order of sums does not depend on the number of threads.
const CHUNK: usize = 4096;

/// How a solution ended.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Solved {
    /// Steps taken.
    pub steps: usize,
    /// Length of the remainder over length of the right side.
    pub remainder: f64,
}

/// Weighted links between the cells of a solid, with what is needed to solve for the potential on them.
#[derive(Clone, Debug, Default)]
pub struct Multigrid {
    /// Row of every cell on the finest level: red cells first.
    row_of: Vec<u32>,
    levels: Vec<Level>,
    values: Vec<Values>,
    diagonal: Vec<f64>,
}

/// A system that is not symmetric: in the row of a cell its `own` times x less the sum of `other` times x over its neighbours.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lopsided {
    /// Diagonal, for each cell.
    pub own: Vec<f64>,
    /// Weight of each neighbour, for each cell; nothing where there is none.
    pub other: Vec<[f64; 6]>,
}

impl Multigrid {
    /// The pattern for the cells of a solid, all weights nothing.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn new(cells: &Cells, run: &Run) -> Result<Multigrid, Cancelled> {
        let (first, row_of) = Level::of_cells(cells);
        let mut levels = vec![first];
        while levels.len() < MOST_LEVELS {
            run.check()?;
            let last = levels.len() - 1;
            if !levels[last].has_links() {
                break;
            }
            let next = levels[last].coarser();
            levels.push(next);
        }
        let values = levels.iter().map(Values::of).collect();
        let diagonal = vec![0.0; row_of.len()];
        Ok(Multigrid { row_of, levels, values, diagonal })
    }

    /// Number of cells.
    pub fn len(&self) -> usize {
        self.row_of.len()
    }

    /// True where there is no cell.
    pub fn is_empty(&self) -> bool {
        self.row_of.is_empty()
    }

    /// Sets the weights of all links, and for every cell the weight of its link to potential 0.
    ///
    /// `weight` gives those of cell i in the order of [`Cells::neighbours`]; it must be the same seen from both ends,
    /// and nothing where there is no neighbour.
    pub fn set(&mut self, weight: impl Fn(u32) -> [f32; 6] + Sync, held: impl Fn(u32) -> f32 + Sync) {
        self.levels[0].set_finest(&mut self.values[0], &weight, &held);
        for l in 1..self.levels.len() {
            let (fine, coarse) = self.values.split_at_mut(l);
            self.levels[l - 1].gather(&fine[l - 1], &mut coarse[0]);
            self.levels[l].finish(&mut coarse[0]);
        }
        self.diagonal.clear();
        self.diagonal.resize(self.row_of.len(), 0.0);
        let (level, values) = (&self.levels[0], &self.values[0]);
        self.diagonal.par_iter_mut().enumerate().for_each(|(row, d)| {
            let links = level.links(row).map(|e| values.weight[e] as f64).fold(0.0, |a, b| a + b);
            *d = links + values.held[row] as f64;
        });
    }

    /// Solves Σ weight·(x_i − x_k) + held·x_i = `right`_i for all cells that have a weight, from the guess in `x`.
    ///
    /// Stops once the remainder is `tolerance` times the right side, or after `most` steps. In a part of the solid that
    /// has no link to potential 0 at all the right side must add up to nothing; x is then any one solution.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn solve(
        &mut self,
        right: &[f64],
        x: &mut [f64],
        tolerance: f64,
        most: usize,
        run: &Run,
    ) -> Result<Solved, Cancelled> {
        let n = self.row_of.len();
        let b = self.to_rows(right);
        let mut y = self.to_rows(x);
        let mut r = vec![0.0; n];
        self.apply(&y, &mut r);
        pairs(&mut r, &b, |r, b| *r = b - *r);
        // Cells without weights take no part.
        pairs(&mut r, &self.diagonal, |r, &d| *r = if d > 0.0 { *r } else { 0.0 });
        let scale = self.scale(&b);
        let mut solved = Solved::default();
        let (mut z, mut p, mut q) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
        let mut before = 0.0;
        loop {
            solved.remainder = if scale > 0.0 { dot(&r, &r).sqrt() / scale } else { 0.0 };
            if !(solved.remainder > tolerance) || solved.steps >= most {
                break;
            }
            run.check()?;
            self.cycle(&r, &mut z);
            let rz = dot(&r, &z);
            if !(rz > 0.0) {
                break;
            }
            let beta = if solved.steps == 0 { 0.0 } else { rz / before };
            before = rz;
            pairs(&mut p, &z, |p, z| *p = z + beta * *p);
            self.apply(&p, &mut q);
            let pq = dot(&p, &q);
            if !(pq > 0.0) {
                break;
            }
            let alpha = rz / pq;
            pairs(&mut y, &p, |y, p| *y += alpha * p);
            pairs(&mut r, &q, |r, q| *r -= alpha * q);
            solved.steps += 1;
        }
        self.to_cells(&y, x);
        Ok(solved)
    }

    /// Solves a system that is near to the one set, but not symmetric, from the guess in `x`: stabilised bi-conjugate
    /// gradients (van der Vorst 1992).
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn solve_lopsided(
        &mut self,
        system: &Lopsided,
        right: &[f64],
        x: &mut [f64],
        tolerance: f64,
        most: usize,
        run: &Run,
    ) -> Result<Solved, Cancelled> {
        let n = self.row_of.len();
        let own = self.to_rows(&system.own);
        let other = self.levels[0].entries(&self.row_of, &system.other);
        let level = self.levels[0].clone();
        let apply = |x: &[f64], y: &mut [f64]| {
            y.par_chunks_mut(CHUNK).enumerate().for_each(|(c, y)| {
                for (i, y) in y.iter_mut().enumerate() {
                    let row = c * CHUNK + i;
                    let links = level.links(row).map(|e| other[e] * x[level.to[e] as usize]).fold(0.0, |a, b| a + b);
                    *y = own[row] * x[row] - links;
                }
            });
        };
        let b = self.to_rows(right);
        let mut y = self.to_rows(x);
        let mut r = vec![0.0; n];
        apply(&y, &mut r);
        pairs(&mut r, &b, |r, b| *r = b - *r);
        let scale = dot(&b, &b).sqrt();
        let shadow = r.clone();
        let (mut p, mut v, mut t) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
        let (mut ph, mut sh) = (vec![0.0; n], vec![0.0; n]);
        let (mut rho, mut alpha, mut omega) = (1.0, 1.0, 1.0);
        let mut solved = Solved::default();
        loop {
            solved.remainder = if scale > 0.0 { dot(&r, &r).sqrt() / scale } else { 0.0 };
            if !(solved.remainder > tolerance) || solved.steps >= most {
                break;
            }
            run.check()?;
            let next = dot(&shadow, &r);
            if next == 0.0 || omega == 0.0 {
                break;
            }
            let beta = if solved.steps == 0 { 0.0 } else { next / rho * (alpha / omega) };
            rho = next;
            pairs(&mut p, &v, |p, v| *p -= omega * v);
            pairs(&mut p, &r, |p, r| *p = r + beta * *p);
            self.cycle(&p, &mut ph);
            apply(&ph, &mut v);
            alpha = rho / dot(&shadow, &v);
            if !alpha.is_finite() {
                break;
            }
            pairs(&mut r, &v, |r, v| *r -= alpha * v);
            self.cycle(&r, &mut sh);
            apply(&sh, &mut t);
            let tt = dot(&t, &t);
            omega = if tt > 0.0 { dot(&t, &r) / tt } else { 0.0 };
            pairs(&mut y, &ph, |y, p| *y += alpha * p);
            pairs(&mut y, &sh, |y, s| *y += omega * s);
            pairs(&mut r, &t, |r, t| *r -= omega * t);
            solved.steps += 1;
        }
        self.to_cells(&y, x);
        Ok(solved)
    }

    /// Length of the right side over the cells that take part.
    fn scale(&self, b: &[f64]) -> f64 {
        b.iter().zip(&self.diagonal).filter(|(_, d)| **d > 0.0).map(|(b, _)| b * b).fold(0.0, |a, b| a + b).sqrt()
    }

    fn apply(&self, x: &[f64], y: &mut [f64]) {
        let (level, weight) = (&self.levels[0], &self.values[0].weight);
        y.par_chunks_mut(CHUNK).enumerate().for_each(|(c, y)| {
            for (i, y) in y.iter_mut().enumerate() {
                let row = c * CHUNK + i;
                if self.diagonal[row] == 0.0 {
                    *y = 0.0;
                    continue;
                }
                let mut sum = self.diagonal[row] * x[row];
                for e in level.links(row) {
                    sum -= weight[e] as f64 * x[level.to[e] as usize];
                }
                *y = sum;
            }
        });
    }

    /// One cycle over all levels: z is near to the solution for r.
    fn cycle(&mut self, r: &[f64], z: &mut [f64]) {
        let first = &mut self.values[0];
        // Scaled, so that single precision never runs out of its range.
        let most = r.par_chunks(CHUNK).map(|c| c.iter().fold(0.0f64, |m, v| m.max(v.abs()))).reduce(|| 0.0, f64::max);
        let scale = if most > 0.0 && most.is_finite() { most } else { 1.0 };
        first.right.par_iter_mut().zip(r).for_each(|(b, r)| *b = (r / scale) as f32);
        level::cycle(&self.levels, &mut self.values);
        z.par_iter_mut().zip(&self.values[0].x).for_each(|(z, x)| *z = *x as f64 * scale);
    }

    fn to_rows(&self, cells: &[f64]) -> Vec<f64> {
        let mut rows = vec![0.0; cells.len()];
        for (cell, &row) in self.row_of.iter().enumerate() {
            rows[row as usize] = cells[cell];
        }
        rows
    }

    fn to_cells(&self, rows: &[f64], cells: &mut [f64]) {
        cells.par_iter_mut().zip(&self.row_of).for_each(|(cell, &row)| *cell = rows[row as usize]);
    }
}

fn pairs(a: &mut [f64], b: &[f64], f: impl Fn(&mut f64, &f64) + Sync) {
    a.par_chunks_mut(CHUNK).zip(b.par_chunks(CHUNK)).for_each(|(a, b)| a.iter_mut().zip(b).for_each(|(a, b)| f(a, b)));
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    let part = |(a, b): (&[f64], &[f64])| a.iter().zip(b).fold(0.0, |sum, (a, b)| sum + a * b);
    let parts: Vec<f64> = a.par_chunks(CHUNK).zip(b.par_chunks(CHUNK)).map(part).collect();
    parts.iter().fold(0.0, |sum, p| sum + p)
}
