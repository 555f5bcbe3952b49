//! A hollow master that keeps its air.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::Stage;
use crate::study::numbers::hanging::is_sealed_hollow;

/// One finding where the master is hollow and closed, until the rubber is poured.
pub fn check(look: &Look) -> Vec<Finding> {
    if look.plan.stage >= Stage::Poured || !is_sealed_hollow(look.plan, &look.facts.for_numbers()) {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Warn,
        code: "master-sealed",
        step: Step::Hang,
        message: "The master is hollow and sealed".to_owned(),
        why:
            "Under vacuum its air comes out through the smallest leak and bubbles into the rubber for as long as it is \
              liquid; a thin skin can burst"
                .to_owned(),
        remedy: "Drill a hole where it does no harm and lead it into a rod, fill the hollow, or print it solid"
            .to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
