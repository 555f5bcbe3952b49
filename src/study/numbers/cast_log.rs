//! The cast log read with the scales: how much is missing in a cast, and which pocket of air is of that size.

use crate::plan::{CastEntry, Plan};
use crate::shop::Shop;
use crate::study::numbers::facts::NumberFacts;
use glam::Vec3;

/// Good casts by which a job's own mass is known: at least, and the first of them at most.
const FIRST: (usize, usize) = (3, 5);
/// A cast counts as light from so many standard deviations below the good ones.
const SIGMAS: f64 = 3.0;
/// Standard deviation of normal values over the median of their distances from the median (Rousseeuw & Croux 1993).
const DEVIATION: f64 = 1.4826;
/// What a bench scale reads to, grams: set here.
const SCALE_G: f64 = 0.1;
/// How well the mass is known from volume and density alone, as a share: the density of a data sheet is good to one or two
/// per cent (common practice, no source).
const FROM_DENSITY: f64 = 0.02;
/// A pocket may be called on for a void that is so much larger than it: the scales' and the mesh's doubt.
const SLACK: f64 = 1.15;
/// Pockets whose sizes differ by less than this share fit alike: no scale tells them apart.
const ALIKE: f64 = 0.1;
/// Pockets that are named at most.
const NAMED: usize = 3;

/// What a good cast weighs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Its mass with all that leaves the block with it, grams.
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

/// What a good cast of the plan should weigh as it leaves the block: the median of the first good ones that were weighed, else its
/// volume times the density of the resin (`part_g`), the inserts that stay in it, and the hard cast that it was cast over. None
/// without a body.
pub fn expected(plan: &Plan, shop: &Shop, facts: &NumberFacts, part_g: f64) -> Option<Expected> {
    facts.body?;
    let good: Vec<f64> =
        plan.log.iter().filter(|c| c.good && c.trimmed_g > 0.0).map(|c| c.trimmed_g).take(FIRST.1).collect();
    if good.len() >= FIRST.0 {
        // By medians, so that a light one among them does not hide itself.
        let mass_g = median(good.iter().copied());
        let spread = DEVIATION * median(good.iter().map(|g| (g - mass_g).abs()));
        // Below what the scale reads to, a spread of nought says nothing.
        return Some(Expected { mass_g, doubt_g: (SIGMAS * spread).max(SCALE_G), from_casts: good.len() });
    }
    let inserts = facts.setting.inserts.iter().zip(&plan.inserts).filter(|(_, i)| i.stays);
    let inserts_g: f64 = inserts
        .map(|(shape, insert)| {
            let mm3 = crate::mesh::measure::Measures::of(&shape.solid).volume_mm3.abs();
            mm3 / 1000.0 * insert.density_g_cm3.unwrap_or(shop.habits.insert_density_g_cm3)
        })
        .sum();
    let mass_g = part_g + inserts_g + hard_cast_g(plan, shop, facts);
    Some(Expected { mass_g, doubt_g: (FROM_DENSITY * mass_g).max(SCALE_G), from_casts: 0 })
}

/// Mass of the hard cast that lies in the block while the soft part is cast over it, grams; 0 where there is none.
fn hard_cast_g(plan: &Plan, shop: &Shop, facts: &NumberFacts) -> f64 {
    let Some(second) = plan.loaded_hard() else { return 0.0 };
    let other = facts.setting.other.as_ref().and_then(|o| o.as_ref().ok());
    other.map_or(0.0, |o| o.volume_mm3.abs() / 1000.0 * second.resin(shop).density_g_cm3)
}

/// What is missing in a weighed cast beyond doubt; none where it is heavy enough, or was not weighed.
pub fn light(cast: &CastEntry, expected: &Expected, plan: &Plan, shop: &Shop, facts: &NumberFacts) -> Option<Light> {
    let missing_g = expected.mass_g - cast.trimmed_g;
    if cast.trimmed_g <= 0.0 || missing_g <= expected.doubt_g {
        return None;
    }
    let missing_mm3 = missing_g / plan.resin(shop).density_g_cm3 * 1000.0;
    Some(Light { shot: cast.shot, missing_g, missing_mm3, suspects: suspects(missing_mm3, facts) })
}

/// Pockets that can hold so much, those whose size is nearest to it first.
fn suspects(missing_mm3: f64, facts: &NumberFacts) -> Vec<Suspect> {
    let Some(air) = facts.pour.air else { return Vec::new() };
    let points = air.high_points.iter().zip(&air.served);
    let mut fit: Vec<(f64, Suspect)> = points
        .filter(|(point, _)| point.pocket_mm3 * SLACK >= missing_mm3)
        .map(|(point, served)| {
            let vent = match served.by {
                Some(crate::study::air::MouthOf::Vent(n)) => Some(n),
                _ => None,
            };
            let off = (point.pocket_mm3 / missing_mm3).ln().abs();
            (off, Suspect { place: point.position, pocket_mm3: point.pocket_mm3, vent })
        })
        .collect();
    // Of two that fit as well, the one without a vent first.
    let key = |off: f64| (off / ALIKE).round();
    fit.sort_by(|a, b| {
        key(a.0).total_cmp(&key(b.0)).then(a.1.vent.is_some().cmp(&b.1.vent.is_some())).then(a.0.total_cmp(&b.0))
    });
    fit.into_iter().take(NAMED).map(|f| f.1).collect()
}

/// Every light cast of the log, in its order; `part_g` as in [`expected`].
pub fn light_casts(plan: &Plan, shop: &Shop, facts: &NumberFacts, part_g: f64) -> Vec<Light> {
    let Some(expected) = expected(plan, shop, facts, part_g) else { return Vec::new() };
    plan.log.iter().filter_map(|cast| light(cast, &expected, plan, shop, facts)).collect()
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    match n {
        0 => 0.0,
        _ if n % 2 == 1 => sorted[n / 2],
        _ => 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]),
    }
}
