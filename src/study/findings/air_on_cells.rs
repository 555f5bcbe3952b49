//! Trapped air was found on cells, not on the surface itself.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::volume;

/// One finding where cells were used.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(air), Some(body)) = (&look.facts.air, &look.facts.body) else { return Vec::new() };
    let Some(why) = &air.trees.air.on_cells else { return Vec::new() };
    let reason = body.trouble.clone().unwrap_or_else(|| why.to_string());
    vec![Finding {
        severity: Severity::Warn,
        code: "air-on-cells",
        step: Step::Vents,
        message: format!("Air was found on cells, ± {}", volume(air.cell_error_mm3)),
        why: format!("The part could not be made one closed body ({reason}). Pockets smaller than a cell are not seen"),
        remedy: "Mend the mesh where it was made and load it again".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
