//! The front of resin as it moves through the cells of a cavity.
//!
//! Full cells carry a pressure; all others hold gas, and perhaps some resin. In steps of a small share of the volume the
//! pressure of the full cells is found for the front as it stands (`pressure`), and resin is moved by it until the step is
//! over (`moving`); what a cell cannot take goes on to its neighbours (`overflow`). Pressure never falls under that of the
//! gas beside it: full cells that would suck are let loose, and resin in cells that are not full falls by its own weight
//! alone (`falling`), so that it can pour down from a gate and gather below.
//!
//! Resin is never lost or made: what comes in through the inlets is in cells, in the channels of outlets, or is owed to a
//! full cell that could not pass it on yet and gives it to the next pressure.
//!
//! Nothing here knows the viscosity: velocity goes as pressure over viscosity everywhere, so the front is followed in
//! ∫dt/μ, from which [`super::viscosity`] makes seconds for any resin and temperature.

mod falling;
mod moving;
mod overflow;
mod pressure;
pub mod sweep;

use super::drive::{Drive, channel_resistance};
use super::gas::{self, Closed, Region};
use crate::solve::cells::NONE;
use crate::solve::creep::Creep;
use crate::solve::run::{Cancelled, Run};
use sweep::Sweep;

/// Steps that the volume is filled in at least, unless other ones are asked for.
const STEPS: f64 = 200.0;
/// Steps in all, at most: gas that is squeezed slowly takes more.
const MOST_STEPS: usize = 6000;
/// Steps without an open region after which the front is looked at for rest.
const QUIET_STEPS: usize = 40;
/// The front stands still where what would still come in is less than this share of the volume.
const STILL: f64 = 1e-3;

/// The front and all that it left behind.
#[derive(Debug)]
pub struct Front {
    creep: Creep,
    drive: Drive,
    height: Vec<f64>,
    /// Cells from the highest to the lowest.
    downwards: Vec<u32>,
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
    /// Resin that full cells could not pass on yet, mm³, by cell.
    owed: Vec<(u32, f64)>,
    regions: Vec<Region>,
    region_of: Vec<u32>,
    /// How far each region gives way to resin over a step, as a share of what its links would let in.
    give: Vec<f64>,
    /// Regions that were closed round by resin and became too small to follow.
    pub closed: Vec<Closed>,
    /// Length of resin in each outlet's channel, mm.
    pub drunk_mm: Vec<f64>,
    /// ∫dt/μ when resin showed at the end of each outlet.
    pub shown_at: Vec<Option<f64>>,
    /// ∫dt/μ now.
    pub now: f64,
    /// What drove resin in so far.
    pub spent: Spent,
    /// Resin that came in through the inlets less what went out through outlets, mm³.
    pub poured_mm3: f64,
    volume: f64,
    share_a_step: f64,
    /// Length of the last step, in ∫dt/μ; nothing before the first.
    last_step: f64,
    /// How long it would have been but for gas and outlets.
    usual_step: f64,
    /// What came in over it less what went out, mm³ for 1/Pa.
    inflow: f64,
    scratch: Scratch,
    steps: usize,
    /// ∫dt/μ since when no gas could leave any more; nothing while some can.
    shut_at: Option<f64>,
    /// The step at which it was last looked whether the front rests, and what was full then.
    quiet: (usize, f64),
    /// ∫dt/μ and what was full then, after every step.
    passed: Vec<(f64, f64)>,
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
    /// Number of the pool that a full cell belongs to, and of one beside a cell that is not full.
    pool: Vec<u32>,
    sweep: Sweep,
}

/// Sums over ∫dt/μ of what drove resin in, and of where it went.
///
/// The power that resin is driven with is its inflow times the drop from the level that feeds it to the front; what the
/// channels of the inlets take of it is inflow² times their resistance. Over a fill the share of the time that the channels
/// are to blame for is the mean of that share, since time is volume times resistance over drop.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spent {
    /// ∫dt/μ while resin came in, 1/Pa.
    over: f64,
    /// The share of the power that channels took, times that.
    in_channels: f64,
    /// The drop, times that.
    drop_pa: f64,
}

impl Spent {
    pub(super) fn add(&mut self, time: f64, in_channels: f64, drop_pa: f64) {
        self.over += time;
        self.in_channels += time * in_channels;
        self.drop_pa += time * drop_pa;
    }

