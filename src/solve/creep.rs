//! Creeping flow through a solid of any shape: the resistance of the links between its cells.
//!
//! Velocity is −(ψ/μ)·∇p with ψ from [`crate::solve::torsion`]. That is exact for long channels of any section, slots, ducts
//! and pipes alike (Poiseuille flow: Bird, Stewart & Lightfoot, *Transport Phenomena*), since p is even over the section
//! there; the local gap alone would let a square duct through 2.05 times and a pipe 2.47 times too freely.
//!
//! A link carries the integral of ψ over the column between the middles of its two cells. Columns end at the wall, not at
//! the face of a cell, and what a column holds beyond its last middle is given to its last link: so no piece of the section
//! is lost on the steps that a wall turned on the grid makes.

use crate::mesh::tree::Tree;
use crate::solve::cells::{Cells, NONE};
use crate::solve::multigrid::{Multigrid, Solved};
use crate::solve::run::{Cancelled, Run};
use crate::solve::torsion::{CLOSED, Sides, torsion};
use glam::Vec3;
use rayon::prelude::*;
use std::sync::Arc;

/// Least that an end of a column is taken to be away from the middle of its cell, in cells.
const NEAREST_OPENING: f32 = 0.1;

/// Where a cell touches an opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// The cell.
    pub cell: u32,
    /// Number of the opening.
    pub opening: u16,
    /// Conductance from the middle of the cell to the opening, mm³: times pressure over viscosity it is a flow in mm³/s.
    pub conductance_mm3: f32,
}

/// A solid with what its links conduct.
#[derive(Clone, Debug)]
pub struct Creep {
    /// Its cells.
    pub cells: Arc<Cells>,
    /// Conductance of each link, mm³, in the order of [`Cells::neighbours`].
    pub link_mm3: Vec<[f32; 6]>,
    /// Where cells touch openings, by cell.
    pub touches: Vec<Touch>,
    /// Volume that each cell stands for, mm³; together the volume of the solid.
    pub volume_mm3: Vec<f32>,
    /// ψ at each cell, mm².
    pub psi_mm2: Vec<f32>,
    grid: Multigrid,
}

impl Creep {
    /// Prepares the flow through `cells`, whose surface `tree` holds and which encloses `volume_mm3`. `opening` says which
    /// opening a point of the surface belongs to.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn new(
        cells: Cells,
        tree: &Tree,
        volume_mm3: f64,
        opening: impl Fn(Vec3) -> Option<u16> + Sync,
        run: &Run,
    ) -> Result<Creep, Cancelled> {
        let sides = Sides::of(&cells, tree, opening, run)?;
        Creep::with_sides(cells, &sides, volume_mm3, run)
    }

    /// The same where what stands beside the cells is known already.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn with_sides(cells: Cells, sides: &Sides, volume_mm3: f64, run: &Run) -> Result<Creep, Cancelled> {
        let mut grid = Multigrid::new(&cells, run)?;
        let psi = torsion(&cells, sides, &mut grid, run)?;
        let columns: Vec<Column> =
            (0..cells.len()).into_par_iter().map(|c| Column::of(&cells, sides, &psi, c)).collect();
        run.check()?;
        let edge = cells.cell_mm();
        let cube = edge.powi(3);
        let link_mm3 = (0..cells.len())
            .into_par_iter()
            .map(|c| {
                let mut link = [0.0; 6];
                for side in 0..6 {
                    let n = cells.neighbours()[c][side];
                    if n != NONE {
                        let sum = columns[c].towards(side) + columns[n as usize].towards(side ^ 1);
                        link[side] = (sum * cube) as f32;
                    }
                }
                link
            })
            .collect();
        let mut touches = Vec::new();
        for c in 0..cells.len() {
            for side in 0..6 {
                let opening = sides.opening[c][side];
                if opening != CLOSED {
                    let far = sides.reach[c][side].max(NEAREST_OPENING) as f64;
                    let conductance_mm3 = (columns[c].through[side / 2] / far * cube) as f32;
                    touches.push(Touch { cell: c as u32, opening, conductance_mm3 });
                }
            }
        }
        let sum = columns.iter().map(|c| c.volume).fold(0.0, |a, b| a + b);
        let each = if sum > 0.0 { volume_mm3.abs() / sum } else { 0.0 };
        let volume_mm3 = columns.iter().map(|c| (c.volume * each) as f32).collect();
        let psi_mm2 = psi.iter().map(|p| (p * edge * edge) as f32).collect();
        Ok(Creep { cells: Arc::new(cells), link_mm3, touches, volume_mm3, psi_mm2, grid })
    }

    /// Pressure with the whole solid full: each opening at the pressure that `at_opening` gives, or closed.
    ///
    /// Gives the pressure of each cell and how the solution ended.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn pressure(
        &mut self,
        at_opening: impl Fn(u16) -> Option<f64>,
        run: &Run,
    ) -> Result<(Vec<f64>, Solved), Cancelled> {
        let n = self.cells.len();
        let (mut held, mut right) = (vec![0.0f32; n], vec![0.0f64; n]);
        for t in &self.touches {
            if let Some(p) = at_opening(t.opening) {
                held[t.cell as usize] += t.conductance_mm3;
                right[t.cell as usize] += t.conductance_mm3 as f64 * p;
            }
        }
        let mut pressure = vec![0.0; n];
        let (grid, link) = (&mut self.grid, &self.link_mm3);
        grid.set(|c| link[c as usize], |c| held[c as usize]);
        let solved = grid.solve(&right, &mut pressure, 1e-8, 400, run)?;
        Ok((pressure, solved))
    }

    /// What flows in through opening `number` when it is held at `at_opening` over the pressure of the cells, mm³/s times
    /// viscosity over pressure.
    pub fn inflow(&self, number: u16, at_opening: f64, pressure: &[f64]) -> f64 {
        let through = |t: &&Touch| t.opening == number;
        let flow = |t: &Touch| t.conductance_mm3 as f64 * (at_opening - pressure[t.cell as usize]);
        self.touches.iter().filter(through).map(flow).fold(0.0, |a, b| a + b)
    }

    /// Potential of the cells that take `part`, joined by the links between them: `held` is the conductance from each to
    /// potential 0 and `right` what flows in. Those that take no part keep what stands in `x`.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn solve_part(
        &mut self,
        part: &[bool],
        held: &[f32],
        right: &[f64],
        x: &mut [f64],
        tolerance: f64,
        run: &Run,
    ) -> Result<Solved, Cancelled> {
        let (grid, link, neighbours) = (&mut self.grid, &self.link_mm3, self.cells.neighbours());
        let weight = |c: u32| {
            let c = c as usize;
            let mut w = [0.0f32; 6];
            if part[c] {
                for side in 0..6 {
                    let k = neighbours[c][side];
                    if k != NONE && part[k as usize] {
                        w[side] = link[c][side];
                    }
                }
            }
            w
        };
        grid.set(weight, |c| held[c as usize]);
        grid.solve(right, x, tolerance, 100, run)
    }
}

