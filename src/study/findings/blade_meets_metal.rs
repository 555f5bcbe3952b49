//! The blade runs into a metal insert.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// Why a blade must not meet metal.
pub(super) const WHY: &str = "A blade that runs onto metal slips or breaks; it hurts the hand and ruins the cut";

/// A Stop for each insert that the cut goes through.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    cut.metal
        .iter()
        .map(|&(i, place)| {
            let number = look.plan.inserts.get(i).map_or(0, |insert| insert.number);
            Finding {
                severity: Severity::Stop,
                code: "blade-meets-metal",
                step: Step::Inserts,
                message: format!("The cut goes through insert {number} where it stands in the rubber"),
                why: WHY.to_owned(),
                remedy: "Turn the insert, pull it out before cutting, or lead the line round it".to_owned(),
                place: Some(place),
                remedies: Vec::new(),
            }
        })
        .collect()
}
