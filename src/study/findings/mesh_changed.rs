//! A mesh file that is no longer the one the plan was made with.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;

/// One finding for each part whose file has changed.
pub fn check(look: &Look) -> Vec<Finding> {
    let parts = look.plan.parts.iter().zip(&look.facts.setting.placed.loaded);
    parts
        .enumerate()
        .filter(|(i, (part, loaded))| {
            super::look::is_first_of_kind(look.plan, *i) && !part.digest.is_empty() && part.digest != loaded.digest
        })
        .map(|(i, (part, loaded))| Finding {
            severity: Severity::Warn,
            code: "mesh-changed",
            step: Step::Part,
            message: format!("The mesh of {} has changed since the plan was made", part.name),
            why: "Gates, vents and pins keep their place in space; the new surface may have moved away from them"
                .to_owned(),
            remedy: "Look at every placed thing, then accept the new mesh".to_owned(),
            place: None,
            remedies: vec![Remedy::AcceptMesh(i, loaded.digest.clone())],
        })
        .collect()
}
