//! What was put right on reading.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// One note for each thing that was put right or was odd.
pub fn check(look: &Look) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, (part, loaded)) in look.plan.parts.iter().zip(&look.facts.setting.placed.loaded).enumerate() {
        if !super::look::is_first_of_kind(look.plan, i) {
            continue;
        }
        for repair in &loaded.repairs {
            findings.push(Finding {
                severity: Severity::Note,
                code: "mesh-repaired",
                step: Step::Part,
                message: format!("{}: {}", part.name, repair.trim_end_matches('.')),
                why: "The plan works on the mesh as it was put right; the file on disk is untouched".to_owned(),
                remedy: "Nothing, if that is what was meant".to_owned(),
                place: None,
                remedies: Vec::new(),
            });
        }
    }
    findings
}
