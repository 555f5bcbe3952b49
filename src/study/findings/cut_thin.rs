//! Too little rubber over or under the cut.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;

/// A warning where a half is thinner than the shop's least rubber somewhere beside the cut.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let limit = look.shop.limits.least_rubber_mm;
    let Some((mm, place)) = cut.least_rubber.filter(|l| l.0 < limit) else { return Vec::new() };
    vec![Finding {
        severity: Severity::Warn,
        code: "cut-thin",
        step: Step::Parting,
        message: format!("Only {} of rubber is left beside the cut; less than {} flaps", length(mm), length(limit)),
        why: "A thin lip of rubber bends when the block is closed, lets resin through, and tears off after a few casts"
            .to_owned(),
        remedy: "Make the block larger on that side, or lead the line so that the cut stays clear of it".to_owned(),
        place: Some(place),
        remedies: Vec::new(),
    }]
}
