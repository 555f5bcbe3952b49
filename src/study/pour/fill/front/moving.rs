//! One step: how long it is, and what moves in it.

use super::sweep::Sweep;
use super::{Front, STILL};
use crate::solve::cells::NONE;
use std::f64::consts::PI;

/// Share of its gas that a closed region may lose or gain in one step.
const GAS_SHARE: f64 = 0.1;
/// What high cells of a pool lose to low ones may be so many times what comes in before it makes steps shorter.
const CIRCULATES: f64 = 8.0;
/// A pocket is large where it holds more than so many steps' resin.
const LARGE_POCKET: f64 = 2.0;
/// Times that what pools draw in and what they give are brought together.
const BALANCED: usize = 3;

/// What the full cells that hang together take from inlets and give to cells that are not full, mm³ for 1/Pa.
#[derive(Clone, Copy, Debug)]
struct Pool {
    /// A cell of it.
    cell: u32,
    /// Taken from inlets and from what is owed, less what outlets take.
    taken: f64,
    /// What would be given.
    given: f64,
    /// What would be drawn in at the shares that cells hold now.
    back: f64,
}

impl Pool {
    /// The share of what it would give that it can: together no more than comes in.
    fn part(&self, drawn: f64) -> f64 {
        if self.given > 0.0 { ((self.taken + drawn) / self.given).clamp(0.0, 1.0) } else { 0.0 }
    }
}

impl Front {
    /// Numbers the full cells by the pool that they are in.
    fn find_pools(&mut self) -> Vec<Pool> {
        let mut pool = std::mem::take(&mut self.scratch.pool);
        let n = self.full.len();
        pool.clear();
        pool.resize(n, NONE);
        let mut pools = Vec::new();
        let mut stack = Vec::new();
        for seed in 0..n {
            if !self.full[seed] || pool[seed] != NONE {
                continue;
            }
            let number = pools.len() as u32;
            pools.push(Pool { cell: seed as u32, taken: 0.0, given: 0.0, back: 0.0 });
            pool[seed] = number;
            stack.push(seed as u32);
            while let Some(c) = stack.pop() {
                for k in self.neighbours(c as usize) {
                    if k != NONE && self.full[k as usize] && pool[k as usize] == NONE {
                        pool[k as usize] = number;
                        stack.push(k);
                    }
                }
            }
        }
        self.scratch.pool = pool;
        pools
    }

    /// Moves resin for one step. False where nothing will move any more before it sets.
    pub(super) fn advance(&mut self) -> bool {
        let n = self.full.len();
        let mut pools = self.find_pools();
        for v in [&mut self.scratch.coming, &mut self.scratch.leaving, &mut self.scratch.poured] {
            v.clear();
            v.resize(n, 0.0);
        }
        // A cell between two pools is reckoned to the first.
        for c in (0..n).filter(|&c| self.full[c]) {
            let own = self.scratch.pool[c];
            for (side, k) in self.neighbours(c).into_iter().enumerate() {
                if k == NONE || self.full[k as usize] {
                    continue;
                }
                let k = k as usize;
                let flow = self.way_to(c, side, k) * (self.potential[c] - self.gas_potential(k));
                if self.scratch.pool[k] == NONE {
                    self.scratch.pool[k] = own;
                }
                let pool = &mut pools[self.scratch.pool[k] as usize];
                if flow > 0.0 {
                    self.scratch.coming[k] += flow;
                    pool.given += flow;
                } else {
                    self.scratch.leaving[k] -= flow;
                    pool.back -= flow * self.fill[k];
                }
            }
        }
        let mut into_outlet = vec![0.0f64; self.drive.outlets.len()];
        for (o, into) in into_outlet.iter_mut().enumerate() {
            let Some((potential, share)) = self.outlet(o) else { continue };
            for &(c, g) in self.outlet_cells[o].iter().filter(|(c, _)| self.full[*c as usize]) {
                let flow = (g * share * (self.potential[c as usize] - potential)).max(0.0);
                pools[self.scratch.pool[c as usize] as usize].taken -= flow;
                *into += flow;
            }
        }
        let (mut inflow, mut net) = (0.0, 0.0);
        // Power in all, and what the channels take of it.
        let (mut power, mut in_channels) = (0.0, 0.0);
        for i in 0..self.drive.inlets.len() {
            let (potential, share) = self.inlet(i);
            let mut through = 0.0;
            for t in 0..self.inlet_cells[i].len() {
                let (c, g) = (self.inlet_cells[i][t].0 as usize, self.inlet_cells[i][t].1);
                let to = if self.full[c] { self.potential[c] } else { self.gas_potential(c) };
                let flow = g * share * (potential - to);
                if self.full[c] {
                    pools[self.scratch.pool[c] as usize].taken += flow;
                    net += flow;
                } else if flow > 0.0 {
                    self.scratch.poured[c] += flow;
                    net += flow;
                }
                inflow += flow.max(0.0);
                through += flow.max(0.0);
            }
            power += through * potential;
            in_channels += through * through * self.drive.inlets[i].resistance;
        }
        let drop_pa = if inflow > 0.0 { power / inflow - self.front_potential(&into_outlet) } else { 0.0 };
        let planned = self.planned_step();
        for &(c, owed) in self.owed.iter().filter(|o| self.full[o.0 as usize]) {
            pools[self.scratch.pool[c as usize] as usize].taken += owed / planned;
        }
        let part: Vec<f64> = pools.iter().map(|p| p.part(p.back)).collect();
        let into_region = self.region_inflows(&part);
        // How long this step is.
        let sum = |of: &dyn Fn(&Pool, f64) -> f64| pools.iter().zip(&part).map(|(p, part)| of(p, *part)).sum::<f64>();
        let front = sum(&|p, part| p.given * part);
        let moved = sum(&|p, part| (p.given * part - p.back).max(0.0)).max(front / CIRCULATES).max(inflow);
        let left = self.drive.until - self.now;
        let usual = self.volume * self.share_a_step / moved.max(1e-300);
        let mut step = left.min(usual);
        // Large pockets of gas are followed as they are squeezed; small ones come to rest in whatever time there is.
        let large = LARGE_POCKET * self.share_a_step * self.volume;
        for (r, into) in self.regions.iter().zip(&into_region) {
            if !r.open && !r.crumb && r.void_mm3 > large && into.abs() > 0.0 {
                step = step.min(GAS_SHARE * r.void_mm3 / into.abs());
            }
        }
        for (o, into) in into_outlet.iter().enumerate() {
            if let (Some(radius), true) = (self.drive.outlets[o].radius_mm, *into > 0.0) {
                step = step.min((self.drive.outlets[o].length_mm / 20.0).max(1.0) * PI * radius * radius / into);
            }
        }
        step = step.min(planned);
        let falls = (0..n).any(|c| !self.full[c] && self.fill[c] > 0.0 && self.falling(c).1 > 0.0);
        if !(step > 0.0) || (moved * left < STILL * self.volume && !falls && into_outlet.iter().all(|q| *q <= 0.0)) {
            return false;
        }
        for (c, owed) in &mut self.owed {
            if self.full[*c as usize] {
                *owed -= *owed * step / planned;
            }
        }
        self.owed.retain(|o| o.1.abs() > 1e-12);
        if drop_pa > 0.0 {
            self.spent.add(step, (in_channels / (inflow * drop_pa)).min(1.0), drop_pa);
        }
        self.move_for(step, &pools, part);
        let taken: f64 = into_outlet.iter().sum();
        self.inflow = net - taken;
        self.poured_mm3 += self.inflow * step;
        for (o, into) in into_outlet.iter().enumerate() {
            if let (Some(radius), true) = (self.drive.outlets[o].radius_mm, *into > 0.0) {
                let (rises, missing) =
                    (into * step / (PI * radius * radius), self.drive.outlets[o].length_mm - self.drunk_mm[o]);
                if rises >= missing {
                    self.drunk_mm[o] = self.drive.outlets[o].length_mm;
                    // It showed within the step, so that channels of unlike lengths do not show at once.
                    self.shown_at[o] = Some(self.now - step * (1.0 - missing.max(0.0) / rises));
                } else {
                    self.drunk_mm[o] += rises;
                }
            }
        }
        self.last_step = step;
        self.usual_step = usual.min(left);
        true
    }

