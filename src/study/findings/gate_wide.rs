//! Gates that are wider than the wall on which they stand.

use super::words::length;
use super::{Finding, Look, Severity, Step};
use crate::study::vent_fit::wall_mm;

/// A gate is at most as wide as its wall is thick: common practice, no source.
const SHARE: f64 = 1.0;
/// No difference to a gate, millimetres.
const NO_DIFFERENCE_MM: f64 = 0.05;

/// One warning for each gate wider than the narrowest wall at its mouth.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(body), Some(walls)) = (&look.facts.body, &look.facts.walls) else { return Vec::new() };
    let mut findings = Vec::new();
    for gate in &look.plan.feed.gates {
        let at = look.facts.setting.frames.spot_in_work(&gate.at);
        let wall = wall_mm(body, walls, at);
        if gate.diameter_mm <= SHARE * wall + NO_DIFFERENCE_MM {
            continue;
        }
        findings.push(Finding {
            severity: Severity::Warn,
            code: "gate-wide",
            step: Step::Feed,
            message: format!(
                "Gate {}, Ø{:.1} mm, stands on a wall of {}; the limit is the wall itself",
                gate.number,
                gate.diameter_mm,
                length(wall)
            ),
            why: "It is cut off every cast; wider than its wall it hangs over the edge, its scar is as wide as the wall, and \
                  cutting it breaks the rim"
                .to_owned(),
            remedy: format!("Make it at most {} wide, or move it to a thicker place", length(SHARE * wall)),
            place: Some(at),
            remedies: Vec::new(),
        });
    }
    findings
}
