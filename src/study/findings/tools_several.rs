//! More casts than one block gives.

use super::{Finding, Look, Severity, Step};
use crate::study::bench_numbers::tool_life;

/// One note where several blocks are needed.
pub fn check(look: &Look) -> Vec<Finding> {
    let (low, high) = tool_life(look.plan, look.shop, look.facts);
    let undercuts = if (low, high) == look.plan.resin(look.shop).tool_life { "" } else { " and these undercuts" };
    let good = look.plan.quantity.good;
    if good <= low {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Note,
        code: "tools-several",
        step: Step::Casting,
        message: format!(
            "{good} good casts are more than one block surely gives: {low} to {high} with this resin{undercuts}"
        ),
        why: "The resin attacks the rubber a little at every cast, until the surface tears".to_owned(),
        remedy: "Plan a second block from the same master, or fewer casts".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
