//! A fill, where it was computed, that is short, late, or closes round gas.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::fill::verdict::{IN_TIME_SHARE, Lever, Outcome, bubble_mm, lever_words};

/// Cells across the thin wall from which a short fill is a Stop.
const SURE_ACROSS: f64 = 3.5;

/// One finding where the fill is not good.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(fill) = look.facts.fill.as_deref() else { return Vec::new() };
    let verdict = &fill.verdict;
    let (severity, message) = match verdict.outcome {
        Outcome::Fills => return Vec::new(),
        Outcome::Short => {
            // On coarse cells a thin wall resists too much or too little: that asks for a finer run, not for a Stop.
            let severity = if fill.across < SURE_ACROSS { Severity::Warn } else { Severity::Stop };
            (severity, format!("The resin sets when {:.0} % of the cavity is full", 100.0 * fill.filled_share))
        }
        Outcome::Late => (
            Severity::Warn,
            format!(
                "The cavity is full after {:.0} % of the pot life; it should be by {:.0} %",
                100.0 * verdict.pot_life_share,
                100.0 * IN_TIME_SHARE
            ),
        ),
        Outcome::ClosedRound => {
            let most = fill.closed.iter().map(|c| bubble_mm(c.after_let_up_mm3)).fold(0.0, f64::max);
            (
                Severity::Warn,
                format!(
                    "The resin closes round gas that leaves a bubble of {} after let-up; {} is the limit",
                    length(most),
                    length(look.shop.limits.bubble_mm)
                ),
            )
        }
    };
    let place = match verdict.lever {
        Some(Lever::Vent(p) | Lever::Gate(p)) => Some(p),
        _ => fill.last.first().map(|l| l.position),
    };
    let mut remedy = verdict.lever.as_ref().map(lever_words).unwrap_or_default();
    if fill.across < SURE_ACROSS {
        let doubt = format!(
            "The cells are coarse, {:.1} across the thin wall: reckon with {:.0} % error, or follow the fill on finer ones",
            fill.across,
            100.0 * fill.expected_error
        );
        remedy = if remedy.is_empty() { doubt } else { format!("{remedy}. {doubt}") };
    }
    vec![Finding {
        severity,
        code: "fill-poor",
        step: Step::Feed,
        message,
        why: "While the chamber is under vacuum only the head of resin drives the fill, and the mix thickens all the \
              while; letting the chamber up only squeezes gas that resin has closed round"
            .to_owned(),
        remedy,
        place,
        remedies: Vec::new(),
    }]
}
