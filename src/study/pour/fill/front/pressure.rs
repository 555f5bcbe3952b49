//! The pressure of full cells, and which of them are let loose.

use super::Front;
use crate::solve::cells::NONE;
use crate::solve::run::{Cancelled, Run};

/// A step may be so many times as long as the last one while resin is owed.
const GROWTH: f64 = 1.5;
/// Times that the set of loose cells is put right in one step.
const PASSES: usize = 3;
/// Share of the flow that may be wrong about where it comes from.
const PHANTOM: f64 = 0.02;
/// Remainder over right side at which a pressure is good enough to say which cells are loose, and to move resin by.
const TOLERANCES: [f64; 2] = [5e-3, 5e-4];

impl Front {
    /// How long the next step may be, from how long the last one was or would have been but for its pockets of gas; resin that
    /// is owed is given over that time.
    pub(super) fn planned_step(&self) -> f64 {
        if self.last_step > 0.0 { (GROWTH * self.last_step).max(self.usual_step) } else { f64::INFINITY }
    }

    /// The share of a cell that holds resin in the mean over the step to come, where `drawn` is drawn from it if it is full: a
    /// cell that has lost its resin early in a step does not weigh on the pool below for the rest of it.
    fn held_over_step(&self, c: usize, drawn: f64) -> f64 {
        let (step, now) = (self.last_step, self.fill[c]);
        let outflow = self.falling(c).1 + drawn;
        let x = outflow * step / self.creep.volume_mm3[c] as f64;
        if now <= 0.0 || x < 1e-6 {
            return now;
        }
        let lasting = (self.scratch.sweep.fallen(c) / step / outflow).min(1.0);
        lasting + (now - lasting) * (1.0 - (-x).exp()) / x
    }

    /// What leads from a full cell to cell `k` beside it that is not full: the link, as far as the gas there gives way.
    pub(super) fn way_to(&self, c: usize, side: usize, k: usize) -> f64 {
        self.creep.link_mm3[c][side] as f64 * self.give.get(self.region_of[k] as usize).unwrap_or(&1.0)
    }

    /// How far the gas of closed regions gives way over the step to come: it is squeezed while it takes resin in. With all
    /// links G into a region of volume V at pressure p, and P round it, what comes in over a time t until both balance is
    /// G·(P − p)·t/(1 + G·P·t/V), never more than V·(P − p)/P, which is Boyle's law.
    fn find_give(&mut self) {
        let step = self.planned_step();
        let mut round = vec![(0.0f64, 0.0f64); self.regions.len()];
        for c in (0..self.full.len()).filter(|&c| self.full[c]) {
            let pressure = self.potential[c] - self.drive.weight_pa_mm * self.height[c] + self.drive.outside_pa;
            for (side, k) in self.neighbours(c).into_iter().enumerate() {
                if k == NONE || self.full[k as usize] {
                    continue;
                }
                if let Some(round) = round.get_mut(self.region_of[k as usize] as usize) {
                    let g = self.creep.link_mm3[c][side] as f64;
                    round.0 += g;
                    round.1 += g * pressure;
                }
            }
        }
        let give = self.regions.iter().zip(&round).map(|(r, &(links, sum))| {
            if r.open || r.crumb || links <= 0.0 || !step.is_finite() {
                return 1.0;
            }
            let highest = r.pressure_pa.max(sum / links);
            1.0 / (1.0 + links * highest * step / r.void_mm3.max(1e-12))
        });
        self.give = give.collect();
    }

