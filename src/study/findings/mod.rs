//! Judgements on facts: one file a rule.
//!
//! A rule looks at the plan, the shop and the facts that are there, and returns every finding that it has. Where its
//! fact is still being computed it says nothing. It computes nothing of its own beyond comparing with a limit.

mod carried_out;
pub mod finding;

mod air_in_rubber;
mod air_on_cells;
mod air_trapped;
mod basin_second;
mod blade_meets_core;
mod blade_meets_metal;
mod bodies_loose;
mod bodies_overlap;
mod box_unfit;
mod cast_light;
mod cavity_not_united;
mod ceiling_level;
mod channel_in_part;
mod channel_off_cut;
mod channels_close;
pub mod core_locked;
mod cup_small;
mod cure_trial;
mod cut_missing;
mod cut_thin;
mod enclosed_void;
mod fill_poor;
mod flow_far;
mod gate_blade;
mod gate_falls;
mod gate_missing;
mod gate_off_part;
mod gate_on_shown;
mod gate_wide;
mod half_in_pieces;
mod halves_hook;
mod insert_gap;
mod insert_held;
mod insert_in_the_way;
mod insert_outside;
mod insert_thin_resin;
mod keys_no_room;
mod knife_short;
mod level_too_thin;
mod line_on_shown;
mod line_open;
pub mod look;
mod loose_piece_held;
mod master_held;
mod master_sealed;
mod mesh_changed;
mod mesh_crosses;
mod mesh_faulty;
mod mesh_not_closed;
mod mesh_repaired;
mod part_unreached;
mod parts_near;
mod pin_missed;
mod relief_cut_short;
mod rubber_between;
mod rubber_slender;
mod rubber_slow;
mod rubber_thin;
mod shot_over_pot_life_batch;
mod shots_held;
mod shots_in_order;
mod shots_meet;
mod shut_off;
mod size_off;
mod tool_worn;
mod tools_several;
mod turned_over;
mod undercut;
mod unit_doubtful;
mod vent_by_line;
mod vent_needless;
mod vent_off_part;
mod vent_wide;
mod wall_thick;
mod wall_thin;
mod wedge_helps;

pub use finding::{Finding, Remedy, Severity, Step};
pub use look::Look;

use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::numbers::of_bench::BenchNumbers;

/// One rule.
type Rule = fn(&Look) -> Vec<Finding>;

/// Every rule.
const RULES: &[Rule] = &[
    bodies_loose::check,
    mesh_not_closed::check,
    mesh_crosses::check,
    mesh_faulty::check,
    mesh_repaired::check,
    mesh_changed::check,
    enclosed_void::check,
    bodies_overlap::check,
    parts_near::check,
    unit_doubtful::check,
    shots_meet::check,
    shots_held::check,
    air_on_cells::check,
    air_trapped::check,
    vent_off_part::check,
    vent_needless::check,
    vent_wide::check,
    vent_by_line::check,
    turned_over::check,
    ceiling_level::check,
    air_in_rubber::check,
    wedge_helps::check,
    half_in_pieces::check,
    core_locked::check,
    undercut::check,
    relief_cut_short::check,
    loose_piece_held::check,
    shut_off::check,
    line_on_shown::check,
    line_open::check,
    pin_missed::check,
    cut_missing::check,
    channel_in_part::check,
    channel_off_cut::check,
    knife_short::check,
    keys_no_room::check,
    cut_thin::check,
    halves_hook::check,
    blade_meets_metal::check,
    blade_meets_core::check,
    gate_missing::check,
    gate_off_part::check,
    gate_on_shown::check,
    gate_wide::check,
    gate_blade::check,
    cup_small::check,
    part_unreached::check,
    basin_second::check,
    level_too_thin::check,
    gate_falls::check,
    flow_far::check,
    fill_poor::check,
    wall_thin::check,
    insert_outside::check,
    insert_in_the_way::check,
    insert_held::check,
    insert_thin_resin::check,
    insert_gap::check,
    rubber_slender::check,
    rubber_between::check,
    rubber_thin::check,
    channels_close::check,
    cure_trial::check,
    master_sealed::check,
    master_held::check,
    cavity_not_united::check,
    box_unfit::check,
    rubber_slow::check,
    wall_thick::check,
    shot_over_pot_life_batch::check,
    shots_in_order::check,
    size_off::check,
    tools_several::check,
    tool_worn::check,
    cast_light::check,
];

/// Every finding on a plan, worst first, then in the order of the bench.
pub fn judge(plan: &Plan, shop: &Shop, facts: &Facts) -> Vec<Finding> {
    let numbers = BenchNumbers::of(plan, shop, &facts.for_numbers());
    let look = Look { plan, shop, facts, numbers: &numbers };
    let mut findings: Vec<Finding> = RULES.iter().flat_map(|rule| rule(&look)).collect();
    findings.sort_by_key(|f| (f.severity, f.step));
    findings
}
