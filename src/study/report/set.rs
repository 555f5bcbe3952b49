//! The set's part of the report: which parts one shot gives, and where each stands in the block.

use crate::plan::{Bodies, Plan};
use crate::study::bench::Facts;
use glam::DVec3;
use serde::Serialize;

/// One part in the block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PartPlaceReport {
    /// What it is called; copies are counted.
    pub name: String,
    /// What its kind is called.
    pub kind: String,
    /// The middle of the box round it, in the box.
    pub position_mm: [f64; 3],
    /// Length, width and height of that box.
    pub size_mm: [f64; 3],
    /// Groups of bodies in its file that do not hang together.
    pub bodies_in_file: usize,
    /// Which of them it is: `all`, `one`, or `not said`.
    pub of_bodies: &'static str,
    /// Rubber to the nearest other part; none for a part alone, and before it is known.
    pub to_next_mm: Option<f64>,
}

impl PartPlaceReport {
    /// The lowest, leftmost, foremost corner of the box round it.
    pub fn corner_mm(&self) -> [f64; 3] {
        std::array::from_fn(|k| self.position_mm[k] - 0.5 * self.size_mm[k])
    }
}

/// The parts of `plan` as they stand.
pub fn places(plan: &Plan, facts: &Facts) -> Vec<PartPlaceReport> {
    let setting = &facts.setting;
    let kinds = plan.kinds();
    let between = &facts.between;
    setting
        .upright
        .iter()
        .enumerate()
        .map(|(i, bounds)| {
            let (low, high) = (bounds.min.as_dvec3(), bounds.max.as_dvec3());
            let middle: DVec3 = 0.5 * (low + high) - setting.block.floor_middle;
            let nearest = between.iter().filter(|b| b.parts.contains(&i)).map(|b| b.distance_mm);
            PartPlaceReport {
                name: plan.part_title(i),
                kind: kinds.iter().find(|k| k.parts.contains(&i)).map_or(String::new(), |k| k.name.clone()),
                position_mm: middle.to_array(),
                size_mm: (high - low).to_array(),
                bodies_in_file: setting.placed.loaded.get(i).map_or(1, |l| l.in_file),
                of_bodies: of_bodies(plan, facts, i),
                to_next_mm: nearest.min_by(f64::total_cmp),
            }
        })
        .collect()
}

fn of_bodies(plan: &Plan, facts: &Facts, i: usize) -> &'static str {
    match plan.parts.get(i).map(|p| p.bodies) {
        Some(Bodies::One(_)) => "one",
        Some(Bodies::NotSaid) if facts.setting.placed.loaded.get(i).is_some_and(|l| l.loose() > 1) => "not said",
        _ => "all",
    }
}
