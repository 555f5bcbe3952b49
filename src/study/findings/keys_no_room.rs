//! A side of the cut has no room for keys.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::parting::cut::keys::{A_SIDE, LEAST_ROOM_MM, SMOOTH_MM};
use crate::study::parting::cut::surface::CutSurface;

/// One finding that names the sides with fewer keys than wanted: a warning where hardly any side has keys.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let poor: Vec<_> = cut.sides.iter().filter(|s| s.keys < A_SIDE).collect();
    if poor.is_empty() || cut.surface.is_err() {
        return Vec::new();
    }
    let said: Vec<String> = poor
        .iter()
        .map(|s| format!("{} ({} keys, {} of rubber)", CutSurface::wall(s.wall).name(), s.keys, length(s.room_mm)))
        .collect();
    vec![Finding {
        severity: if cut.keys.len() < A_SIDE { Severity::Warn } else { Severity::Note },
        code: "keys-no-room",
        step: Step::Parting,
        message: format!(
            "Fewer than {A_SIDE} keys have room on {} of {} sides of the cut: {}. A key needs {} beside the smooth band of {}",
            poor.len(),
            cut.sides.len(),
            said.join(", "),
            length(LEAST_ROOM_MM),
            length(SMOOTH_MM)
        ),
        why: "Without keys on a side the halves slide on each other there and the cast gets a step along its line"
            .to_owned(),
        remedy: "Take a wider block, or hold that side by boards when the block is closed".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
