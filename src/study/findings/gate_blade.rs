//! Gates that no blade gets at to trim the cast.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::feed_figures::{BLADE_DEG, blade_room};

/// Cutters that come straight down want so much room beside the stalk, millimetres: set here.
const CUTTERS_MM: f64 = 8.0;

/// One finding for each: a warning where cutters do not get there either.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    let frames = &look.facts.setting.frames;
    let mut findings = Vec::new();
    for gate in &look.plan.feed.gates {
        let (at, normal) = (frames.spot_in_work(&gate.at), frames.normal_in_work(&gate.at));
        let room = blade_room(body, at, normal, gate.diameter_mm, body.bounds.diagonal());
        let Some(wall_mm) = room.wall_mm.filter(|_| !room.is_enough()) else { continue };
        let cutters = wall_mm >= CUTTERS_MM;
        findings.push(Finding {
            severity: if cutters { Severity::Note } else { Severity::Warn },
            code: "gate-blade",
            step: Step::Feed,
            message: format!(
                "A blade comes flat to gate {} from {:.0}° only, wanted are {BLADE_DEG:.0}°; the next wall stands {} off",
                gate.number,
                room.free_deg,
                length(wall_mm)
            ),
            why: "The stalk is cut off every cast; where no blade lies on the surface a stump is left, and the blade slips"
                .to_owned(),
            remedy: if cutters {
                "Cut it with side cutters from above and sand the stump, or move the gate to an outer face".to_owned()
            } else {
                format!("Move the gate to an outer face; side cutters want {CUTTERS_MM:.0} mm beside the stalk")
            },
            place: Some(at),
            remedies: Vec::new(),
        });
    }
    findings
}
