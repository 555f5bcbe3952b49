//! A block that has given nearly all the casts that it surely gives.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// Share of the lowest usual life after which an end is near: set here.
const NEAR: f64 = 0.8;

/// One finding where the log comes near the tool life.
pub fn check(look: &Look) -> Vec<Finding> {
    let [low, high] = look.numbers.casts.tool_life;
    let all = look.plan.log.len() as u32;
    if all == 0 || low == 0 {
        return Vec::new();
    }
    // A longer log went over more than one block.
    let made = match all % high.max(1) {
        0 => high,
        rest => rest,
    };
    if f64::from(made) < NEAR * f64::from(low) {
        return Vec::new();
    }
    let over = made > low;
    let left = if over { "past the lowest".to_owned() } else { format!("{} short of the lowest", low - made) };
    vec![Finding {
        severity: if over { Severity::Warn } else { Severity::Note },
        code: "tool-worn",
        step: Step::Casting,
        message: format!("{made} casts are logged on this block, {left} of {low} to {high} that it usually gives"),
        why: "The surface of the rubber dries out and tears; the tear shows on every cast after it".into(),
        remedy:
            "Look at the cavity before each cast, dry the block out overnight, and have the next block poured in time"
                .into(),
        place: None,
        remedies: Vec::new(),
    }]
}
