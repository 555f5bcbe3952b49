//! The block cannot be opened along one honest sheet.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::parting::cut::{CutError, NoSheet};
use glam::Vec3;

/// A Stop where there is no cut: one for each place where that is known.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    match (cut.no_sheets(), &cut.surface) {
        (places, _) if !places.is_empty() => places.iter().map(told).collect(),
        (_, Err(CutError::Cancelled(_)) | Ok(_)) => Vec::new(),
        (_, Err(e)) => vec![finding(format!("The block cannot be cut open: {e}"), None)],
    }
}

fn told(no: &NoSheet) -> Finding {
    let message = if no.sure {
        format!("The block cannot be cut open here: {}", no.why)
    } else {
        format!("No way was found for the cut here: {}", no.why)
    };
    finding(message, Some(no.place))
}

fn finding(message: String, place: Option<Vec3>) -> Finding {
    Finding {
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
    }
}
