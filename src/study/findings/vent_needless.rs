//! Vents without which nothing more would stay.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::air::MouthOf;

/// One note for each vent that can go.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(air) = &look.facts.air else { return Vec::new() };
    let mut findings = Vec::new();
    for ((mouth, needless), rim) in air.mouths.iter().zip(&air.needless).zip(&air.trapped.rims) {
        if let MouthOf::Vent(number) = mouth.of
            && *needless
            && rim.is_some()
        {
            findings.push(Finding {
                severity: Severity::Note,
                code: "vent-needless",
                step: Step::Vents,
                message: format!("Vent {number} is not needed: without it no more air stays, level or leaning"),
                why: "Every vent is a rod to set, a channel to clean and a stalk to trim from each cast".to_owned(),
                remedy: "Take it out, or keep it on purpose".to_owned(),
                place: Some(mouth.centre),
                remedies: vec![Remedy::RemoveVent(number)],
            });
        }
    }
    findings
}
