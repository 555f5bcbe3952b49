//! A plan without a gate.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;

/// One Stop where there is none.
pub fn check(look: &Look) -> Vec<Finding> {
    if !look.plan.feed.gates.is_empty() {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Stop,
        code: "gate-missing",
        step: Step::Feed,
        message: "There is no gate: resin has no way in".to_owned(),
        why: "The feed rod is set on the master before the rubber is poured".to_owned(),
        remedy: "Click on the part to place a gate, or have one proposed".to_owned(),
        place: None,
        remedies: vec![Remedy::ProposeFeed],
    }]
}
