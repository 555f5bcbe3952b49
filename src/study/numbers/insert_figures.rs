//! Each insert and its pocket, in figures.

use crate::mesh::measure::Measures;
use crate::plan::{Half, Plan};
use crate::shop::Shop;
use crate::study::job::frames::{direction_in_box, in_box};
use crate::study::numbers::facts::NumberFacts;
use crate::study::numbers::insert_holds;
use crate::study::pour::reach::through_mm;
use serde::Serialize;

/// One insert.
#[derive(Clone, Debug, Serialize)]
pub struct InsertReport {
    /// Number.
    pub number: u32,
    /// Where its axis passes the surface.
    pub position_mm: [f64; 3],
    /// Direction of the pocket, in the box.
    pub axis: [f64; 3],
    /// What it is, in words.
    pub kind: String,
    /// Length in the rubber pocket.
    pub in_pocket_mm: f64,
    /// Resin that it displaces.
    pub displaced_mm3: f64,
    /// Half whose rubber holds it, 1 or 2; none where that is not known.
    pub half: Option<u8>,
    /// How much smaller than the insert its dummy is made, on each side.
    pub fit_mm: f64,
    /// Its weight.
    pub weight_n: f64,
    /// What of its weight pulls it out of its pocket as the block stands for casting.
    pub pull_n: f64,
    /// What the pocket grips it with.
    pub grip_n: f64,
    /// Rubber in front of its inner end when the tool is open; none where that side is open.
    pub room_mm: Option<f64>,
    /// How deep it locks its half, where its axis does not run along the draw.
    pub lock_mm: f64,
    /// The narrowest gap that resin must run through to get past it; none where there is no resin round it.
    pub gap_mm: Option<f64>,
    /// How far it runs in it.
    pub gap_length_mm: Option<f64>,
    /// How far this resin gets in such a gap before its pot life is over; none without a gate.
    pub gap_reach_mm: Option<f64>,
    /// From its rim to the nearest line between the halves; none where there is none.
    pub to_line_mm: Option<f64>,
}

/// The inserts as they stand, and what holds them.
pub fn inserts_report(plan: &Plan, shop: &Shop, facts: &NumberFacts) -> Vec<InsertReport> {
    let frames = &facts.setting.frames;
    let displaced = |i: usize| facts.body.and_then(|b| b.displaced_mm3.get(i)).copied().unwrap_or(0.0);
    plan.inserts
        .iter()
        .zip(facts.setting.inserts.iter())
        .enumerate()
        .map(|(i, (insert, shape))| {
            let hold = facts.holds.and_then(|h| h.get(i)).copied().unwrap_or_default();
            let passage = facts.passages.get(i).copied().flatten();
            let half = insert.half.or(hold.half);
            let density = insert.density_g_cm3.unwrap_or(shop.habits.insert_density_g_cm3);
            let weight_n = insert_holds::weight_n(Measures::of(&shape.solid).volume_mm3.abs(), density);
            let fit_mm = shop.limits.pocket_fit_mm;
            // The axis points into the pocket: where it points upwards the insert hangs in it.
            let hangs = shape.axis.dot(frames.cast_up()).max(0.0) as f64;
            let draw = facts.parting.map(|p| p.draw);
            let off_draw = draw.map_or(0.0, |d| shape.axis.cross(d).length() as f64);
            let rubber = insert_holds::modulus_mpa(plan.silicone(shop));
            InsertReport {
                number: insert.number,
                position_mm: in_box(frames, shape.foot),
                axis: direction_in_box(frames, shape.axis),
                kind: shape.words.clone(),
                in_pocket_mm: insert.in_pocket_mm,
                displaced_mm3: displaced(i),
                half: half.map(|h| if h == Half::One { 1 } else { 2 }),
                fit_mm,
                weight_n,
                pull_n: weight_n * hangs,
                grip_n: insert_holds::grip_n(rubber, fit_mm, insert.in_pocket_mm, shop.habits.rubber_friction),
                room_mm: hold.room_mm,
                gap_mm: passage.map(|p| p.gap_mm),
                gap_length_mm: passage.map(|p| p.length_mm),
                gap_reach_mm: passage.and_then(|p| through_mm(plan, shop, &facts.pour, p.gap_mm)),
                lock_mm: insert.in_pocket_mm * off_draw,
                to_line_mm: Some(hold.to_line_mm - shape.radius_mm)
                    .filter(|_| hold.half.is_some())
                    .filter(|mm| mm.is_finite()),
            }
        })
        .collect()
}
