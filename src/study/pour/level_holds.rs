//! Whether resin stands level in the walls of a part.
//!
//! All that is said of air rests on a level surface of resin. In a slot of gap h a surface that is tilted levels out at up
//! to ρgh²/12μ (slot flow under its own weight: Bird, Stewart & Lightfoot, *Transport Phenomena*, section 2.3); where
//! the front rises faster than that, viscosity and not weight decides where resin goes.

use super::fill::Pour;
use super::fill::fineness::Fineness;
use super::fill::verdict::IN_TIME_SHARE;
use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::pour::facts::PourFacts;
use glam::Vec3;
use serde::Serialize;

/// What [`level_holds`] finds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LevelHolds {
    /// The thinnest wall in which resin stands level.
    pub least_wall_mm: f64,
    /// Share of the walls, by area, that are thinner.
    pub thinner_share: f64,
    /// The thinnest wall.
    pub thinnest_mm: f64,
    /// How fast a tilted surface levels out there.
    pub levels_mm_s: f64,
    /// How fast the front rises on the whole.
    pub rises_mm_s: f64,
    /// True where that is by the fill; else by what gates and runners let through at most.
    pub by_fill: bool,
    /// A place of the thinnest wall, in `work`.
    #[serde(skip)]
    pub thinnest_at: Vec3,
}

/// Whether the level picture holds for the plan; nothing where walls are not known yet or there is no gate.
pub fn level_holds(plan: &Plan, shop: &Shop, facts: &PourFacts) -> Option<LevelHolds> {
    let (walls, body) = (facts.walls?, facts.body?);
    let thinnest = walls.thinnest()?;
    let pour = Pour::of_plan(plan, shop, facts.setting, Fineness::USUAL)?;
    let up = facts.setting.frames.cast_up();
    let heights = body.mesh.positions.iter().map(|p| p.dot(up) as f64);
    let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
    let filled = facts.fill.map(|f| f.cup.seconds(f.end_at)).filter(|s| s.is_finite() && *s > 0.0);
    let takes_s = filled.or_else(|| {
        // No faster than channels alone let it in, with the front half-way up; no slower than it must be.
        let head =
            |i: &super::fill::drive::Inlet| i.over_pa + pour.drive.weight_pa_mm * (i.level_mm - (low + high) / 2.0);
        let of_inlet = |i: &super::fill::drive::Inlet| head(i).max(0.0) / i.resistance.max(1e-12);
        let rate = pour.drive.inlets.iter().map(of_inlet).fold(0.0, |a, b| a + b) / pour.cup.viscosity_pa_s;
        let quickest = body.measures.volume_mm3.abs() / rate;
        (rate > 0.0).then(|| quickest.min(IN_TIME_SHARE * pour.cup.pot_life_s))
    })?;
    let rises_mm_s = (high - low) / takes_s;
    let per_square = pour.drive.weight_pa_mm / (12.0 * pour.cup.viscosity_pa_s);
    let least_wall_mm = (rises_mm_s / per_square).sqrt();
    let thinnest_mm = thinnest.thickness_mm as f64;
    Some(LevelHolds {
        least_wall_mm,
        thinner_share: walls.share_below(least_wall_mm as f32) as f64,
        thinnest_mm,
        levels_mm_s: per_square * thinnest_mm * thinnest_mm,
        rises_mm_s,
        by_fill: filled.is_some(),
        thinnest_at: thinnest.position,
    })
}
