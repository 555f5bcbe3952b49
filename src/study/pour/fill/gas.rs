//! Gas in the cells that are not full: in every region that hangs together it has one pressure.
//!
//! A region that holds an open outlet is at the pressure outside. One that resin has closed round keeps its gas, so its
//! pressure times its volume stays (Boyle). A region without a single cell whose neighbours are all empty is a crumb: cells
//! cannot tell it from full, and its gas does not hold resin off. It is kept all the same, for when the crumb joins a region
//! again or is gone; crumbs that come off an open region hold none that counts.

use crate::solve::cells::{Cells, NONE};

/// Cells with empty neighbours only that a region must hold to count.
const LEAST_CORE: usize = 4;
/// Highest pressure that gas is followed to, Pa.
const MOST_PA: f64 = 1e7;

/// Gas that hangs together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Region {
    /// Its pressure, Pa.
    pub pressure_pa: f64,
    /// Its volume, mm³.
    pub void_mm3: f64,
    /// Its gas: pressure times volume, Pa·mm³.
    pub gas_pa_mm3: f64,
    /// It reaches an open outlet.
    pub open: bool,
    /// Too small for the cells.
    pub crumb: bool,
    /// The cell in it that has most room round it, or its first.
    pub cell: u32,
}

/// A region that resin closed round and squeezed until cells could not follow it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closed {
    /// A cell of it.
    pub cell: u32,
    /// Its last volume, mm³.
    pub void_mm3: f64,
    /// Its gas: pressure times volume, Pa·mm³.
    pub gas_pa_mm3: f64,
    /// ∫dt/μ when it was last seen, 1/Pa.
    pub at: f64,
}

/// What [`find`] gives.
#[derive(Debug, Default)]
pub struct Found {
    /// Region of every cell that is not full.
    pub region_of: Vec<u32>,
    /// The regions.
    pub regions: Vec<Region>,
    /// Regions of before that are gone.
    pub closed: Vec<Closed>,
}

/// Regions of the cells that are not `full`, with gas handed on from those of before.
pub fn find(
    cells: &Cells,
    full: &[bool],
    void: impl Fn(u32) -> f64,
    open: &[u32],
    outside_pa: f64,
    region_before: &[u32],
    before: &[Region],
) -> Found {
    let n = full.len();
    let mut region_of = vec![NONE; n];
    let mut regions: Vec<Region> = Vec::new();
    // Volume that the gas of each region of before has in each region of now.
    let mut shared: Vec<(u32, u32, f64)> = Vec::new();
    let mut stack = Vec::new();
    for seed in 0..n as u32 {
        if full[seed as usize] || region_of[seed as usize] != NONE {
            continue;
        }
        let number = regions.len() as u32;
        let mut region =
            Region { pressure_pa: outside_pa, void_mm3: 0.0, gas_pa_mm3: 0.0, open: false, crumb: true, cell: seed };
        let mut core = 0;
        let first_shared = shared.len();
        region_of[seed as usize] = number;
        stack.push(seed);
        while let Some(c) = stack.pop() {
            let mut inside = true;
            for k in cells.neighbours()[c as usize] {
                if k == NONE {
                    continue;
                }
                if full[k as usize] {
                    inside = false;
                } else if region_of[k as usize] == NONE {
                    region_of[k as usize] = number;
                    stack.push(k);
                }
            }
            if inside {
                core += 1;
                if core == LEAST_CORE {
                    region.cell = c;
                }
            }
            let v = void(c);
            region.void_mm3 += v;
            let old = region_before[c as usize];
            if old != NONE {
                match shared[first_shared..].iter_mut().find(|s| s.0 == old) {
                    Some(s) => s.2 += v,
                    None => shared.push((old, number, v)),
                }
            }
        }
        region.crumb = core < LEAST_CORE;
        regions.push(region);
    }
    for &c in open {
        if !full[c as usize] {
            regions[region_of[c as usize] as usize].open = true;
        }
    }
    let mut sum = vec![0.0; before.len()];
    for &(old, _, v) in &shared {
        sum[old as usize] += v;
    }
    for &(old, now, v) in &shared {
        let whole = sum[old as usize];
        let (old, now) = (&before[old as usize], &mut regions[now as usize]);
        let part = if whole > 0.0 { v / whole } else { 0.0 };
        if !(old.open && now.crumb) {
            now.gas_pa_mm3 += old.gas_pa_mm3 * part;
        }
    }
    let gone = before.iter().zip(&sum).filter(|(r, sum)| **sum <= 0.0 && !r.open && r.gas_pa_mm3 > 0.0);
    let closed =
        gone.map(|(r, _)| Closed { cell: r.cell, void_mm3: r.void_mm3, gas_pa_mm3: r.gas_pa_mm3, at: 0.0 }).collect();
    for region in &mut regions {
        // Before the first step gas stands at the pressure outside.
        if region.open || before.is_empty() {
            region.gas_pa_mm3 = outside_pa * region.void_mm3;
        } else if !region.crumb && region.void_mm3 > 0.0 {
            region.pressure_pa = (region.gas_pa_mm3 / region.void_mm3).min(MOST_PA);
        }
    }
    Found { region_of, regions, closed }
}
