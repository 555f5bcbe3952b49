//! A void inside the part.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::check::ProblemKind;

/// One Stop for each part with an enclosed void.
pub fn check(look: &Look) -> Vec<Finding> {
    super::look::of_meshes(look, ProblemKind::EnclosedVoid, |message| Finding {
        severity: Severity::Stop,
        code: "enclosed-void",
        step: Step::Part,
        message,
        why: "Rubber cannot get into it and no core can come out of it".to_owned(),
        remedy: "Open it to the outside, fill it, or cast the part in two".to_owned(),
        place: None,
        remedies: Vec::new(),
    })
}
