//! Sections so thick that resin sinks and heats itself.

use super::words::length;
use super::{Finding, Look, Severity, Step};

/// Share of the surface that may be thicker before it is told: single places are rays through corners.
const THICK_SHARE: f32 = 0.98;

/// One note where the part is thicker than the shop's figure.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(walls) = &look.facts.walls else { return Vec::new() };
    let limit = look.shop.limits.thickest_wall_mm;
    let Some(thick) = walls.quantile(THICK_SHARE).filter(|w| w.thickness_mm as f64 > limit) else { return Vec::new() };
    vec![Finding {
        severity: Severity::Note,
        code: "wall-thick",
        step: Step::Casting,
        message: format!("Sections reach {}, more than {}", length(thick.thickness_mm as f64), length(limit)),
        why: "Thick resin heats itself as it sets: the surface sinks, colour turns, and the rubber ages sooner"
            .to_owned(),
        remedy: "Core the section out, take a slower resin, or cool the block down before casting".to_owned(),
        place: Some(thick.position),
        remedies: Vec::new(),
    }]
}
