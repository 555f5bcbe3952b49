//! The cast log read with the scales: how much is missing in a cast, and which pocket of air is of that size.

use super::bench::Facts;
use super::bench_numbers::BenchNumbers;
use crate::plan::{CastEntry, Plan};
use crate::shop::Shop;
use glam::Vec3;

/// Good casts by which a job's own mass is known: at least, and the first of them at most.
const FIRST: (usize, usize) = (3, 5);
/// A cast counts as light from so many standard deviations of those below their mean.
const SIGMAS: f64 = 3.0;
/// What a bench scale reads to, grams: set here.
const SCALE_G: f64 = 0.1;
/// How well the mass is known from volume and density alone, as a share: the density of a data sheet is good to one or two
/// per cent (common practice, no source).
const FROM_DENSITY: f64 = 0.02;
/// A pocket may be called on for a void that is so much larger than it: the scales' and the mesh's doubt.
const SLACK: f64 = 1.15;
/// Pockets that are named at most.
const NAMED: usize = 3;

/// What a good cast weighs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Its mass, inserts that stay with it, grams.
    pub mass_g: f64,
    /// A cast lighter than that by more than this has something missing, grams.
    pub doubt_g: f64,
    /// Good casts that it was taken from; 0 where it is volume times density.
    pub from_casts: usize,
}

/// A pocket that may hold what is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspect {
    /// Its high point, in `work`.
    pub place: Vec3,
    /// Its volume, mm³.
    pub pocket_mm3: f64,
    /// The vent in it, if any.
    pub vent: Option<u32>,
}

/// A cast that weighs less than it should.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Its number.
    pub shot: u32,
    /// What is missing, grams.
    pub missing_g: f64,
    /// The same as a volume of resin, mm³.
    pub missing_mm3: f64,
    /// Pockets of about that size, nearest first.
    pub suspects: Vec<Suspect>,
}

/// What a good cast of the plan should weigh: the mean of the first good ones that were weighed, else its volume times the
/// density of the resin, and the inserts that stay in it. None without a body.
pub fn expected(plan: &Plan, shop: &Shop, facts: &Facts, numbers: &BenchNumbers) -> Option<Expected> {
    facts.body.as_ref()?;
    let good: Vec<f64> =
        plan.log.iter().filter(|c| c.good && c.trimmed_g > 0.0).map(|c| c.trimmed_g).take(FIRST.1).collect();
    if good.len() >= FIRST.0 {
        let n = good.len() as f64;
        let mean = good.iter().sum::<f64>() / n;
        let variance = good.iter().map(|g| (g - mean).powi(2)).sum::<f64>() / (n - 1.0);
        // Below what the scale reads to, a spread of nought says nothing.
        let doubt_g = (SIGMAS * variance.sqrt()).max(SCALE_G);
        return Some(Expected { mass_g: mean, doubt_g, from_casts: good.len() });
    }
    let inserts = facts.setting.inserts.iter().zip(&plan.inserts).filter(|(_, i)| i.stays);
    let inserts_g: f64 = inserts
        .map(|(shape, insert)| {
            let mm3 = crate::mesh::measure::Measures::of(&shape.solid).volume_mm3.abs();
            mm3 / 1000.0 * insert.density_g_cm3.unwrap_or(shop.habits.insert_density_g_cm3)
        })
        .sum();
    let mass_g = numbers.resin.part_g + inserts_g;
    Some(Expected { mass_g, doubt_g: (FROM_DENSITY * mass_g).max(SCALE_G), from_casts: 0 })
}

/// What is missing in a weighed cast beyond doubt; none where it is heavy enough, or was not weighed.
pub fn light(cast: &CastEntry, expected: &Expected, plan: &Plan, shop: &Shop, facts: &Facts) -> Option<Light> {
    let missing_g = expected.mass_g - cast.trimmed_g;
    if cast.trimmed_g <= 0.0 || missing_g <= expected.doubt_g {
        return None;
    }
    let missing_mm3 = missing_g / plan.resin(shop).density_g_cm3 * 1000.0;
    Some(Light { shot: cast.shot, missing_g, missing_mm3, suspects: suspects(missing_mm3, facts) })
}

/// Pockets that can hold so much, those whose size is nearest to it first.
fn suspects(missing_mm3: f64, facts: &Facts) -> Vec<Suspect> {
    let Some(air) = &facts.air else { return Vec::new() };
    let points = air.high_points.iter().zip(&air.served);
    let mut fit: Vec<(f64, Suspect)> = points
        .filter(|(point, _)| point.pocket_mm3 * SLACK >= missing_mm3)
        .map(|(point, served)| {
            let vent = match served.by {
                Some(super::air::MouthOf::Vent(n)) => Some(n),
                _ => None,
            };
            let off = (point.pocket_mm3 / missing_mm3).ln().abs();
            (off, Suspect { place: point.position, pocket_mm3: point.pocket_mm3, vent })
        })
        .collect();
    fit.sort_by(|a, b| a.0.total_cmp(&b.0));
    fit.into_iter().take(NAMED).map(|f| f.1).collect()
}

/// Every light cast of the log, in its order.
pub fn light_casts(plan: &Plan, shop: &Shop, facts: &Facts, numbers: &BenchNumbers) -> Vec<Light> {
    let Some(expected) = expected(plan, shop, facts, numbers) else { return Vec::new() };
    plan.log.iter().filter_map(|cast| light(cast, &expected, plan, shop, facts)).collect()
}
