//! A potential on linked cells: flow through links is weight times difference, and what flows into a cell is given.
//!
//! Conjugate gradients with a multigrid cycle as preconditioner. Cells are gathered in blocks of 2×2×2, those of one
//! block that hang together through links inside it becoming one cell of the next level, so that two stretches that only
//! lie side by side are never tied together. A link of the next level is half the sum of the links that it stands for:
//! the cells that it joins lie twice as far apart (the over-correction of Braess 1995, which makes constant interpolation
//! good enough). Each level is smoothed red cells first and then black ones going down, and the other way round going
//! up, which keeps the preconditioner symmetric; all neighbours of a red cell are black, on every level. Coarse levels
//! turn to the next one twice (a W cycle), which halves the steps that a front needs.
//!
//! The pattern of blocks is made once for a solid (`level`); weights may be changed at small cost, as a front moves on.
//! Cells all of whose weights are nothing are left out, and cost next to nothing (`active`).
//!
//! The cycle works in single precision, the gradients in double. Results do not depend on the number of threads.

mod active;
mod level;

use crate::solve::cells::Cells;
use crate::solve::run::{Cancelled, Run};
use active::{Active, Weights};
use level::Level;
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
    weights: Vec<Weights>,
    active: Vec<Active>,
    /// Diagonal of the rows that take part.
    diagonal: Vec<f64>,
    gradients: Gradients,
}

