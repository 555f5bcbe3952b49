//! How large the casts come out: growth of the warm cavity, shrinkage of the resin, flash across the cut, and the master
//! scale that cancels them.

use crate::plan::{Along, Dimension, Held, Plan};
use crate::shop::{COLD_CURE_C, Habits, Limits, Shop};
use crate::study::numbers::figures::{DimensionReport, SizeReport};

/// Factors by which the cavity is larger at `cast_c` than it set at `set_c`, by the directions of the box: length, width,
/// height. Free, 1 + α·ΔT all round; between four stiff walls nothing sideways and 1 + α·ΔT·(1 + ν)/(1 − ν) upwards
/// (linear elasticity; Timoshenko & Goodier, *Theory of Elasticity*).
pub fn growth(expansion_per_k: f64, poisson: f64, set_c: f64, cast_c: f64, held: Held) -> [f64; 3] {
    let free = expansion_per_k * (cast_c - set_c);
    match held {
        Held::Free => [1.0 + free; 3],
        Held::FourSides => [1.0, 1.0, 1.0 + free * (1.0 + poisson) / (1.0 - poisson)],
    }
}

/// Length of the cast over that of the cold master, by direction: the master's own growth where the rubber set warm on
/// it, growth of the cavity, shrinkage of the resin.
pub fn net(growth: [f64; 3], master_expansion_per_k: f64, set_c: f64, room_c: f64, shrinkage_pct: f64) -> [f64; 3] {
    let master = 1.0 + master_expansion_per_k * (set_c - room_c);
    growth.map(|g| master * g * (1.0 - shrinkage_pct / 100.0))
}

/// The one scale of the master that cancels factors which differ by direction, as far as one scale can: 1 over their
/// geometric mean, which keeps the volume.
pub fn cancelling(net: [f64; 3]) -> f64 {
    1.0 / (net[0] * net[1] * net[2]).cbrt()
}

/// Spread of a length that practice allows, mm.
pub fn spread_mm(length_mm: f64, limits: &Limits) -> f64 {
    limits.size_spread_mm.max(length_mm * limits.size_spread_pct / 100.0)
}

/// A dimension before and after.
pub fn dimension(wanted: &Dimension, net: [f64; 3], master_over_part: f64, limits: &Limits) -> DimensionReport {
    let factor = match wanted.along {
        Along::Length => net[0],
        Along::Width => net[1],
        Along::Height => net[2],
    };
    let master_mm = wanted.length_mm * master_over_part;
    let [thin, thick] = if wanted.across_cut { limits.flash_mm } else { [0.0; 2] };
    let spread_mm = spread_mm(wanted.length_mm, limits);
    let bare = master_mm * factor;
    DimensionReport {
        name: wanted.name.clone(),
        wanted_mm: wanted.length_mm,
        master_mm,
        cast_mm: bare + 0.5 * (thin + thick),
        least_mm: bare + thin - spread_mm,
        most_mm: bare + thick + spread_mm,
        spread_mm,
        flash_mm: [thin, thick],
    }
}

/// The sizes of a plan's casts.
pub fn size(plan: &Plan, shop: &Shop) -> SizeReport {
    let (habits, resin): (&Habits, _) = (&shop.habits, plan.resin(shop));
    let set_c = plan.block.cure_c.unwrap_or(habits.rubber_set_c);
    let held = plan.block.held;
    let growth = growth(habits.rubber_expansion_per_k, habits.rubber_poisson, set_c, resin.mould_c, held);
    let net = net(growth, habits.master_expansion_per_k, set_c, COLD_CURE_C, resin.shrinkage_pct);
    let assumption = match held {
        Held::Free => "the block is as warm as the oven and grows the same in all directions",
        Held::FourSides => "the block is as warm as the oven, and stiff walls on four sides let it grow upwards only",
    };
    SizeReport {
        set_c,
        cast_c: resin.mould_c,
        growth,
        shrinkage_pct: resin.shrinkage_pct,
        net,
        assumption: assumption.to_owned(),
        cancelling_factor: cancelling(net),
        master_over_part: plan.master_over_part(),
        dimensions: plan.dimensions.iter().map(|d| dimension(d, net, plan.master_over_part(), &shop.limits)).collect(),
    }
}