/// What one cell gives to the columns through it along the three axes, in cells.
#[derive(Clone, Copy, Debug)]
struct Column {
    /// ∫ψ along the axis from the middle to the end of the cell's share on each side, over the cell's section.
    half: [f64; 6],
    /// Sides on which the column ends at a wall.
    ends: [bool; 6],
    /// Mean ψ over the cell's section square to each axis.
    through: [f64; 3],
    /// Volume, in cells.
    volume: f64,
}

impl Column {
    fn of(cells: &Cells, sides: &Sides, psi: &[f64], c: usize) -> Column {
        let linked = |side: usize| cells.neighbours()[c][side] != NONE;
        let length = |side: usize| if linked(side) { 0.5 } else { sides.reach[c][side] as f64 };
        let mut half = [0.0; 6];
        for axis in 0..3 {
            let along = sides.along(cells, psi, c, axis);
            for high in [false, true] {
                let side = 2 * axis + high as usize;
                half[side] = along.integral(length(side), high).max(0.0);
            }
        }
        // What the cell's section holds more or less than ψ at its middle, from the two axes square to a column.
        let off = [0, 1, 2].map(|axis| half[2 * axis] + half[2 * axis + 1] - psi[c]);
        let through = [0, 1, 2].map(|axis| (psi[c] + off[(axis + 1) % 3] + off[(axis + 2) % 3]).max(0.1 * psi[c]));
        for side in 0..6 {
            half[side] *= if psi[c] > 0.0 { through[side / 2] / psi[c] } else { 0.0 };
        }
        let long = [0, 1, 2].map(|axis| length(2 * axis) + length(2 * axis + 1) - 1.0);
        Column {
            half,
            ends: std::array::from_fn(|side| !linked(side) && sides.opening[c][side] == CLOSED),
            through,
            volume: (1.0 + long[0] + long[1] + long[2]).max(0.1),
        }
    }

    /// What the cell gives to its link on a side: its half of the column, and the other half where the column ends there.
    fn towards(&self, side: usize) -> f64 {
        self.half[side] + if self.ends[side ^ 1] { self.half[side ^ 1] } else { 0.0 }
    }
}
