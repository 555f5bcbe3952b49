//! The front of resin as it moves through the cells of a cavity.
//!
//! Full cells carry a pressure; all others hold gas, and perhaps some resin. In steps of a small share of the volume the
//! pressure of the full cells is found for the front as it stands, and resin is moved by it until the step is over; what
//! a cell cannot take goes on to its neighbours. Pressure never falls under that of the gas beside it: full cells that
//! would suck are let loose, and resin in cells that are not full falls by its own weight alone, so that it can pour down
//! from a gate and gather below.
//!
//! Nothing here knows the viscosity: velocity goes as pressure over viscosity everywhere, so the front is followed in
//! ∫dt/μ, from which [`super::viscosity`] makes seconds for any resin and temperature.

use super::gas::{self, Closed, Region};
use crate::solve::cells::NONE;
use crate::solve::creep::Creep;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use std::f64::consts::PI;

/// Steps that the volume is filled in at least.
const STEPS: f64 = 200.0;
/// Steps in all, at most: gas that is squeezed slowly and resin that falls take more.
const MOST_STEPS: usize = 6000;
/// Times that the set of loose cells is put right in one step.
const PASSES: usize = 3;
/// Share of the flow that may be wrong about where it comes from.
const PHANTOM: f64 = 0.02;
/// Small moves inside one step, at most. More would take fewer pressures, but where resin falls the time of the whole fill then
/// comes out longer: by a tenth with 256 of them in the demo handle.
const MOST_MOVES: f64 = 64.0;
/// Share of its gas that a closed region may lose or gain in one step.
const GAS_SHARE: f64 = 0.1;
/// Remainder over right side at which a pressure is good enough.
const TOLERANCE: f64 = 1e-4;
/// Steps without an open region after which the front is looked at for rest.
const QUIET_STEPS: usize = 40;
/// What counts as full.
const FULL: f64 = 1.0 - 1e-6;
/// The front stands still where what would still come in is less than this share of the volume.
const STILL: f64 = 1e-3;

/// Where resin comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inlet {
    /// Number of the opening in the cells' surface.
    pub opening: u16,
    /// Height, along up, of the open level of resin that feeds it, mm.
    pub level_mm: f64,
    /// Pressure on that level over the one outside, Pa.
    pub over_pa: f64,
    /// Resistance of the channel from there, 1/mm³: pressure over flow and viscosity.
    pub resistance: f64,
}

/// Where air leaves, and resin after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlet {
    /// Number of the opening in the cells' surface.
    pub opening: u16,
    /// Radius of its channel, mm; none where the opening is open at once to the outside and drinks nothing.
    pub radius_mm: Option<f64>,
    /// Length of its channel, mm.
    pub length_mm: f64,
    /// Rise of the channel over its length, mm.
    pub rise_mm: f64,
    /// Height of the opening, along up, mm.
    pub height_mm: f64,
}

/// What drives the front.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// Where resin comes in.
    pub inlets: Vec<Inlet>,
    /// Where air leaves.
    pub outlets: Vec<Outlet>,
    /// Up, of length 1.
    pub up: Vec3,
    /// Weight of the resin, Pa/mm.
    pub weight_pa_mm: f64,
    /// Pressure outside: of the chamber, Pa.
    pub outside_pa: f64,
    /// ∫dt/μ at which the resin does not move any more, 1/Pa.
    pub until: f64,
}

/// Resistance of a round channel, 1/mm³: 8·length/(π·radius⁴) (Hagen and Poiseuille), and of its mouth in a wall 3/(2·radius³),
/// half of Sampson's orifice (Phil. Trans. A 182, 1891).
pub fn channel_resistance(length_mm: f64, radius_mm: f64) -> f64 {
    8.0 * length_mm / (PI * radius_mm.powi(4)) + 1.5 / radius_mm.powi(3)
}

