//! A part whose surface is not closed.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::check::ProblemKind;

/// One finding for each part with open edges.
pub fn check(look: &Look) -> Vec<Finding> {
    super::look::of_meshes(look, ProblemKind::OpenEdges, |message| Finding {
        severity: Severity::Warn,
        code: "mesh-not-closed",
        step: Step::Part,
        message,
        why: "Only a closed surface says what is part and what is air. Air and volume come from cells now, with their \
              error; the printer of the master may fill the hole in its own way"
            .to_owned(),
        remedy: "Close the surface where it was drawn and load it again".to_owned(),
        place: None,
        remedies: Vec::new(),
    })
}
