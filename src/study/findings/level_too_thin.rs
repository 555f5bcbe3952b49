//! Walls in which resin does not stand level.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::level_holds::level_holds;

/// Share of the walls below which it is not worth a word: set here.
const LEAST_SHARE: f64 = 0.02;

/// One note where a good part of the walls is too thin.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(holds) = level_holds(look.plan, look.shop, &look.facts.for_pour()) else { return Vec::new() };
    if holds.thinner_share < LEAST_SHARE {
        return Vec::new();
    }
    let told = if holds.by_fill {
        "The fill that was followed shows where resin really goes"
    } else {
        "Follow the fill (step Feed): it shows where resin really goes"
    };
    vec![Finding {
        severity: Severity::Note,
        code: "level-too-thin",
        step: Step::Vents,
        message: format!(
            "Resin does not stand level in walls under {}, {:.0} % of them: the front rises {:.1} mm/s, and the thinnest, \
             {}, level out at {:.1} mm/s",
            length(holds.least_wall_mm),
            100.0 * holds.thinner_share,
            holds.rises_mm_s,
            length(holds.thinnest_mm),
            holds.levels_mm_s
        ),
        why: "High points, air that stays and the rising level are reckoned with a level surface. In thin walls the mix is \
              too thick to level out in time, and may close round air elsewhere"
            .to_owned(),
        remedy: told.to_owned(),
        place: Some(holds.thinnest_at),
        remedies: Vec::new(),
    }]
}
