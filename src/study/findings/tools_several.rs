//! More casts than one block gives.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// One note where several blocks are needed.
pub fn check(look: &Look) -> Vec<Finding> {
    let casts = &look.numbers.casts;
    let [low, high] = casts.tool_life;
    if casts.to_make <= low {
        return Vec::new();
    }
    let shortened = match (casts.undercut_share < 1.0, casts.core_share < 1.0) {
        (false, false) => "",
        (true, false) => " and these undercuts",
        (false, true) => " and these slender cores of rubber",
        (true, true) => ", these undercuts and these slender cores of rubber",
    };
    let blocks = match look.numbers.days.tools {
        1 => "1 block".to_owned(),
        n => format!("{n} blocks"),
    };
    vec![Finding {
        severity: Severity::Note,
        code: "tools-several",
        step: Step::Casting,
        message: format!(
            "{} casts, rejects and set-up with them, are more than one block surely gives: {low} to {high} with this \
             resin{shortened}",
            casts.to_make
        ),
        why: "The resin attacks the rubber a little at every cast, until the surface tears".to_owned(),
        remedy: format!("Plan {blocks} to be poured from the same master, as the days have it, or fewer casts"),
        place: None,
        remedies: Vec::new(),
    }]
}
