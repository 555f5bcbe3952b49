//! Gates and vents that leave a mark on a shown surface.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::shown::marked;
use glam::Vec3;

/// One finding for each gate or vent on a shown surface.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    let frames = &look.facts.setting.frames;
    let gates = look.plan.feed.gates.iter().map(|g| (format!("Gate {}", g.number), g.at, g.diameter_mm, Step::Feed));
    let vents = look.plan.vents.iter().map(|v| (format!("Vent {}", v.number), v.at, v.diameter_mm, Step::Vents));
    let mut findings = Vec::new();
    for (what, spot, diameter_mm, step) in gates.chain(vents) {
        let at = frames.spot_in_work(&spot);
        if let Some(shown) = marked(look.plan, frames, body, at, diameter_mm) {
            findings.push(mark(what, &shown.name, diameter_mm, step, at));
        }
    }
    findings
}

fn mark(what: String, surface: &str, diameter_mm: f64, step: Step, at: Vec3) -> Finding {
    Finding {
        severity: Severity::Warn,
        code: "mark-on-shown",
        step,
        message: format!("{what} leaves a stalk mark of Ø{diameter_mm:.1} mm on the shown surface {surface}"),
        why: "The stalk is cut and sanded off every cast; on a shown surface the mark is seen".to_owned(),
        remedy: "Move it to an edge or an inner face, or hang the part another way".to_owned(),
        place: Some(at),
        remedies: Vec::new(),
    }
}
