//! A batch larger than the one at which the pot life was stated, and one that is not in place before it thickens.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// Findings on the batch of resin against its pot life.
pub fn check(look: &Look) -> Vec<Finding> {
    let numbers = look.numbers;
    let resin = look.plan.resin(look.shop);
    let mut findings = Vec::new();
    if numbers.resin.batch_g > resin.pot_life_batch_g {
        let batch = if numbers.resin.blocks_a_batch == 1 { "One shot" } else { "One batch" };
        findings.push(Finding {
            severity: Severity::Warn,
            code: "batch-large",
            step: Step::Casting,
            message: format!(
                "{batch} is {:.0} g; the pot life of {:.0} min was stated for {:.0} g",
                numbers.resin.batch_g,
                resin.pot_life_s / 60.0,
                resin.pot_life_batch_g
            ),
            why: "A larger batch warms itself and sets sooner; left in the pot it can overheat and fume".to_owned(),
            remedy: "Count on less time, mix in a wide pot, and pour at once".to_owned(),
            place: None,
            remedies: Vec::new(),
        });
    }
    let share = look.shop.habits.pot_life_share;
    if numbers.resin.work_s > resin.pot_life_s * share {
        findings.push(Finding {
            severity: if numbers.resin.work_s > resin.pot_life_s { Severity::Stop } else { Severity::Warn },
            code: "resin-slow",
            step: Step::Casting,
            message: format!(
                "From mixing until it stands in every vent the resin takes {:.0} s; {:.0} % of its pot life are {:.0} s",
                numbers.resin.work_s,
                share * 100.0,
                resin.pot_life_s * share
            ),
            why: "Resin that has begun to set stops short of the last vent, and the shot is lost".to_owned(),
            remedy: "Fill fewer blocks from one batch, or take a resin with a longer pot life".to_owned(),
            place: None,
            remedies: Vec::new(),
        });
    }
    findings
}
