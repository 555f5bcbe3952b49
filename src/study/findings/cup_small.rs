//! A cup that does not hold what the let-up draws.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::{length, volume};
use crate::study::pour::let_up::LetUp;

/// A warning where the pool that must stand in the cup is deeper than the cup.
pub fn check(look: &Look) -> Vec<Finding> {
    if look.plan.feed.gates.is_empty() {
        return Vec::new();
    }
    let let_up = LetUp::of(look.plan, look.shop, &look.facts.for_pour());
    let cup = &look.plan.feed.cup;
    if let_up.in_cup_mm <= cup.height_mm {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Warn,
        code: "cup-small",
        step: Step::Feed,
        message: format!(
            "Letting the chamber up draws {} out of the cup: {} must stand in it, and it is {} high",
            volume(let_up.draws_mm3),
            length(let_up.in_cup_mm),
            length(cup.height_mm)
        ),
        why: "Once the cup is empty air goes in after the resin, and the cast is short or full of bubbles".to_owned(),
        remedy: "Take a wider or higher cup, or vent the air that is closed in".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
