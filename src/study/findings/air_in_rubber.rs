//! Recesses of the master that keep air while rubber is poured.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::air::bubble::ball_diameter_mm;
use crate::study::job::words::volume;

/// Most of them that are told.
const MOST: usize = 3;

/// A recess shallower than this is filled by a brush as the master is wetted; deeper ones are warned of, millimetres: set
/// here.
const DEEP_MM: f64 = 2.0;

/// One finding for each recess that opens downwards.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(air) = &look.facts.standing.rubber_air else { return Vec::new() };
    let limits = &look.shop.limits;
    let found = |r: &crate::study::air::closed_off::Pocket| Finding {
        severity: if r.depth_mm >= DEEP_MM && ball_diameter_mm(r.volume_mm3) >= limits.bubble_mm {
            Severity::Warn
        } else {
            Severity::Note
        },
        code: "air-in-rubber",
        step: Step::Hang,
        message: format!(
            "A recess that opens downwards keeps {} of air, {:.1} mm deep, while rubber is poured (limit {} mm³){}",
            volume(r.volume_mm3),
            r.depth_mm,
            limits.air_pocket_mm3,
            if air.on_cells { "; found on cells, since the part is not closed" } else { "" }
        ),
        why: "Rubber rises round the master as resin does in the cavity. Where it shuts air in there is a hole in the \
              rubber, and every cast has a lump or a plug there"
            .to_owned(),
        remedy:
            "Turn the master so that the recess opens upwards, brush or inject rubber into it before the pour, or fill \
                 it with clay and drill the casts. A solid rod in it only takes room away; it lets no air off"
                .to_owned(),
        place: Some(r.position),
        remedies: Vec::new(),
    };
    air.recesses.iter().take(MOST).map(found).collect()
}
