//! Bodies of one mesh that touch or overlap.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::check::ProblemKind;

/// One note for each such part.
pub fn check(look: &Look) -> Vec<Finding> {
    super::look::of_meshes(look, ProblemKind::BodiesMeet, |message| Finding {
        severity: Severity::Note,
        code: "bodies-overlap",
        step: Step::Part,
        message,
        why: "They were united before anything was measured, so nothing is counted twice".to_owned(),
        remedy: "Nothing, if they are meant to be one part".to_owned(),
        place: None,
        remedies: Vec::new(),
    })
}
