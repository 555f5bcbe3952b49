//! Vents that do not meet the part.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::air::MouthOf;
use crate::study::job::words::length;
use glam::Vec3;

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
                message: format!(
                    "Vent {number} does not touch the part{}, and is not counted",
                    away(look, mouth.centre)
                ),
                why: "A vent that ends in rubber lets no air out. The mesh may have changed under it".to_owned(),
                remedy: "Drag it back onto the part, or take it out".to_owned(),
                place: Some(mouth.centre),
                remedies: vec![Remedy::RemoveVent(number)],
            });
        }
    }
    findings
}

/// How far off it lies, in words.
fn away(look: &Look, at: Vec3) -> String {
    let nearest = look.facts.body.as_ref().and_then(|b| b.tree.nearest(at));
    nearest.map_or_else(String::new, |n| format!(": it ends in rubber, {} off", length(f64::from(n.distance))))
}
