//! Which figures of the report are taken from the shop's data, and where each comes from.

use crate::plan::Plan;
use crate::shop::Shop;
use serde::Serialize;

/// Where a figure of the report comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FigureSource {
    /// The figure in the report.
    pub figure: &'static str,
    /// The figure of the shop that it is, or that it is reckoned from.
    pub key: String,
    /// What stands there.
    pub value: String,
    /// Where that comes from.
    pub source: String,
}

/// Which list of the shop a figure stands in.
#[derive(Clone, Copy, PartialEq)]
enum List {
    Silicone,
    Resin,
    Panel,
    Rod,
    Limit,
    Habit,
}

use List::{Habit, Limit, Panel, Resin, Rod, Silicone};

/// Figures of the report with those of the shop that they rest on.
const RESTS_ON: &[(&str, List, &str)] = &[
    ("air.trapped_lean_mm3", Limit, "lean_deg"),
    ("air.high_points", Limit, "air_pocket_mm3"),
    ("air.near_level_mm2", Limit, "near_level_deg"),
    ("air.wedge", Limit, "prop_deg"),
    ("parting.undercuts", Limit, "undercut_lines"),
    ("flow.reach_mm", Resin, "viscosity_pa_s"),
    ("feed.gates", Limit, "gate_rim_share"),
    ("feed.gates", Limit, "gate_face_share"),
    ("block.wall_mm", Limit, "wall_mm"),
    ("block.above_mm", Limit, "above_mm"),
    ("block.freeboard_mm", Limit, "freeboard_mm"),
    ("block.freeboard_mm", Limit, "freeboard_share"),
    ("block.panel_mm", Panel, "thickness_mm"),
    ("block.bow_mm", Panel, "modulus_mpa"),
    ("block.closing", Limit, "holding_safety"),
    ("hanging.net_force_n", Silicone, "density_g_cm3"),
    ("hanging.mass_g", Habit, "master_density_g_cm3"),
    ("hanging.safety_up", Rod, "modulus_mpa"),
    ("hanging.safety_down", Rod, "glue_mpa"),
    ("silicone.mass_g", Silicone, "density_g_cm3"),
    ("silicone.mass_g", Silicone, "loss_share"),
    ("silicone.a_g", Silicone, "a_parts"),
    ("silicone.b_g", Silicone, "b_parts"),
    ("silicone.pot_litres", Silicone, "foam_factor"),
    ("silicone.pots", Habit, "pot_litres"),
    ("silicone.pot_life_s", Silicone, "pot_life_s"),
    ("silicone.pot_work_s", Habit, "rubber_mix_s"),
    ("silicone.pot_work_s", Habit, "rubber_degas_s"),
    ("silicone.pot_work_s", Habit, "rubber_pour_g_s"),
    ("silicone.cure_s", Silicone, "cure_s"),
    ("silicone.cure_at_s", Silicone, "warm_cures"),
    ("resin.part_g", Resin, "density_g_cm3"),
    ("resin.loss_g", Limit, "cup_loss_share"),
    ("resin.pool_mm3", Limit, "pool_mm"),
    ("resin.pool_mm3", Limit, "chamber_pa"),
    ("resin.a_g", Resin, "a_parts"),
    ("resin.b_g", Resin, "b_parts"),
    ("resin.tolerance_g", Limit, "ratio_pct"),
    ("resin.pot_life_s", Resin, "pot_life_s"),
    ("resin.pot_life_batch_g", Resin, "pot_life_batch_g"),
    ("resin.cup_litres", Habit, "resin_foam_factor"),
    ("resin.work_s", Habit, "resin_mix_s"),
    ("resin.work_s", Habit, "resin_degas_s"),
    ("resin.work_s", Habit, "resin_fill_s"),
    ("inserts", Limit, "pocket_fit_mm"),
    ("inserts", Resin, "viscosity_pa_s"),
    ("inserts", Habit, "insert_density_g_cm3"),
    ("inserts", Habit, "rubber_friction"),
    ("second_shot.contact_mm2", Limit, "shots_touch_mm"),
    ("second_shot.gap_mm2", Limit, "shots_gap_mm"),
    ("second_shot.hold", Limit, "shots_held_share"),
    ("second_shot.wait_s", Limit, "shots_wait_s"),
    ("size.set_c", Habit, "rubber_set_c"),
    ("size.cast_c", Resin, "mould_c"),
    ("size.growth", Habit, "rubber_expansion_per_k"),
    ("size.growth", Habit, "rubber_poisson"),
    ("size.net", Habit, "master_expansion_per_k"),
    ("size.shrinkage_pct", Resin, "shrinkage_pct"),
    ("casts.reject_share", Habit, "reject_share"),
    ("casts.set_up", Habit, "set_up_casts"),
    ("casts.tool_life", Resin, "tool_life"),
    ("days.casts_a_day", Habit, "casts_a_day"),
    ("days.casts_a_day", Habit, "work_day_s"),
    ("days.preheat_s", Habit, "rubber_diffusivity_mm2_s"),
    ("days.preheat_s", Habit, "heated_within"),
    ("days.reheat_s", Habit, "reheat_share"),
    ("days.cycle_s", Resin, "demould_s"),
    ("days.events", Habit, "master_days"),
    ("days.full_strength_date", Habit, "rest_days"),
];

/// Where the figures of `plan` come from. A material that the plan keeps and that the shop no longer has in that form
/// says so.
pub fn of(plan: &Plan, shop: &Shop) -> Vec<FigureSource> {
    let (silicone, resin, panel, rod) = (plan.silicone(shop), plan.resin(shop), plan.panel(shop), plan.rod(shop));
    let told = |figure: &str| plan.second_shot.is_some() || !figure.starts_with("second_shot.");
    RESTS_ON
        .iter()
        .filter(|(figure, ..)| told(figure))
        .map(|(figure, list, name)| {
            let (section, material, values, kept) = match list {
                Silicone => (
                    "silicones",
                    Some((&silicone.name, &silicone.source)),
                    serde_json::to_value(silicone),
                    !shop.silicones.contains(silicone),
                ),
                Resin => (
                    "resins",
                    Some((&resin.name, &resin.source)),
                    serde_json::to_value(resin),
                    !shop.resins.contains(resin),
                ),
                Panel => (
                    "panels",
                    Some((&panel.name, &panel.source)),
                    serde_json::to_value(panel),
                    !shop.panels.contains(panel),
                ),
                Rod => ("rods", Some((&rod.name, &rod.source)), serde_json::to_value(rod), !shop.rods.contains(rod)),
                Limit => ("limits", None, serde_json::to_value(shop.limits), false),
                Habit => ("habits", None, serde_json::to_value(shop.habits), false),
            };
            let value = values.ok().and_then(|v| v.get(name).cloned()).unwrap_or_default();
            let source = match material {
                Some((_, source)) if kept => format!("{source}; kept in the plan as it was"),
                Some((material, source)) => shop.source_of(section, Some(material), name).unwrap_or(source).to_owned(),
                None => shop.source_of(section, None, name).unwrap_or_default().to_owned(),
            };
            let key = crate::shop::sources::key(section, material.map(|(m, _)| m.as_str()), name);
            FigureSource { figure, key, value: value.to_string(), source }
        })
        .collect()
}
