//! The block cannot be opened along one honest sheet.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::cut::CutError;

/// A Stop where the cut has nowhere to go, with its place; a Warn where only no way for it was found.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let sure = cut.no_sheet().is_none_or(|no| no.sure);
    let (message, place) = match (cut.no_sheet(), &cut.surface) {
        (Some(no), _) => (
            if sure {
                format!("The block cannot be cut open here: {}", no.why)
            } else {
                format!("No way was found for the cut here: {}", no.why)
            },
            Some(no.place),
        ),
        // That the part has no line, or is not closed, is said by the rules on those.
        (None, Err(CutError::Broken { .. })) => {
            (cut.surface.as_ref().err().map(ToString::to_string).unwrap_or_default(), None)
        }
        _ => return Vec::new(),
    };
    vec![Finding {
        severity: if sure { Severity::Stop } else { Severity::Warn },
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
