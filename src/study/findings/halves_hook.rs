//! Halves that hook into each other when they are pulled apart along the draw.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::words::{length, volume};

/// Less that is in the way is the rounding of the sheet's own facets, mm³: set here.
const LEAST_MM3: f64 = 0.5;

/// A Warn for each place where one half reaches over the other by more than rubber lets go of by itself.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let limit = look.shop.limits.undercut_depth_mm;
    let hooks = cut.hooks.iter().filter(|h| h.depth_mm > limit && h.volume_mm3 >= LEAST_MM3);
    hooks
        .map(|hook| Finding {
            severity: Severity::Warn,
            code: "halves-hook",
            step: Step::Parting,
            message: format!(
                "The halves hook into each other by {}, more than {}: pulled {} along the draw, half 1 cuts {} into half 2",
                length(hook.depth_mm),
                length(limit),
                length(hook.pulled_mm),
                volume(hook.volume_mm3)
            ),
            why: "Rubber that overhangs rubber tears at its lip when the halves are pulled apart, and traps the cast between them"
                .to_owned(),
            remedy: "Bend that lip back first and lift the halves apart beside it, or lead the line with a pin so that it does not \
                     turn back under itself, or choose another draw"
                .to_owned(),
            place: Some(hook.place),
            remedies: vec![Remedy::ProposeDraw],
        })
        .collect()
}
