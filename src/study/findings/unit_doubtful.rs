//! A part of a size that hints at the wrong unit.

use super::words::length;
use super::{Finding, Look, Remedy, Severity, Step};
use crate::plan::Unit;

/// A part shorter than this is hardly cast in a silicone tool, millimetres.
const SMALLEST_MM: f64 = 10.0;
/// A part longer than this fits hardly any chamber, millimetres.
const LARGEST_MM: f64 = 1500.0;

/// One finding for each part of a doubtful size.
pub fn check(look: &Look) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, (part, loaded)) in look.plan.parts.iter().zip(&look.facts.setting.placed.loaded).enumerate() {
        let longest = loaded.mesh.bounds().size().max_element() as f64;
        if (SMALLEST_MM..=LARGEST_MM).contains(&longest) || !super::is_first_of_kind(look.plan, i) {
            continue;
        }
        let (read_as, other, other_mm) = match part.unit {
            Unit::Millimetre => ("millimetres", "inches", longest * 25.4),
            Unit::Inch => ("inches", "millimetres", longest / 25.4),
        };
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
