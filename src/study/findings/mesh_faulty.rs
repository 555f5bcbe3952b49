//! Faults of the mesh that leave it closed or not, but doubtful.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::check::ProblemKind;

/// Findings for edges shared by too many triangles and for triangles that face opposite ways.
pub fn check(look: &Look) -> Vec<Finding> {
    let finding = |severity: Severity, message: String| Finding {
        severity,
        code: "mesh-faulty",
        step: Step::Part,
        message,
        why: "Where the surface is doubtful, so is everything that is measured from it".to_owned(),
        remedy: "Mend the mesh where it was drawn and load it again".to_owned(),
        place: None,
        remedies: Vec::new(),
    };
    let mut all = super::look::of_meshes(look, ProblemKind::InconsistentWinding, |m| finding(Severity::Warn, m));
    all.extend(super::look::of_meshes(look, ProblemKind::NonManifoldEdges, |m| finding(Severity::Note, m)));
    all.extend(super::look::of_meshes(look, ProblemKind::FlippedBodies, |m| finding(Severity::Warn, m)));
    all
}
