//! Basins of the cavity without a gate.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::air::closed_off::Pocket;
use crate::study::job::spot::spot_on_part;
use crate::study::job::words::volume;

/// A basin that holds this share of the part is warned of: set here.
const LARGE: f64 = 0.05;

/// One finding for each basin that fills only over a sill.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(basins), Some(body)) = (&look.facts.standing.basins, &look.facts.body) else { return Vec::new() };
    let found = |basin: &Pocket| Finding {
        severity: if basin.volume_mm3 >= LARGE * body.measures.volume_mm3.abs() {
            Severity::Warn
        } else {
            Severity::Note
        },
        code: "basin-second",
        step: Step::Feed,
        message: format!(
            "A basin of {} has no gate: resin comes into it only over a sill {:.1} mm above its bottom",
            volume(basin.volume_mm3),
            basin.depth_mm
        ),
        why: "Resin that falls over a sill folds air in, and meets itself cold at a knit line when the basin is full"
            .to_owned(),
        remedy: "Put a gate at the bottom of it too, or tilt or turn the block so that it fills from one gate upwards"
            .to_owned(),
        place: Some(basin.position),
        remedies: vec![Remedy::AddGate(spot_on_part(&look.facts.setting, body, basin.position))],
    };
    basins.pockets.iter().map(found).collect()
}
