//! Gates that do not meet the part.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// How far from the part a gate's middle may lie, as a share of its diameter.
const NEAR: f64 = 0.5;

/// One Stop for each gate whose middle lies off the part.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    let mut findings = Vec::new();
    for gate in &look.plan.feed.gates {
        let at = look.facts.setting.frames.spot_in_work(&gate.at);
        let away = body.tree.nearest(at).map_or(f32::INFINITY, |n| n.distance) as f64;
        if away > gate.diameter_mm * NEAR {
            findings.push(Finding {
                severity: Severity::Stop,
                code: "gate-off-part",
                step: Step::Feed,
                message: format!("Gate {} lies {away:.1} mm off the part", gate.number),
                why: "Resin would stand in the runner and never reach the part. The mesh may have changed under it"
                    .to_owned(),
                remedy: "Drag it back onto the part, or take it out".to_owned(),
                place: Some(at),
                remedies: Vec::new(),
            });
        }
    }
    findings
}
