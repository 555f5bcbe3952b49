//! The block cannot be opened along one honest sheet.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::study::cut::{CutError, NoSheet};
use glam::Vec3;

/// A Stop for each place where the cut has nowhere to go; a Warn for each where only no way for it was found.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    let places = cut.no_sheets();
    // That the part has no line, or is not closed, is said by the rules on those.
    if let (true, Err(broken @ CutError::Broken { .. })) = (places.is_empty(), &cut.surface) {
        return vec![finding(true, broken.to_string(), None)];
    }
    places.iter().map(told).collect()
}

fn told(no: &NoSheet) -> Finding {
    let message = if no.sure {
        format!("The block cannot be cut open here: {}", no.why)
    } else {
        format!("No way was found for the cut here: {}", no.why)
    };
    finding(no.sure, message, Some(no.place))
}

fn finding(sure: bool, message: String, place: Option<Vec3>) -> Finding {
    Finding {
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
    }
}
