//! Pins that the parting line does not pass.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// How far from a pin the line may pass, in edge lengths of the refined surface.
const NEAR_EDGES: f32 = 2.0;

/// One finding for each pin that the line misses.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(parting) = &look.facts.parting else { return Vec::new() };
    let frames = &look.facts.setting.frames;
    let near = NEAR_EDGES * parting.surface.edge_mm;
    let mut findings = Vec::new();
    for (i, pin) in look.plan.parting.pins.iter().enumerate() {
        let at = frames.spot_in_work(&pin.at);
        let away = parting
            .loops
            .iter()
            .flat_map(|l| &l.points)
            .map(|p| p.distance_squared(at))
            .fold(f32::INFINITY, f32::min)
            .sqrt();
        if away > near {
            findings.push(Finding {
                severity: Severity::Warn,
                code: "pin-missed",
                step: Step::Parting,
                message: format!("The parting line passes {away:.1} mm away from pin {}", i + 1),
                why: "A pin asks the line to pass through it. Where it lies off the part, or a mark gives the surface \
                      round it to one half, it cannot"
                    .to_owned(),
                remedy: "Move the pin, or take it or the mark out".to_owned(),
                place: Some(at),
                remedies: Vec::new(),
            });
        }
    }
    findings
}