/// The front and all that it left behind.
#[derive(Debug)]
pub struct Front {
    creep: Creep,
    drive: Drive,
    height: Vec<f64>,
    /// Touches by inlet and by outlet, as cell and conductance.
    inlet_cells: Vec<Vec<(u32, f64)>>,
    outlet_cells: Vec<Vec<(u32, f64)>>,
    /// Share of each cell that holds resin.
    fill: Vec<f64>,
    full: Vec<bool>,
    /// ∫dt/μ when each cell became full; infinite before.
    pub filled_at: Vec<f32>,
    potential: Vec<f64>,
    /// Sides of a full cell through which no more comes back from the neighbour than it holds, as bits.
    limited: Vec<u8>,
    regions: Vec<Region>,
    region_of: Vec<u32>,
    /// Regions that were closed round by resin and became too small to follow.
    pub closed: Vec<Closed>,
    /// Length of resin in each outlet's channel, mm.
    pub drunk_mm: Vec<f64>,
    /// ∫dt/μ when resin showed at the end of each outlet.
    pub shown_at: Vec<Option<f64>>,
    /// ∫dt/μ now.
    pub now: f64,
    /// Share of the drive that was lost in the channels of the inlets when resin last came in, 0 to 1.
    pub lost_in_channels: f64,
    volume: f64,
    scratch: Scratch,
    steps: usize,
    /// The step at which it was last looked whether the front rests, and what was full then.
    quiet: (usize, f64),
}

#[derive(Debug, Default)]
struct Scratch {
    held: Vec<f32>,
    right: Vec<f64>,
    /// What comes into a cell that is not full from full ones, mm³ for 1/Pa.
    coming: Vec<f64>,
    /// What comes into it from inlets.
    poured: Vec<f64>,
    /// What would leave it to full ones if it were full.
    leaving: Vec<f64>,
    gain: Vec<f64>,
    active: Vec<u32>,
    is_active: Vec<bool>,
}

/// Why the front came to rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Nothing but crumbs below the size of cells is empty.
    Full,
    /// Nothing moves any more, or not before the resin sets.
    Still,
}

impl Front {
    /// An empty cavity.
    pub fn new(creep: Creep, drive: Drive) -> Front {
        let n = creep.cells.len();
        let height: Vec<f64> =
            (0..n as u32).map(|c| creep.cells.centre(c).as_dvec3().dot(drive.up.as_dvec3())).collect();
        let touching = |opening: u16| -> Vec<(u32, f64)> {
            let of = creep.touches.iter().filter(|t| t.opening == opening);
            of.map(|t| (t.cell, t.conductance_mm3 as f64)).collect()
        };
        let inlet_cells = drive.inlets.iter().map(|i| touching(i.opening)).collect();
        let outlet_cells: Vec<_> = drive.outlets.iter().map(|o| touching(o.opening)).collect();
        let volume = creep.volume_mm3.iter().map(|v| *v as f64).fold(0.0, |a, b| a + b);
        let outlets = drive.outlets.len();
        Front {
            height,
            inlet_cells,
            outlet_cells,
            fill: vec![0.0; n],
            full: vec![false; n],
            filled_at: vec![f32::INFINITY; n],
            potential: vec![0.0; n],
            limited: vec![0; n],
            regions: Vec::new(),
            region_of: vec![NONE; n],
            closed: Vec::new(),
            drunk_mm: vec![0.0; outlets],
            shown_at: vec![None; outlets],
            now: 0.0,
            lost_in_channels: 0.0,
            volume,
            scratch: Scratch { gain: vec![0.0; n], is_active: vec![false; n], ..Scratch::default() },
            steps: 0,
            quiet: (0, 0.0),
            creep,
            drive,
        }
    }

    /// The cells and what they conduct.
    pub fn creep(&self) -> &Creep {
        &self.creep
    }

    /// Resin in the cells, mm³.
    pub fn filled_mm3(&self) -> f64 {
        self.fill.iter().zip(&self.creep.volume_mm3).map(|(f, v)| f * *v as f64).fold(0.0, |a, b| a + b)
    }

    /// Volume of the cells, mm³.
    pub fn volume_mm3(&self) -> f64 {
        self.volume
    }

    /// Share of cell `c` that holds resin.
    pub fn share(&self, c: u32) -> f64 {
        self.fill[c as usize]
    }

    /// Regions of gas as they stand.
    pub fn regions(&self) -> &[Region] {
        &self.regions
    }

    /// Lets the front go on up to another ∫dt/μ.
    pub fn go_on_until(&mut self, until: f64) {
        self.drive.until = until;
    }

    /// Changes the pressure outside; open regions and open levels follow at once, closed ones do not.
    pub fn let_up(&mut self, outside_pa: f64) {
        self.drive.outside_pa = outside_pa;
        self.quiet = (self.steps, self.filled_mm3());
    }

