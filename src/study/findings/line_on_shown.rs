//! Stretches of the line that could not keep off a shown surface.

use super::words::length;
use super::{Finding, Look, Severity, Step};

/// One finding for each shown surface that a line crosses.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let named = |i: usize| look.plan.shown.get(i).map_or("", |s| s.name.as_str());
    release
        .crossings
        .iter()
        .map(|c| Finding {
            severity: Severity::Warn,
            code: "line-on-shown",
            step: Step::Parting,
            message: format!(
                "About {} of the line cross the shown surface {}: there is no cheaper way for it",
                length(c.length_mm),
                named(c.shown)
            ),
            why: "Flash along the line is trimmed and sanded off every cast; on a shown surface the seam is seen"
                .to_owned(),
            remedy: "Choose another draw, or give the surface to one half and pay with an undercut".to_owned(),
            place: Some(c.place),
            remedies: Vec::new(),
        })
        .collect()
}
