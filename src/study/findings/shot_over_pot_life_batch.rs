//! A batch larger than the one at which the pot life was stated.

use super::{Finding, Look, Severity, Step};
use crate::study::bench_numbers::BenchNumbers;

/// One finding where the shot is larger.
pub fn check(look: &Look) -> Vec<Finding> {
    let numbers = BenchNumbers::of(look.plan, look.shop, look.facts);
    let resin = look.plan.resin(look.shop);
    if numbers.resin.shot_g <= resin.pot_life_batch_g {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Warn,
        code: "batch-large",
        step: Step::Casting,
        message: format!(
            "One shot is {:.0} g; the pot life of {:.0} min was stated for {:.0} g",
            numbers.resin.shot_g,
            resin.pot_life_s / 60.0,
            resin.pot_life_batch_g
        ),
        why: "A larger batch warms itself and sets sooner; left in the pot it can overheat and fume".to_owned(),
        remedy: "Count on less time, mix in a wide pot, and pour at once".to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
