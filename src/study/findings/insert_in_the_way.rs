//! Inserts too close to gates, vents or each other.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::insert_shapes::BETWEEN_OPENINGS_MM;
use crate::study::job::words::length;
use glam::Vec3;

/// One finding for each pair that is too close at the part's surface.
pub fn check(look: &Look) -> Vec<Finding> {
    let frames = &look.facts.setting.frames;
    let limit = BETWEEN_OPENINGS_MM;
    let shapes = &look.facts.setting.inserts;
    let gates = look
        .plan
        .feed
        .gates
        .iter()
        .map(|g| (format!("gate {}", g.number), frames.spot_in_work(&g.at), g.diameter_mm / 2.0));
    let vents =
        look.plan.vents.iter().map(|v| (format!("vent {}", v.number), frames.spot_in_work(&v.at), v.diameter_mm / 2.0));
    let openings: Vec<(String, Vec3, f64)> = gates.chain(vents).collect();
    let mut findings = Vec::new();
    for (i, shape) in shapes.iter().enumerate() {
        let others = shapes.iter().skip(i + 1).map(|s| (format!("insert {}", s.number), s.foot, s.radius_mm));
        for (what, at, radius_mm) in openings.iter().cloned().chain(others) {
            let between = shape.rubber_to_mm(at, radius_mm);
            if between < limit {
                findings.push(Finding {
                    severity: if between < 0.0 { Severity::Stop } else { Severity::Warn },
                    code: "insert-in-the-way",
                    step: Step::Inserts,
                    message: if between < 0.0 {
                        format!("Insert {} and {what} overlap", shape.number)
                    } else {
                        format!("Only {} of rubber between insert {} and {what}", length(between), shape.number)
                    },
                    why: "The thin web between them tears, and the pocket no longer holds the insert true".to_owned(),
                    remedy: format!("Keep {} between them", length(limit)),
                    place: Some(shape.foot),
                    remedies: Vec::new(),
                });
            }
        }
    }
    findings
}
