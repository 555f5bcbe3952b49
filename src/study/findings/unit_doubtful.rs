//! A part of a size that hints at the wrong unit.

use super::words::length;
use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::mesh_store::LARGEST_MM;

/// A part shorter than this is hardly cast in a silicone tool, millimetres.
const SMALLEST_MM: f64 = 10.0;

/// One finding for each part of a doubtful size.
pub fn check(look: &Look) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, (part, loaded)) in look.plan.parts.iter().zip(&look.facts.setting.placed.loaded).enumerate() {
        let longest = loaded.longest_mm();
        if (SMALLEST_MM..=LARGEST_MM).contains(&longest) || !super::is_first_of_kind(look.plan, i) {
            continue;
        }
        let (read_as, other) = (part.unit.name(), part.unit.other());
        let (other, other_mm) = (other.name(), longest / part.unit.mm() * other.mm());
        findings.push(Finding {
            severity: Severity::Warn,
            code: "unit-doubtful",
            step: Step::Part,
            message: format!("{} is {} long, read in {read_as}", part.name, length(longest)),
            why: format!(
                "An STL file does not say its unit. Read in {other} the part would be {} long",
                length(other_mm)
            ),
            remedy: "Check one length of the part against the drawing".to_owned(),
            place: None,
            remedies: vec![Remedy::SwitchUnit(i)],
        });
    }
    findings
}
