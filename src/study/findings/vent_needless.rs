//! Vents without which nothing more would stay.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::air::MouthOf;

/// One note for each vent that can go with all others that can.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(air) = &look.facts.air else { return Vec::new() };
    let vents = air.needless.iter().filter(|n| n.is_some()).count();
    let mut findings = Vec::new();
    for (mouth, needless) in air.mouths.iter().zip(&air.needless) {
        let (MouthOf::Vent(number), Some(needless)) = (mouth.of, needless) else { continue };
        let instead = match needless.instead {
            Some(MouthOf::Vent(other)) => format!(": vent {other} lets its air out"),
            Some(MouthOf::Gate(other)) => format!(": gate {other} lets its air out"),
            _ => String::new(),
        };
        let without = if vents == 1 { "Without it" } else { "Without all that are not needed" };
        findings.push(Finding {
            severity: Severity::Note,
            code: "vent-needless",
            step: Step::Vents,
            message: format!("Vent {number} is not needed{instead}. {without} no more air stays, level or leaning."),
            why: "Every vent is a rod to set, a channel to clean and a stalk to trim from each cast".to_owned(),
            remedy: "Take it out, or keep it on purpose".to_owned(),
            place: Some(mouth.centre),
            remedies: vec![Remedy::RemoveVent(number)],
        });
    }
    findings
}
