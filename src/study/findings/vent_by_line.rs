//! Vents beside the parting line, which are cheaper cut into the parting face than made with a rod.

use super::{Finding, Look, Remedy, Severity, Step};
use crate::plan::{Made, Spot, Stage};
use crate::study::air::{Mouth, MouthOf};
use crate::study::air_facts::AirFacts;
use crate::study::propose::spot_on_part;
use crate::study::report::LoopKind;
use glam::Vec3;

/// A peak so near to the line is let off through the parting face, millimetres: common practice, no source.
const NEAR_MM: f32 = 1.0;
/// A cut that lies flatter than this does not lead a groove up to the top of the block (sine of the angle between draw
/// and up).
const UPRIGHT_CUT: f32 = 0.5;

/// One note for each vent that could be a groove in the parting face.
pub fn check(look: &Look) -> Vec<Finding> {
    let facts = look.facts;
    let (Some(parting), Some(body), Some(air)) = (&facts.parting, &facts.body, &facts.air) else { return Vec::new() };
    let frames = &facts.setting.frames;
    // Once rubber is poured the rods stand where they stand.
    if look.plan.stage != Stage::Planned || parting.draw.dot(frames.rubber_up()).abs() > UPRIGHT_CUT {
        return Vec::new();
    }
    let mut findings = Vec::new();
    for vent in look.plan.vents.iter().filter(|v| v.made == Made::RodPulled) {
        let at = frames.spot_in_work(&vent.at);
        let lines = parting.loops.iter().zip(&parting.lines).filter(|(l, _)| l.kind == LoopKind::Parting);
        let near = lines.filter_map(|(_, line)| nearest_on(&line.points, line.closed, at));
        let Some(on_line) = near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at))) else { continue };
        let away = on_line.distance(at);
        if away > NEAR_MM || !lets_out_as_much(air, vent.number, on_line, look.shop.limits.air_pocket_mm3) {
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

/// The point of a line nearest to `at`.
fn nearest_on(points: &[Vec3], closed: bool, at: Vec3) -> Option<Vec3> {
    let n = points.len();
    let spans = (0..n).filter(|i| closed || i + 1 < n).map(|i| (points[i], points[(i + 1) % n]));
    let on = spans.map(|(a, b)| {
        let t = ((at - a).dot(b - a) / (b - a).length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
        a + (b - a) * t
    });
    on.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
}

/// True where no more air stays in bodies over the limit, level or leaning, with the mouth of this vent moved.
fn lets_out_as_much(air: &AirFacts, number: u32, to: Vec3, limit_mm3: f64) -> bool {
    let moved: Vec<Mouth> = air
        .mouths
        .iter()
        .map(|m| if m.of == MouthOf::Vent(number) { Mouth { centre: to, ..*m } } else { *m })
        .collect();
    let stays = |mouths: &[Mouth]| air.trees.air.excess_mm3(mouths, limit_mm3);
    stays(&moved) <= stays(&air.mouths) * (1.0 + 1e-6)
}
