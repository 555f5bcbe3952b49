//! Sections so thick that resin sinks and heats itself.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;

/// One note where the largest ball inside the part is thicker than the shop's figure.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(ball) = look.facts.walls.as_ref().and_then(|w| w.thickest) else { return Vec::new() };
    let limit = look.shop.limits.thickest_wall_mm;
    let thick = f64::from(ball.diameter_mm);
    if thick <= limit {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Note,
        code: "wall-thick",
        step: Step::Casting,
        message: format!("A ball of {} fits inside the part, more than {}", length(thick), length(limit)),
        why: "Thick resin heats itself as it sets: the surface sinks, colour turns, and the rubber ages sooner"
            .to_owned(),
        remedy: "Core the section out, take a slower resin, or cool the block down before casting".to_owned(),
        place: Some(ball.touches),
        remedies: Vec::new(),
    }]
}
