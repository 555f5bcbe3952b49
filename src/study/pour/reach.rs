//! How far this resin gets through this part's thin wall before it sets.

use super::flow::{self, head_pa, tau_s};
use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::pour::facts::PourFacts;

/// The thin wall that the path is judged by: a tenth of the surface is thinner.
const THIN_SHARE: f32 = 0.1;
/// Pot life is taken as the time in which the mix gets ten times as thick: common practice, no source (methods differ;
/// EN 14022 asks that the method be stated).
const THICKER_AT_POT_LIFE: f64 = 10.0;

/// The reach h·√(Δp·τ/6μ₀) of the plan's resin, millimetres; none while the walls are not known or without a gate.
///
/// The head is that from the lowest gate to the top of the block, at least the shop's usual one.
pub fn reach_mm(plan: &Plan, shop: &Shop, facts: &PourFacts) -> Option<f64> {
    let walls = facts.walls?;
    through_mm(plan, shop, facts, walls.quantile(THIN_SHARE)?.thickness_mm as f64)
}

/// The same through a gap of this width.
pub fn through_mm(plan: &Plan, shop: &Shop, facts: &PourFacts, gap_mm: f64) -> Option<f64> {
    let frames = &facts.setting.frames;
    let lowest =
        plan.feed.gates.iter().map(|g| frames.point_in_box(frames.spot_in_work(&g.at)).z).fold(f64::INFINITY, f64::min);
    if !lowest.is_finite() {
        return None;
    }
    // Resin stands at the block's top when it shows at the vents; the part's own height has been climbed by then.
    let head_mm = (facts.setting.block.size_mm.z - lowest).max(shop.limits.head_mm);
    let resin = plan.resin(shop);
    let tau = tau_s(resin.pot_life_s, THICKER_AT_POT_LIFE);
    Some(flow::reach_mm(gap_mm, head_pa(resin.density_g_cm3, head_mm), tau, resin.viscosity_pa_s))
}
