//! The block cannot be opened along one honest sheet.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::cut::CutError;

/// A Stop where there is no cut, with its place where that is known.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let (message, place) = match (cut.no_sheet(), &cut.surface) {
        (Some(no), _) => (
            if no.sure {
                format!("The block cannot be cut open here: {}", no.why)
            } else {
                format!("No way was found for the cut here: {}", no.why)
            },
            Some(no.place),
        ),
        (None, Err(CutError::Cancelled(_))) | (None, Ok(_)) => return Vec::new(),
        (None, Err(e)) => (format!("The block cannot be cut open: {e}"), None),
    };
    vec![Finding {
        severity: Severity::Stop,
        code: "cut-missing",
        step: Step::Parting,
        message,
        why: "The blade needs one sheet of rubber from the wall of the block to the line that does not run through the part"
            .to_owned(),
        remedy: "Lead the line elsewhere with a pin, give the surface round the place to the other half, or choose another draw"
            .to_owned(),
        place,
        remedies: vec![Remedy::ProposeDraw],
    }]
}