    /// Mean potential where resin goes: in the gas before the front and in outlets.
    fn front_potential(&self, into_outlet: &[f64]) -> f64 {
        let s = &self.scratch;
        let cells = (0..self.full.len()).filter(|&k| !self.full[k]).map(|k| (s.coming[k] + s.poured[k], k));
        let of_cells = cells.filter(|c| c.0 > 0.0).map(|(flow, k)| (flow, flow * self.gas_potential(k)));
        let outlets = into_outlet.iter().enumerate();
        let of_outlets = outlets.filter_map(|(o, flow)| self.outlet(o).map(|(potential, _)| (*flow, flow * potential)));
        let (flow, sum) = of_cells.chain(of_outlets).fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
        if flow > 0.0 { sum / flow } else { f64::INFINITY }
    }

    /// What comes into each region of gas.
    fn region_inflows(&self, part: &[f64]) -> Vec<f64> {
        let mut into = vec![0.0f64; self.regions.len()];
        let s = &self.scratch;
        for k in (0..self.full.len()).filter(|&k| !self.full[k]) {
            if let Some(into) = into.get_mut(self.region_of[k] as usize) {
                let coming = if s.coming[k] > 0.0 { part[s.pool[k] as usize] * s.coming[k] } else { 0.0 };
                *into += coming + s.poured[k] - self.fill[k] * s.leaving[k];
            }
        }
        into
    }

    /// Moves resin for `time`; pools begin by giving `part` of what they would.
    fn move_for(&mut self, time: f64, pools: &[Pool], mut part: Vec<f64>) {
        let mut sweep: Sweep = std::mem::take(&mut self.scratch.sweep);
        for pass in 0..BALANCED {
            self.sweep(time, &part, &mut sweep);
            if pass + 1 < BALANCED {
                for ((part, pool), drawn) in part.iter_mut().zip(pools).zip(&sweep.drawn) {
                    *part = pool.part(drawn / time);
                }
            }
        }
        for ((pool, part), drawn) in pools.iter().zip(&part).zip(&sweep.drawn) {
            let kept = (pool.taken - part * pool.given) * time + drawn;
            if kept != 0.0 {
                self.owed.push((pool.cell, kept));
            }
        }
        for &(c, after) in &sweep.after {
            self.fill[c as usize] = after;
        }
        let began = self.now;
        self.now += time;
        let mut over = Vec::with_capacity(sweep.over.len());
        for &(c, when, excess) in &sweep.over {
            // A cell let loose stays so while no more comes in than falls out of it.
            self.becomes_full(c as usize, began + when * time);
            over.push((c, excess));
        }
        self.hand_on(over, time);
        self.scratch.sweep = sweep;
    }
}