    /// Share of the time that the channels of the inlets are to blame for, 0 to 1.
    pub fn share_of_channels(&self) -> f64 {
        if self.over > 0.0 { self.in_channels / self.over } else { 0.0 }
    }

    /// Mean drop from the levels of the inlets to the front, Pa.
    pub fn mean_drop_pa(&self) -> f64 {
        if self.over > 0.0 { self.drop_pa / self.over } else { 0.0 }
    }
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
        let mut downwards: Vec<u32> = (0..n as u32).collect();
        downwards.sort_by(|a, b| height[*b as usize].total_cmp(&height[*a as usize]));
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
            downwards,
            inlet_cells,
            outlet_cells,
            fill: vec![0.0; n],
            full: vec![false; n],
            filled_at: vec![f32::INFINITY; n],
            potential: vec![0.0; n],
            limited: vec![0; n],
            owed: Vec::new(),
            regions: Vec::new(),
            region_of: vec![NONE; n],
            give: Vec::new(),
            closed: Vec::new(),
            drunk_mm: vec![0.0; outlets],
            shown_at: vec![None; outlets],
            now: 0.0,
            spent: Spent::default(),
            poured_mm3: 0.0,
            volume,
            share_a_step: 1.0 / STEPS,
            last_step: 0.0,
            usual_step: 0.0,
            inflow: 0.0,
            scratch: Scratch::default(),
            steps: 0,
            shut_at: None,
            quiet: (0, 0.0),
            passed: Vec::new(),
            creep,
            drive,
        }
    }

    /// The same in other steps: the volume is filled in so many of them at least.
    pub fn in_steps(self, steps: f64) -> Front {
        Front { share_a_step: 1.0 / steps, ..self }
    }

    /// The cells and what they conduct.
    pub fn creep(&self) -> &Creep {
        &self.creep
    }

    /// Steps taken so far.
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// Resin in the cavity, mm³.
    pub fn filled_mm3(&self) -> f64 {
        let in_cells = self.fill.iter().zip(&self.creep.volume_mm3).map(|(f, v)| f * *v as f64);
        in_cells.chain(self.owed.iter().map(|o| o.1)).fold(0.0, |a, b| a + b)
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

    /// The region of every cell that is not full; [`NONE`] for full ones.
    pub fn region_of(&self) -> &[u32] {
        &self.region_of
    }

    /// True where no gas is left that could leave: what is empty, resin has closed round.
    pub fn is_shut(&self) -> bool {
        self.regions.iter().all(|r| r.crumb || !r.open)
    }

    /// ∫dt/μ when the fill was over. Gas that is closed in comes to rest only slowly: from when no gas could leave any more,
    /// it is over when all the resin but a step's had come in, not when the last gas was found to be at rest.
    pub fn ended_at(&self) -> f64 {
        let (Some(shut), Some(&(_, last))) = (self.shut_at, self.passed.last()) else { return self.now };
        let enough = last - self.share_a_step * self.volume;
        let i = self.passed.iter().position(|p| p.1 >= enough).unwrap_or(0);
        let (before, after) = (if i > 0 { self.passed[i - 1] } else { (0.0, 0.0) }, self.passed[i]);
        let part = (enough - before.1) / (after.1 - before.1);
        let came_in = before.0 + (after.0 - before.0) * if part.is_finite() { part.clamp(0.0, 1.0) } else { 1.0 };
        came_in.max(shut).min(self.now)
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
            if !self.is_shut() {
                self.shut_at = None;
            } else if self.shut_at.is_none() {
                self.shut_at = Some(self.now);
            }
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
            self.passed.push((self.now, self.filled_mm3()));
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
        self.give.clear();
        for mut closed in found.closed {
            closed.at = self.now;
            self.closed.push(closed);
        }
    }

    /// What the cells cannot tell from full any more is full. The last step ends when the cavity held all that came in.
    fn take_crumbs(&mut self) {
        let spare = self.filled_mm3() - self.volume;
        self.owed.clear();
        if self.inflow > 0.0 {
            let early = (spare / self.inflow).clamp(-self.last_step, self.last_step);
            self.now -= early;
            self.poured_mm3 -= early * self.inflow;
        }
        for c in 0..self.full.len() {
            if !self.full[c] {
                self.fill[c] = 1.0;
                self.full[c] = true;
                self.filled_at[c] = self.now as f32;
            }
            if self.filled_at[c].is_finite() {
                self.filled_at[c] = self.filled_at[c].min(self.now as f32);
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
}
