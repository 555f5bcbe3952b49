//! A body whose own surface runs through itself.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::check::ProblemKind;

/// One Stop for each part that has such a body.
pub fn check(look: &Look) -> Vec<Finding> {
    super::look::of_meshes(look, ProblemKind::CrossesItself, |message| {
        Finding {
        severity: Severity::Stop,
        code: "mesh-crosses",
        step: Step::Part,
        message,
        why: "Where a surface runs through itself nobody can say what is part and what is rubber. Air and volume come from \
              cells now, with their error, and the block cannot be cut open along it"
            .to_owned(),
        remedy: "Unite what overlaps where the part was drawn, so that its surface keeps clear of itself, and load it again"
            .to_owned(),
        place: None,
        remedies: Vec::new(),
    }
    })
}
