//! The knife does not reach the part from the wall.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::parting::cut::facts::CutFacts;

/// A warning where the cut is deeper than the shop's longest blade.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let reach = look.shop.limits.blade_reach_mm;
    let Some([_, deepest]) = cut.knife_depth_mm.filter(|d| d[1] > reach) else { return Vec::new() };
    let wall = deepest_wall(cut, deepest);
    vec![Finding {
        severity: Severity::Warn,
        code: "knife-short",
        step: Step::Parting,
        message: format!(
            "The cut is {} deep from the {wall}; the longest blade reaches {}",
            length(deepest),
            length(reach)
        ),
        why: "Where the blade does not reach, the cut is made blind from within the opened gap, and wanders".to_owned(),
        remedy: "Take a smaller block or a longer blade, or open the block in steps, spreading it as you go".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}

/// The wall of the deepest station, in words.
fn deepest_wall(cut: &CutFacts, deepest: f64) -> String {
    let has = |w: &&crate::study::parting::cut::marks::WallMarks| {
        w.lines.iter().flat_map(|l| &l.stations).any(|s| s.depth_mm >= deepest)
    };
    cut.marks.iter().find(has).map_or_else(
        || "wall".to_owned(),
        |w| match w.wall.name() {
            side @ ("top" | "floor") => side.to_owned(),
            side => format!("{side} wall"),
        },
    )
}
