//! Gates that are too wide for the wall on which they stand, or hang over its edge.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::mouth_wall::{self, MouthWall, OVER_EDGE};
use crate::study::job::words::length;
use crate::study::pour::vent_fit::nearest_on_line;

/// A mouth that hangs over an edge by less leaves no lump to speak of, as a share: set here.
const LUMP: f64 = 0.1;

/// A gate this near to the parting line stands on it, millimetres.
const ON_LINE_MM: f32 = 0.5;

/// One finding for each; a note where it stands on the parting line and is no wider than a gate on a face may be.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    let frames = &look.facts.setting.frames;
    let mut findings = Vec::new();
    for gate in &look.plan.feed.gates {
        let (at, normal) = (frames.spot_in_work(&gate.at), frames.normal_in_work(&gate.at));
        let near = body.tree.nearest(at).map_or(f64::INFINITY, |n| f64::from(n.distance));
        if near > gate.diameter_mm / 2.0 {
            // Off the part there is no wall; that is told elsewhere.
            continue;
        }
        let MouthWall { mm: wall, rim } = mouth_wall::wall(body, at, normal, gate.diameter_mm);
        let share = MouthWall { mm: wall, rim }.share(&look.shop.limits);
        let over = mouth_wall::over_edge(body, at, normal, gate.diameter_mm);
        let widest = share * wall;
        let hangs = over > LUMP;
        // A twentieth of a millimetre is no difference to a rod.
        if !hangs && gate.diameter_mm <= widest + 0.05 {
            continue;
        }
        let where_ = if rim { "rim" } else { "face" };
        let on_wall =
            if wall.is_finite() { format!(" on a {where_} with a wall of {}", length(wall)) } else { String::new() };
        let too_wide = gate.diameter_mm > widest + 0.05;
        let message = if hangs {
            let limit = if too_wide { of_wall(gate.diameter_mm, wall, share) } else { String::new() };
            format!(
                "Gate {}, Ø{:.1} mm{on_wall}, hangs over an edge with {:.0} % of its mouth{limit}",
                gate.number,
                gate.diameter_mm,
                100.0 * over
            )
        } else {
            format!(
                "Gate {}, Ø{:.1} mm, stands{on_wall}{}",
                gate.number,
                gate.diameter_mm,
                of_wall(gate.diameter_mm, wall, share)
            )
        };
        // On the line the blade goes along the rim as the block is opened, and what stands over is trimmed with the flash.
        let bears = gate.diameter_mm <= look.shop.limits.gate_face_share * wall + 0.05;
        let parting = look.facts.parting.as_ref().filter(|_| bears);
        let on_line = parting.and_then(|p| nearest_on_line(p, at)).is_some_and(|p| p.distance(at) < ON_LINE_MM);
        // The widest by half millimetres that does neither.
        let fits = |mm: &f64| {
            *mm <= widest + 0.05 && *mm < gate.diameter_mm && mouth_wall::over_edge(body, at, normal, *mm) <= OVER_EDGE
        };
        let narrower = (2..=40u32).rev().map(|k| f64::from(k) / 2.0).find(fits);
        findings.push(Finding {
            severity: if on_line { Severity::Note } else { Severity::Warn },
            code: "gate-wide",
            step: Step::Feed,
            message,
            why:
                "What hangs over is a lump to be carved off every cast, and a gate much thicker than its wall leaves a \
                  sink or breaks a piece out of the edge when it is cut off"
                    .to_owned(),
            remedy: match narrower {
                Some(mm) => format!("Make it Ø{mm:.1} mm"),
                None => "Move it to a wider place; on a thin edge several narrow gates do less harm than a wide one"
                    .to_owned(),
            },
            place: Some(at),
            remedies: narrower.map(|mm| Remedy::NarrowGate(gate.number, mm)).into_iter().collect(),
        });
    }
    findings
}

fn of_wall(diameter_mm: f64, wall_mm: f64, share: f64) -> String {
    format!("; {:.0} % of it, the limit is {:.0} % of it", 100.0 * diameter_mm / wall_mm, 100.0 * share)
}
