//! Walls thinner than the shop casts well.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// One finding at the thinnest wall.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(thinnest) = look.facts.walls.as_ref().and_then(|w| w.thinnest()) else { return Vec::new() };
    let limit = look.shop.limits.thinnest_wall_mm;
    let wall = thinnest.thickness_mm as f64;
    if wall >= limit {
        return Vec::new();
    }
    vec![Finding {
        severity: Severity::Warn,
        code: "wall-thin",
        step: Step::Part,
        message: format!("The thinnest wall is {wall:.2} mm; the shop casts {limit:.1} mm and more"),
        why:
            "Flow through a wall goes with the square of its thickness. A thin one fills late, keeps bubbles and tears \
              when the cast is taken out"
                .to_owned(),
        remedy: "Thicken it in the model, or place the gate close to it".to_owned(),
        place: Some(thinnest.position),
        remedies: Vec::new(),
    }]
}