    /// Lets the front run until it comes to rest. `watch` is called after every step.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn run(&mut self, run: &Run, mut watch: impl FnMut(&Front)) -> Result<End, Cancelled> {
        loop {
            run.check()?;
            self.find_regions();
            if self.regions.iter().all(|r| r.crumb) {
                self.take_crumbs();
                return Ok(End::Full);
            }
            if self.steps >= MOST_STEPS || self.is_quiet() {
                return Ok(End::Still);
            }
            self.steps += 1;
            self.solve(run)?;
            if !self.advance() {
                return Ok(End::Still);
            }
            watch(self);
        }
    }

    /// Once all is full, lets resin rise in the outlets until it has shown at each, or will not rise any further.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn fill_outlets(&mut self, run: &Run) -> Result<(), Cancelled> {
        let waits = |f: &Front| (0..f.shown_at.len()).any(|o| f.outlet(o).is_some());
        while waits(self) && self.steps < MOST_STEPS {
            run.check()?;
            self.steps += 1;
            let before = self.drunk_mm.clone();
            self.solve(run)?;
            if !self.advance() || self.drunk_mm == before {
                break;
            }
        }
        Ok(())
    }

    /// True where all gas is closed in and has been squeezed to where it stands for a good while.
    fn is_quiet(&mut self) -> bool {
        let filled = self.filled_mm3();
        if self.regions.iter().any(|r| r.open && !r.crumb) {
            self.quiet = (self.steps, filled);
            return false;
        }
        if self.steps < self.quiet.0 + QUIET_STEPS {
            return false;
        }
        let moved = (filled - self.quiet.1).abs();
        self.quiet = (self.steps, filled);
        moved < STILL * self.volume
    }

    fn neighbours(&self, c: usize) -> [u32; 6] {
        self.creep.cells.neighbours()[c]
    }

    /// Potential at a cell that is not full, over the pressure outside: its gas and its height.
    fn gas_potential(&self, c: usize) -> f64 {
        self.gas_over_pa(c) + self.drive.weight_pa_mm * self.height[c]
    }

    /// Pressure of the gas in a cell that is not full, over the one outside, so that differences keep their digits.
    fn gas_over_pa(&self, c: usize) -> f64 {
        self.regions.get(self.region_of[c] as usize).map_or(0.0, |r| r.pressure_pa - self.drive.outside_pa)
    }

    fn find_regions(&mut self) {
        let open: Vec<u32> = self
            .outlet_cells
            .iter()
            .zip(&self.drunk_mm)
            .filter(|(_, d)| **d <= 0.0)
            .flat_map(|(cells, _)| cells.iter().map(|c| c.0))
            .collect();
        let volume = &self.creep.volume_mm3;
        let void = |c: u32| (1.0 - self.fill[c as usize]).max(0.0) * volume[c as usize] as f64;
        let found = gas::find(
            &self.creep.cells,
            &self.full,
            void,
            &open,
            self.drive.outside_pa,
            &self.region_of,
            &self.regions,
        );
        self.region_of = found.region_of;
        self.regions = found.regions;
        for mut closed in found.closed {
            closed.at = self.now;
            self.closed.push(closed);
        }
    }

    /// What the cells cannot tell from full any more is full.
    fn take_crumbs(&mut self) {
        for c in 0..self.full.len() {
            if !self.full[c] {
                self.fill[c] = 1.0;
                self.full[c] = true;
                self.filled_at[c] = self.now as f32;
            }
        }
    }

    /// The potential on the level that feeds an inlet, and how much of a touch's conductance its channel leaves.
    fn inlet(&self, i: usize) -> (f64, f64) {
        let inlet = &self.drive.inlets[i];
        let sum = self.inlet_cells[i].iter().map(|c| c.1).fold(0.0, |a, b| a + b);
        let potential = inlet.over_pa + self.drive.weight_pa_mm * inlet.level_mm;
        (potential, 1.0 / (1.0 + inlet.resistance * sum))
    }

    /// The potential at the front of resin in an outlet's channel, and the share of a touch's conductance left by what stands
    /// in it; none where resin has shown and the outlet was plugged.
    fn outlet(&self, o: usize) -> Option<(f64, f64)> {
        let outlet = &self.drive.outlets[o];
        if self.shown_at[o].is_some() {
            return None;
        }
        let sum = self.outlet_cells[o].iter().map(|c| c.1).fold(0.0, |a, b| a + b);
        let drunk = self.drunk_mm[o];
        let radius = outlet.radius_mm?;
        let rise = outlet.rise_mm * drunk / outlet.length_mm.max(1e-9);
        let potential = self.drive.weight_pa_mm * (outlet.height_mm + rise);
        Some((potential, 1.0 / (1.0 + channel_resistance(drunk, radius) * sum)))
    }

    /// The pressure of full cells, and which of them are let loose.
    fn solve(&mut self, run: &Run) -> Result<(), Cancelled> {
        let n = self.full.len();
        let mut limited = std::mem::take(&mut self.limited);
        for pass in 0..PASSES {
            let mut held = std::mem::take(&mut self.scratch.held);
            let mut right = std::mem::take(&mut self.scratch.right);
            held.clear();
            held.resize(n, 0.0);
            right.clear();
            right.resize(n, 0.0);
            for c in (0..n).filter(|&c| self.full[c]) {
                for (side, k) in self.neighbours(c).into_iter().enumerate() {
                    if k != NONE && !self.full[k as usize] {
                        let part = if limited[c] >> side & 1 == 1 { self.fill[k as usize] } else { 1.0 };
                        let g = self.creep.link_mm3[c][side] as f64 * part;
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
            let solved = self.creep.solve_part(&self.full, &held, &right, &mut self.potential, TOLERANCE, run);
            (self.scratch.held, self.scratch.right) = (held, right);
            if let Err(stopped) = solved {
                self.limited = limited;
                return Err(stopped);
            }
            if pass + 1 == PASSES {
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
                    let g = self.creep.link_mm3[c][side] as f64;
                    let flow = g * (self.potential[c] - self.gas_potential(k as usize));
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
                break;
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

    fn activate(&mut self, c: u32) {
        if !self.scratch.is_active[c as usize] {
            self.scratch.is_active[c as usize] = true;
            self.scratch.active.push(c);
        }
    }

    /// Moves resin for one step. False where nothing will move any more before it sets.
    fn advance(&mut self) -> bool {
        let n = self.full.len();
        let mut coming = std::mem::take(&mut self.scratch.coming);
        let mut leaving = std::mem::take(&mut self.scratch.leaving);
        for v in [&mut coming, &mut leaving] {
            v.clear();
            v.resize(n, 0.0);
        }
        for c in std::mem::take(&mut self.scratch.active) {
            self.scratch.is_active[c as usize] = false;
        }
        let mut into_region = vec![0.0f64; self.regions.len()];
        // What full cells give and take: together they can give no more than comes in.
        let (mut given, mut taken, mut back) = (0.0, 0.0, 0.0);
        for c in 0..n {
            if !self.full[c] {
                if self.fill[c] > 0.0 {
                    self.activate(c as u32);
                }
                continue;
            }
            for (side, k) in self.neighbours(c).into_iter().enumerate() {
                if k == NONE || self.full[k as usize] {
                    continue;
                }
                let k = k as usize;
                let flow = self.creep.link_mm3[c][side] as f64 * (self.potential[c] - self.gas_potential(k));
                if flow > 0.0 {
                    coming[k] += flow;
                    given += flow;
                    self.activate(k as u32);
                } else {
                    leaving[k] -= flow;
                    back -= flow * self.fill[k];
                }
                if let Some(r) = into_region.get_mut(self.region_of[k] as usize) {
                    *r += if flow > 0.0 { flow } else { flow * self.fill[k] };
                }
            }
        }
        let mut into_outlet = vec![0.0f64; self.drive.outlets.len()];
        for (o, into) in into_outlet.iter_mut().enumerate() {
            let Some((potential, share)) = self.outlet(o) else { continue };
            for &(c, g) in self.outlet_cells[o].iter().filter(|(c, _)| self.full[*c as usize]) {
                *into += (g * share * (self.potential[c as usize] - potential)).max(0.0);
            }
            taken -= *into;
        }
        for i in 0..self.drive.inlets.len() {
            let (potential, share) = self.inlet(i);
            let full = self.inlet_cells[i].iter().filter(|(c, _)| self.full[*c as usize]);
            taken += full.map(|&(c, g)| g * share * (potential - self.potential[c as usize])).fold(0.0, |a, b| a + b);
        }
        let part = if given > 0.0 { ((taken + back) / given).clamp(0.0, 1.0) } else { 0.0 };
        into_region.iter_mut().for_each(|r| *r *= part);
        let mut poured = std::mem::take(&mut self.scratch.poured);
        poured.clear();
        poured.resize(n, 0.0);
        let (mut inflow, mut lost) = (0.0, 0.0);
        for i in 0..self.drive.inlets.len() {
            let (potential, share) = self.inlet(i);
            for t in 0..self.inlet_cells[i].len() {
                let (c, g) = self.inlet_cells[i][t];
                let to =
                    if self.full[c as usize] { self.potential[c as usize] } else { self.gas_potential(c as usize) };
                let flow = g * share * (potential - to);
                if !self.full[c as usize] && flow > 0.0 {
                    poured[c as usize] += flow;
                    self.activate(c);
                    if let Some(r) = into_region.get_mut(self.region_of[c as usize] as usize) {
                        *r += flow;
                    }
                }
                inflow += flow.max(0.0);
                lost += flow.max(0.0) * (1.0 - share);
            }
        }
        if inflow > 0.0 {
            self.lost_in_channels = lost / inflow;
        }
        // How long this step is.
        let front: f64 = part * given;
        let moved = front.max(inflow);
        let left = self.drive.until - self.now;
        let mut step = left.min(self.volume / STEPS / moved.max(1e-300));
        for (r, into) in self.regions.iter().zip(&into_region) {
            if !r.open && !r.crumb && into.abs() > 0.0 {
                step = step.min(GAS_SHARE * r.void_mm3 / into.abs());
            }
        }
        for (o, into) in into_outlet.iter().enumerate() {
            if let (Some(radius), true) = (self.drive.outlets[o].radius_mm, *into > 0.0) {
                step = step.min((self.drive.outlets[o].length_mm / 20.0).max(1.0) * PI * radius * radius / into);
            }
        }
        // How fast resin falls out of cells that are not full.
        let mut quickest = leaving.iter().zip(&self.creep.volume_mm3).map(|(l, v)| l / *v as f64).fold(0.0, f64::max);
        for &c in &self.scratch.active {
            quickest = quickest.max(self.falling(c as usize).1 / self.creep.volume_mm3[c as usize] as f64);
        }
        let short = if quickest > 0.0 { 0.5 / quickest } else { f64::INFINITY };
        step = step.min(MOST_MOVES * short);
        let falls =
            self.scratch.active.iter().any(|&c| self.fill[c as usize] > 0.0 && self.falling(c as usize).1 > 0.0);
        if !(step > 0.0) || (moved * left < STILL * self.volume && !falls && into_outlet.iter().all(|q| *q <= 0.0)) {
            (self.scratch.coming, self.scratch.leaving, self.scratch.poured) = (coming, leaving, poured);
            return false;
        }
        let moves = (step / short).ceil().clamp(2.0, MOST_MOVES) as usize;
        let each = step / moves as f64;
        for _ in 0..moves {
            self.small_move(each, &coming, &leaving, &poured, taken, given);
        }
        for (o, into) in into_outlet.iter().enumerate() {
            if let (Some(radius), true) = (self.drive.outlets[o].radius_mm, *into > 0.0) {
                self.drunk_mm[o] += into * step / (PI * radius * radius);
                if self.drunk_mm[o] >= self.drive.outlets[o].length_mm {
                    self.drunk_mm[o] = self.drive.outlets[o].length_mm;
                    self.shown_at[o] = Some(self.now);
                }
            }
        }
        (self.scratch.coming, self.scratch.leaving, self.scratch.poured) = (coming, leaving, poured);
        true
    }

    /// Links down which resin falls from a cell that is not full, as flow if it were full, and their sum.
    fn falling(&self, c: usize) -> ([f64; 6], f64) {
        let mut down = [0.0; 6];
        let mut sum = 0.0;
        for (side, k) in self.neighbours(c).into_iter().enumerate() {
            if k != NONE && !self.full[k as usize] {
                let fall = self.height[c] - self.height[k as usize];
                if fall > 0.0 {
                    down[side] = self.creep.link_mm3[c][side] as f64 * self.drive.weight_pa_mm * fall;
                    sum += down[side];
                }
            }
        }
        (down, sum)
    }

    /// Moves resin for a short time. Full cells take `taken` from inlets and would give `given`.
    fn small_move(&mut self, time: f64, coming: &[f64], leaving: &[f64], poured: &[f64], taken: f64, given: f64) {
        let back = |c: &u32| if self.full[*c as usize] { 0.0 } else { self.fill[*c as usize] * leaving[*c as usize] };
        let back = self.scratch.active.iter().map(back).fold(0.0, |a, b| a + b);
        let part = if given > 0.0 { ((taken + back) / given).clamp(0.0, 1.0) } else { 0.0 };
        let mut gain = std::mem::take(&mut self.scratch.gain);
        let before = self.scratch.active.len();
        for i in 0..before {
            let c = self.scratch.active[i] as usize;
            gain[c] += time * (part * coming[c] + poured[c]);
            if self.full[c] || self.fill[c] <= 0.0 {
                continue;
            }
            gain[c] -= time * self.fill[c] * leaving[c];
            let (down, sum) = self.falling(c);
            if sum > 0.0 {
                for (side, k) in self.neighbours(c).into_iter().enumerate() {
                    if down[side] > 0.0 {
                        let flow = time * self.fill[c] * down[side];
                        gain[c] -= flow;
                        gain[k as usize] += flow;
                        self.activate(k);
                    }
                }
            }
        }
        let mut over: Vec<(u32, f64)> = Vec::new();
        for i in 0..self.scratch.active.len() {
            let c = self.scratch.active[i];
            let g = std::mem::take(&mut gain[c as usize]);
            if g != 0.0 {
                self.pour_into(c, g, time, &mut over);
            }
        }
        // What cells could not take goes on, as long as it finds room.
        for _ in 0..12 {
            if over.is_empty() {
                break;
            }
            let mut next = Vec::new();
            for (c, excess) in std::mem::take(&mut over) {
                self.push_on(c, excess, coming[c as usize] + poured[c as usize], time, &mut next);
            }
            over = next;
        }
        self.scratch.gain = gain;
        self.now += time;
    }

    /// Adds `volume` to a cell; what it cannot take is noted in `over`.
    fn pour_into(&mut self, c: u32, volume: f64, time: f64, over: &mut Vec<(u32, f64)>) {
        let i = c as usize;
        let room = self.creep.volume_mm3[i] as f64;
        let was = self.fill[i];
        let now = was + volume / room;
        self.fill[i] = now.clamp(0.0, 1.0);
        // A cell let loose stays so while no more comes in than falls out of it.
        if volume > 0.0 && now >= FULL {
            self.fill[i] = 1.0;
            if !self.full[i] {
                self.full[i] = true;
                self.potential[i] = self.gas_potential(i);
                // Nothing comes back from empty cells above it, until its pressure says that resin goes there.
                self.limited[i] = 0;
                for (side, k) in self.neighbours(i).into_iter().enumerate() {
                    if k != NONE && self.height[k as usize] > self.height[i] + 1e-6 {
                        self.limited[i] |= 1 << side;
                    }
                }
                if self.filled_at[i].is_infinite() {
                    let part = if now > was { ((1.0 - was) / (now - was)).clamp(0.0, 1.0) } else { 1.0 };
                    self.filled_at[i] = (self.now + part * time) as f32;
                }
            }
            if now > 1.0 {
                over.push((c, (now - 1.0) * room));
            }
        }
    }

    /// Gives what a full cell could not take to neighbours with room, as its pressure would.
    fn push_on(&mut self, c: u32, excess: f64, coming: f64, time: f64, over: &mut Vec<(u32, f64)>) {
        let i = c as usize;
        let mut share = [0.0; 6];
        let links: f64 = (0..6)
            .filter(|&s| self.neighbours(i)[s] != NONE && !self.full[self.neighbours(i)[s] as usize])
            .map(|s| self.creep.link_mm3[i][s] as f64)
            .fold(0.0, |a, b| a + b);
        if links <= 0.0 {
            return;
        }
        let own = self.gas_potential(i) + (coming.max(excess / time)) / links;
        for pressed in [true, false] {
            for (side, k) in self.neighbours(i).into_iter().enumerate() {
                if k != NONE && !self.full[k as usize] {
                    let drop = if pressed { (own - self.gas_potential(k as usize)).max(0.0) } else { 1.0 };
                    share[side] = self.creep.link_mm3[i][side] as f64 * drop;
                }
            }
            if share.iter().any(|s| *s > 0.0) {
                break;
            }
        }
        let sum = share.iter().fold(0.0, |a, b| a + b);
        for (side, k) in self.neighbours(i).into_iter().enumerate() {
            if share[side] > 0.0 && sum > 0.0 {
                self.activate(k);
                self.pour_into(k, excess * share[side] / sum, time, over);
            }
        }
    }
}
