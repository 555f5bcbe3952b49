//! More casts than one block gives.

use super::{Finding, Look, Severity, Step};

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
        remedy: "Plan a second block from the same master, or fewer casts".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
