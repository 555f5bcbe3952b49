//! Vents that are too wide for the wall on which they stand.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::pour::vent_fit::{THINNEST_VENT_MM, tenths, wall_mm, widest_mm};

/// One warning for each vent over the shop's share of the wall under it.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(body), Some(walls)) = (&look.facts.body, &look.facts.walls) else { return Vec::new() };
    let limits = &look.shop.limits;
    let mut findings = Vec::new();
    for vent in &look.plan.vents {
        let at = look.facts.setting.frames.spot_in_work(&vent.at);
        let wall = wall_mm(body, walls, at);
        let widest = widest_mm(wall, limits);
        // A twentieth of a millimetre is no difference to a rod.
        if vent.diameter_mm <= widest + 0.05 {
            continue;
        }
        let narrower = tenths(widest);
        let (remedy, remedies) = if narrower >= THINNEST_VENT_MM {
            (format!("Make it Ø{narrower:.1} mm"), vec![Remedy::NarrowVent(vent.number, narrower)])
        } else {
            (
                format!(
                    "No rod is thinner than {THINNEST_VENT_MM:.1} mm: cut a slit of 0.05 to 0.2 mm with a blade from the \
                     cavity instead, nick the parting face where the line is near, or vent a thicker place"
                ),
                Vec::new(),
            )
        };
        findings.push(Finding {
            severity: Severity::Warn,
            code: "vent-wide",
            step: Step::Vents,
            message: format!(
                "Vent {}, Ø{:.1} mm, stands on a wall of {wall:.1} mm; the limit is {:.0} % of it",
                vent.number,
                vent.diameter_mm,
                100.0 * limits.vent_wall_share
            ),
            why: "Its stalk is cut off every cast; one nearly as thick as the wall tears a hole or leaves a sink"
                .to_owned(),
            remedy,
            place: Some(at),
            remedies,
        });
    }
    findings
}