/// What conjugate gradients work with, for the rows that take part; kept from one solution to the next.
#[derive(Clone, Debug, Default)]
struct Gradients {
    x: Vec<f64>,
    remainder: Vec<f64>,
    direction: Vec<f64>,
    image: Vec<f64>,
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
        let weights = levels.iter().map(Weights::of).collect();
        let active = vec![Active::default(); levels.len()];
        Ok(Multigrid { row_of, levels, weights, active, ..Multigrid::default() })
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
        self.weights[0].set_finest(&self.levels[0], &weight, &held);
        for l in 0..self.levels.len() {
            let (fine, coarse) = self.weights.split_at_mut(l + 1);
            self.active[l].take(&self.levels[l], &fine[l], coarse.first_mut());
            if l > 0 {
                let (finer, taken) = self.active.split_at_mut(l);
                finer[l - 1].belong_to(&self.levels[l - 1], &taken[0]);
            }
        }
        let first = &self.active[0];
        self.diagonal.resize(first.len(), 0.0);
        self.diagonal.par_iter_mut().with_min_len(CHUNK).enumerate().for_each(|(row, d)| *d = first.diagonal(row));
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
        let mut work = std::mem::take(&mut self.gradients);
        let solved = self.gradients(&mut work, right, x, tolerance, most, run);
        self.gradients = work;
        solved
    }

    fn gradients(
        &mut self,
        work: &mut Gradients,
        right: &[f64],
        x: &mut [f64],
        tolerance: f64,
        most: usize,
        run: &Run,
    ) -> Result<Solved, Cancelled> {
        let n = self.active[0].len();
        let cells: Vec<u32> = self.active[0].rows.iter().map(|&row| self.levels[0].cells[row as usize]).collect();
        work.x.clear();
        work.x.extend(cells.iter().map(|&c| x[c as usize]));
        work.remainder.clear();
        work.remainder.extend(cells.iter().map(|&c| right[c as usize]));
        let scale = dot(&work.remainder, &work.remainder).sqrt();
        work.direction.clear();
        work.direction.resize(n, 0.0);
        work.image.clear();
        work.image.resize(n, 0.0);
        self.apply(&work.x, &mut work.image);
        let (mut rr, mut most_left) = step(0.0, 1.0, work);
        let mut before = 0.0;
        let mut solved = Solved::default();
        loop {
            solved.remainder = if scale > 0.0 { rr.sqrt() / scale } else { 0.0 };
            if !(solved.remainder > tolerance) || solved.steps >= most {
                break;
            }
            run.check()?;
            let shrunk = self.cycle(&work.remainder, most_left);
            let near = &self.active[0].x;
            let rz = shrunk * sum_of(n, |row| work.remainder[row] * near[row] as f64);
            if !(rz > 0.0) {
                break;
            }
            let beta = if solved.steps == 0 { 0.0 } else { rz / before };
            before = rz;
            pairs(&mut work.direction, near, |p, z| *p = *z as f64 * shrunk + beta * *p);
            let pq = self.apply(&work.direction, &mut work.image);
            if !(pq > 0.0) {
                break;
            }
            (rr, most_left) = step(rz / pq, rz / pq, work);
            solved.steps += 1;
        }
        for (&c, found) in cells.iter().zip(&work.x) {
            x[c as usize] = *found;
        }
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
            self.cycle_of_rows(&p, &mut ph);
            apply(&ph, &mut v);
            alpha = rho / dot(&shadow, &v);
            if !alpha.is_finite() {
                break;
            }
            pairs(&mut r, &v, |r, v| *r -= alpha * v);
            self.cycle_of_rows(&r, &mut sh);
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

    /// What the system makes of `x`, over the rows that take part; gives the sum of both over all rows.
    fn apply(&self, x: &[f64], image: &mut [f64]) -> f64 {
        let (first, diagonal) = (&self.active[0], &self.diagonal);
        let part = |(c, image): (usize, &mut [f64])| {
            let mut sum = 0.0;
            for (i, image) in image.iter_mut().enumerate() {
                let row = c * CHUNK + i;
                *image = diagonal[row] * x[row] - first.over_links(row, x);
                sum += x[row] * *image;
            }
            sum
        };
        let sums: Vec<f64> = image.par_chunks_mut(CHUNK).enumerate().map(part).collect();
        sums.iter().fold(0.0, |a, b| a + b)
    }

    /// One cycle over all levels for a right side with the largest entry `most`: what stands on the first level then, times
    /// what is given back, is near to the solution.
    fn cycle(&mut self, right: &[f64], most: f64) -> f64 {
        // Scaled, so that single precision never runs out of its range.
        let scale = if most > 0.0 && most.is_finite() { most } else { 1.0 };
        pairs(&mut self.active[0].right, right, |b, r| *b = (r / scale) as f32);
        active::cycle(&mut self.active, 1);
        scale
    }

    /// The same for all rows of the finest level; nothing stands on those that take no part.
    fn cycle_of_rows(&mut self, right: &[f64], near: &mut [f64]) {
        let taking: Vec<f64> = self.active[0].rows.iter().map(|&row| right[row as usize]).collect();
        let most = taking.iter().fold(0.0f64, |m, v| m.max(v.abs()));
        let scale = self.cycle(&taking, most);
        near.fill(0.0);
        for (&row, x) in self.active[0].rows.iter().zip(&self.active[0].x) {
            near[row as usize] = *x as f64 * scale;
        }
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

/// Goes `along` the direction, and takes `back` times its image from the remainder; gives the remainder's sum of squares and
/// its largest entry.
fn step(along: f64, back: f64, work: &mut Gradients) -> (f64, f64) {
    let part = |(((x, r), p), q): (((&mut [f64], &mut [f64]), &[f64]), &[f64])| {
        let (mut sum, mut most) = (0.0, 0.0f64);
        for i in 0..x.len() {
            x[i] += along * p[i];
            r[i] -= back * q[i];
            sum += r[i] * r[i];
            most = most.max(r[i].abs());
        }
        (sum, most)
    };
    let chunks = work.x.par_chunks_mut(CHUNK).zip(work.remainder.par_chunks_mut(CHUNK));
    let chunks = chunks.zip(work.direction.par_chunks(CHUNK)).zip(work.image.par_chunks(CHUNK));
    let parts: Vec<(f64, f64)> = chunks.map(part).collect();
    parts.iter().fold((0.0, 0.0), |(sum, most), p| (sum + p.0, most.max(p.1)))
}

fn pairs<A: Send, B: Sync>(a: &mut [A], b: &[B], f: impl Fn(&mut A, &B) + Sync) {
    a.par_chunks_mut(CHUNK).zip(b.par_chunks(CHUNK)).for_each(|(a, b)| a.iter_mut().zip(b).for_each(|(a, b)| f(a, b)));
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    sum_of(a.len(), |i| a[i] * b[i])
}

/// Sum over all rows, in an order that does not depend on the number of threads.
fn sum_of(rows: usize, of_row: impl Fn(usize) -> f64 + Sync) -> f64 {
    let chunk = |c: usize| (c * CHUNK..((c + 1) * CHUNK).min(rows)).map(&of_row).fold(0.0, |a, b| a + b);
    let parts: Vec<f64> = (0..rows.div_ceil(CHUNK)).into_par_iter().map(chunk).collect();
    parts.iter().fold(0.0, |a, b| a + b)
}
