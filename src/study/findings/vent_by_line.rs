//! Vents beside the parting line, which are cheaper cut into the parting face than made with a rod.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::{Made, Spot, Stage};
use crate::study::air::facts::AirFacts;
use crate::study::air::{Matters, Mouth, MouthOf};
use crate::study::job::spot::spot_on_part;
use crate::study::pour::vent_fit::{NEAR_LINE_MM, leads_up, nearest_on_line};
use glam::Vec3;

/// One note for each vent that could be a groove in the parting face.
pub fn check(look: &Look) -> Vec<Finding> {
    let facts = look.facts;
    let (Some(parting), Some(body), Some(air)) = (&facts.parting, &facts.body, &facts.air) else { return Vec::new() };
    let frames = &facts.setting.frames;
    // Once rubber is poured the rods stand where they stand.
    if look.plan.stage != Stage::Planned || !leads_up(parting, frames.rubber_up()) {
        return Vec::new();
    }
    let matters = Matters::of(look.plan, frames, &look.shop.limits);
    let mut findings = Vec::new();
    for vent in look.plan.vents.iter().filter(|v| v.made == Made::RodPulled) {
        let at = frames.spot_in_work(&vent.at);
        let Some(on_line) = nearest_on_line(parting, at) else { continue };
        let away = on_line.distance(at);
        if away > NEAR_LINE_MM || !lets_out_as_much(air, vent.number, on_line, &matters) {
            continue;
        }
        let spot: Spot = spot_on_part(&facts.setting, body, on_line);
        findings.push(Finding {
            severity: Severity::Note,
            code: "vent-by-line",
            step: Step::Vents,
            message: format!("Vent {} stands {away:.1} mm from the parting line", vent.number),
            why: "A groove nicked into the parting face up to the top of the block needs no rod, and its stalk comes off with \
                  the flash on the line"
                .to_owned(),
            remedy: "Cut it as a groove in the parting face, once the block is open".to_owned(),
            place: Some(at),
            remedies: vec![Remedy::GrooveVent(vent.number, spot)],
        });
    }
    findings
}

/// True where no more air stays in bodies over the limit, level or leaning, with the mouth of this vent moved.
fn lets_out_as_much(air: &AirFacts, number: u32, to: Vec3, matters: &Matters) -> bool {
    let moved: Vec<Mouth> = air
        .mouths
        .iter()
        .map(|m| if m.of == MouthOf::Vent(number) { Mouth { centre: to, ..*m } } else { *m })
        .collect();
    let stays = |mouths: &[Mouth]| air.trees.air.excess_mm3(mouths, matters);
    stays(&moved) <= stays(&air.mouths) * (1.0 + 1e-6)
}