    /// Finds the pressure of full cells for the front as it stands, and lets loose those that would suck.
    pub(super) fn solve(&mut self, run: &Run) -> Result<(), Cancelled> {
        let n = self.full.len();
        let mut limited = std::mem::take(&mut self.limited);
        let mut settled = false;
        for pass in 0..PASSES {
            settled |= pass + 1 == PASSES;
            self.find_give();
            let mut held = std::mem::take(&mut self.scratch.held);
            let mut right = std::mem::take(&mut self.scratch.right);
            held.clear();
            held.resize(n, 0.0);
            right.clear();
            right.resize(n, 0.0);
            for c in (0..n).filter(|&c| self.full[c]) {
                for (side, k) in self.neighbours(c).into_iter().enumerate() {
                    if k != NONE && !self.full[k as usize] {
                        let mut g = self.way_to(c, side, k as usize);
                        if limited[c] >> side & 1 == 1 {
                            let drop = self.gas_potential(k as usize) - self.potential[c];
                            g *= self.held_over_step(k as usize, g * drop.max(0.0));
                        }
                        held[c] += g as f32;
                        right[c] += g * self.gas_potential(k as usize);
                    }
                }
            }
            let ways = (0..self.drive.inlets.len()).map(|i| (&self.inlet_cells[i], Some(self.inlet(i))));
            let ways = ways.chain((0..self.drive.outlets.len()).map(|o| (&self.outlet_cells[o], self.outlet(o))));
            for (cells, way) in ways {
                let Some((potential, share)) = way else { continue };
                for &(c, g) in cells.iter().filter(|(c, _)| self.full[*c as usize]) {
                    held[c as usize] += (g * share) as f32;
                    right[c as usize] += g * share * potential;
                }
            }
            // Potentials are taken from their mean, so that what is good enough goes by what drives, not by how high all lies.
            let sum = |v: f64| if v > 0.0 { v } else { 1.0 };
            let mean = right.iter().sum::<f64>() / sum(held.iter().map(|h| *h as f64).sum());
            right.iter_mut().zip(&held).for_each(|(r, h)| *r -= *h as f64 * mean);
            self.potential.iter_mut().for_each(|p| *p -= mean);
            let planned = self.planned_step();
            for &(c, owed) in self.owed.iter().filter(|o| self.full[o.0 as usize]) {
                right[c as usize] += owed / planned;
            }
            let tolerance = TOLERANCES[settled as usize];
            let solved = self.creep.solve_part(&self.full, &held, &right, &mut self.potential, tolerance, run);
            self.potential.iter_mut().for_each(|p| *p += mean);
            (self.scratch.held, self.scratch.right) = (held, right);
            if let Err(stopped) = solved {
                self.limited = limited;
                return Err(stopped);
            }
            if settled {
                break;
            }
            // Links through which more would come back from a cell than it holds, and those that were thought so wrongly.
            let (mut turned, mut phantom, mut out) = (Vec::new(), 0.0, 0.0);
            let mut loose: Vec<u32> = Vec::new();
            let slack = 1e-3 * self.drive.weight_pa_mm * self.creep.cells.cell_mm();
            for c in (0..n).filter(|&c| self.full[c]) {
                let pressure = self.potential[c] - self.drive.weight_pa_mm * self.height[c];
                for (side, k) in self.neighbours(c).into_iter().enumerate() {
                    if k == NONE || self.full[k as usize] {
                        continue;
                    }
                    let flow = self.way_to(c, side, k as usize) * (self.potential[c] - self.gas_potential(k as usize));
                    let is_limited = limited[c] >> side & 1 == 1;
                    if flow < 0.0 && !is_limited {
                        phantom -= flow * (1.0 - self.fill[k as usize]);
                        turned.push((c, side));
                    } else if flow > 0.0 {
                        out += flow;
                        if is_limited {
                            phantom += flow * (1.0 - self.fill[k as usize]);
                            turned.push((c, side));
                        }
                    }
                    if pressure < self.gas_over_pa(k as usize) - slack && loose.last() != Some(&(c as u32)) {
                        loose.push(c as u32);
                    }
                }
            }
            if loose.is_empty() && phantom <= PHANTOM * out {
                settled = true;
                continue;
            }
            for (c, side) in turned {
                limited[c] ^= 1 << side;
            }
            for &c in &loose {
                self.full[c as usize] = false;
                let beside = self.neighbours(c as usize).into_iter().filter(|&k| k != NONE && !self.full[k as usize]);
                self.region_of[c as usize] =
                    beside.map(|k| self.region_of[k as usize]).find(|&r| r != NONE).unwrap_or(NONE);
            }
        }
        self.limited = limited;
        Ok(())
    }
}
