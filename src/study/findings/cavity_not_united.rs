//! The cavity with its channels is not one closed mesh.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// One finding where body and channels could not be united.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(cavity), Some(body)) = (&look.facts.cavity, &look.facts.body) else { return Vec::new() };
    let (Some(why), None) = (&cavity.trouble, &body.trouble) else { return Vec::new() };
    vec![Finding {
        severity: Severity::Note,
        code: "cavity-not-united",
        step: Step::Casting,
        message: "The resin for one shot is the sum of part and channels; what they share is counted twice".to_owned(),
        why: format!("Part and channels could not be united: {why}"),
        remedy: "Nothing at the bench: the difference is a few cubic millimetres a channel".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
