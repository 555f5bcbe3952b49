//! A pot of rubber that is not poured before it thickens.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// One finding where a pot takes longer than its pot life.
pub fn check(look: &Look) -> Vec<Finding> {
    let silicone = &look.numbers.silicone;
    if silicone.pot_work_s <= silicone.pot_life_s {
        return Vec::new();
    }
    let minutes = |s: f64| s / 60.0;
    vec![Finding {
        severity: Severity::Warn,
        code: "rubber-slow",
        step: Step::Block,
        message: format!(
            "Mixing, degassing and pouring one pot takes {:.0} min; its pot life is {:.0} min",
            minutes(silicone.pot_work_s),
            minutes(silicone.pot_life_s)
        ),
        why: "Thick rubber does not run round the master and keeps its bubbles".to_owned(),
        remedy: "Mix smaller pots, pour in two goes, or take a rubber with a longer pot life".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
