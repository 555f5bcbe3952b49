//! Vents that do not meet the part.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::air::MouthOf;

/// One Stop for each vent whose mouth lies off the part.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(air) = &look.facts.air else { return Vec::new() };
    let mut findings = Vec::new();
    for (mouth, rim) in air.mouths.iter().zip(&air.trapped.rims) {
        if let MouthOf::Vent(number) = mouth.of
            && rim.is_none()
        {
            findings.push(Finding {
                severity: Severity::Stop,
                code: "vent-off-part",
                step: Step::Vents,
                message: format!("Vent {number} does not touch the part"),
                why: "A vent that ends in rubber lets no air out. The mesh may have changed under it".to_owned(),
                remedy: "Drag it back onto the part, or take it out".to_owned(),
                place: Some(mouth.centre),
                remedies: vec![Remedy::RemoveVent(number)],
            });
        }
    }
    findings
}
