//! The box that the block is poured in: its panels, what bows, what holds it, and where it fits.

use super::figures::{BlockReport, PanelReport};
use crate::plan::Plan;
use crate::shop::{Limits, Panel, Shop, Vessel};
use crate::solve::plate;
use crate::study::job::block::Block;
use crate::study::job::gravity::STANDARD_GRAVITY;
use crate::study::job::wall_name::WallName;
use crate::study::numbers::facts::NumberFacts;
use glam::DVec3;

/// Poisson's ratio of a panel, as the plate's tables take it: 0.3, handbook value for plates.
const PANEL_POISSON: f64 = 0.3;
/// How the panels are joined.
const JOINT: &str = "butt joint, short sides between the long ones, all four on the floor";

/// Height of wall kept free over the rubber, millimetres.
pub fn freeboard_mm(depth_mm: f64, degas_in_box: bool, limits: &Limits) -> f64 {
    if degas_in_box { depth_mm * limits.freeboard_share } else { limits.freeboard_mm }
}

/// Panels of a box of this inside, butt-jointed: long sides over the short ones, all on the floor. Where all sides are equal
/// front and back are the long ones.
pub fn cut_list(inside_mm: DVec3, wall_height_mm: f64, thickness_mm: f64) -> Vec<PanelReport> {
    let (long, short) = (inside_mm.x.max(inside_mm.y), inside_mm.x.min(inside_mm.y));
    let t2 = 2.0 * thickness_mm;
    let (along, across) = (vec![WallName::Front, WallName::Back], vec![WallName::Left, WallName::Right]);
    let (long_ones, short_ones) = if inside_mm.x >= inside_mm.y { (along, across) } else { (across, along) };
    vec![
        PanelReport { what: "long side".into(), count: 2, stands: long_ones, size_mm: [long + t2, wall_height_mm] },
        PanelReport { what: "short side".into(), count: 2, stands: short_ones, size_mm: [short, wall_height_mm] },
        PanelReport { what: "floor".into(), count: 1, stands: vec![WallName::Floor], size_mm: [long + t2, short + t2] },
    ]
}

/// Largest bow of a wall of a box under a liquid that stands `depth_mm` high, mm: α·ρ·g·h·b⁴/D with α from
/// [`plate::open_top`]. The wall's rim is taken at the liquid's surface, which is on the safe side of a higher one.
pub fn bow_mm(width_mm: f64, depth_mm: f64, liquid_g_cm3: f64, panel: &Panel) -> f64 {
    // N/mm²: g/cm³ is 10⁻⁶ kg/mm³, and m/s² of it 10⁻⁶ N/mm³.
    let pressure = liquid_g_cm3 * 1e-6 * STANDARD_GRAVITY * depth_mm;
    let rigidity = plate::rigidity(panel.modulus_mpa, panel.thickness_mm, PANEL_POISSON);
    plate::open_top(depth_mm / width_mm, PANEL_POISSON).deflection * pressure * width_mm.powi(4) / rigidity
}

/// Whether a thing of this size goes through the door and stands inside, turned as it likes on its floor, with
/// `above_mm` free over it.
pub fn fits(vessel: &Vessel, [wide, deep, high]: [f64; 3], above_mm: f64) -> bool {
    let [room_wide, room_deep, room_high] = vessel.inside_mm;
    let [door_wide, door_high] = vessel.door_mm;
    let stands = |w: f64, d: f64| w <= room_wide && d <= room_deep;
    (stands(wide, deep) || stands(deep, wide))
        && wide.min(deep) <= door_wide
        && high <= door_high
        && high + above_mm <= room_high
}

/// Length, width and height that the block takes up as it stands for casting.
fn standing_mm(block: &Block, facts: &NumberFacts) -> ([f64; 3], f64) {
    let turn = facts.setting.frames.cast_from_box;
    let half = block.size_mm * 0.5;
    let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for corner in 0..8u32 {
        let side = |bit: u32| if corner & bit == 0 { -1.0 } else { 1.0 };
        let p = DVec3::new(side(1) * half.x, side(2) * half.y, if corner & 4 == 0 { 0.0 } else { block.size_mm.z });
        let p = turn.transform_point3(p);
        (low, high) = (low.min(p), high.max(p));
    }
    ((high - low).to_array(), high.z)
}

/// The block of `plan` with `rubber_g` of rubber in it, `resin_g` of resin in the cavity, and `channels_mm3` of channels.
pub fn block_report(
    plan: &Plan,
    shop: &Shop,
    facts: &NumberFacts,
    rubber_g: f64,
    resin_g: f64,
    channels_mm3: f64,
) -> BlockReport {
    let block = &facts.setting.block;
    let (panel, limits) = (plan.panel(shop), &shop.limits);
    let inside = block.size_mm;
    let rubber = plan.silicone(shop).density_g_cm3;
    let freeboard_mm = freeboard_mm(inside.z, plan.block.degas_in_box, limits);
    let t = panel.thickness_mm;
    let outside = inside + DVec3::new(2.0 * t, 2.0 * t, freeboard_mm + t);
    let (standing, top) = standing_mm(block, facts);
    let cup_mm = plan.feed.cup.height_mm;
    let with_cup = [standing[0], standing[1], standing[2] + cup_mm];
    let in_box = outside.to_array();
    let chamber = shop
        .chambers
        .iter()
        .find(|v| fits(v, with_cup, v.free_above_mm) && (!plan.block.degas_in_box || fits(v, in_box, 0.0)));
    let mould_c = plan.resin(shop).mould_c;
    let oven = shop.ovens.iter().find(|v| v.hottest_c >= mould_c && fits(v, with_cup, v.free_above_mm));
    let frames = &facts.setting.frames;
    let lift_of_work = (frames.cast_from_box * frames.box_from_work).translation.z;
    let shape = facts.shape;
    let level = top + cup_mm - lift_of_work;
    let joint_head_mm = shape.map_or(0.0, |s| level - s.cast_heights_mm[0]);
    // mm³·g/cm³ is 10⁻⁶ kg.
    let lift_force_n =
        shape.map_or(0.0, |s| s.push_mm3(level) * 1e-6 * plan.resin(shop).density_g_cm3 * STANDARD_GRAVITY);
    let closing = shop.closings.iter().find(|c| c.holds_n >= lift_force_n * limits.holding_safety);
    BlockReport {
        size_mm: inside.to_array(),
        volume_mm3: block.volume_mm3(),
        wall_mm: block.wall_mm,
        below_mm: block.below_mm,
        above_mm: block.above_mm,
        channels_mm3,
        outside_mm: in_box,
        freeboard_mm,
        // The beam is known once it is known how the master hangs.
        rod_beyond_mm: freeboard_mm,
        panel: panel.name.clone(),
        panel_mm: t,
        panels: cut_list(inside, inside.z + freeboard_mm, t),
        joint: JOINT.to_owned(),
        bow_mm: bow_mm(inside.x.max(inside.y), inside.z, rubber, panel),
        mass_kg: (rubber_g + resin_g) / 1000.0,
        standing_mm: with_cup,
        chamber: chamber.map(|v| v.name.clone()),
        oven: oven.map(|v| v.name.clone()),
        joint_head_mm,
        lift_force_n,
        closing: closing.map(|c| c.name.clone()),
    }
}
