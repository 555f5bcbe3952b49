//! A part of a size that hints at the wrong unit.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::Unit;
use crate::study::job::mesh_store::LARGEST_MM;
use crate::study::job::words::length;

/// A part shorter than this is hardly cast in a silicone tool, millimetres.
const SMALLEST_MM: f64 = 10.0;
/// What a part is compared with where its unit is doubted, millimetres.
const USUAL_MM: f64 = 100.0;

/// One finding for each part of a doubtful size.
pub fn check(look: &Look) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, (part, loaded)) in look.plan.parts.iter().zip(&look.facts.setting.placed.loaded).enumerate() {
        let longest = loaded.longest_mm();
        if (SMALLEST_MM..=LARGEST_MM).contains(&longest) || !super::look::is_first_of_kind(look.plan, i) {
            continue;
        }
        // The other unit that comes nearest to a usual part.
        let in_unit = |u: Unit| longest / part.unit.mm() * u.mm();
        let off = |u: &Unit| (in_unit(*u) / USUAL_MM).ln().abs();
        let others = Unit::ALL.into_iter().filter(|u| *u != part.unit);
        let Some(other) = others.min_by(|a, b| off(a).total_cmp(&off(b))) else { continue };
        findings.push(Finding {
            severity: Severity::Warn,
            code: "unit-doubtful",
            step: Step::Part,
            message: format!("{} is {} long, read in {}", part.name, length(longest), part.unit.name()),
            why: format!(
                "An STL file does not say its unit. Read in {} the part would be {} long",
                other.name(),
                length(in_unit(other))
            ),
            remedy: "Check one length of the part against the drawing".to_owned(),
            place: None,
            remedies: vec![Remedy::SwitchUnit(i, other)],
        });
    }
    findings
}
