//! Air that stays in the cavity with the plan's vents.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::{ShownSurface, Spot};
use crate::study::air::facts::AirFacts;
use crate::study::air::{Matters, MouthOf};
use crate::study::job::spot::spot_on_part;
use crate::study::job::words::volume;
use crate::study::pour::vent_fit;
use glam::Vec3;

const WHY: &str = "Resin rises as a level surface. Air above it that has no way up to a vent is shut in; letting the \
    chamber up squeezes it to a small bubble, and that bubble is a hole in the cast";

/// One finding for each high point that keeps a body of air over the limit, and one for what stays only when the block leans.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(air) = &look.facts.air else { return Vec::new() };
    let limits = &look.shop.limits;
    let mut findings = Vec::new();
    for (point, served) in air.high_points.iter().zip(&air.served) {
        // Small bodies apart from each other, each under the limit, are as many small bubbles and no large one.
        if served.largest_mm3 < limits.air_pocket_mm3 {
            continue;
        }
        let spot = spot_at(look, point.position);
        let (message, remedy, remedies) = match served.by {
            Some(MouthOf::Vent(number)) => {
                let below = air
                    .mouth_of_vent(number)
                    .and_then(|m| air.trapped.rims[m])
                    .map_or(0.0, |rim| point.height - rim.height);
                (
                    format!(
                        "Vent {number} sits {below:.1} mm below the top of its pocket: {} of air stays",
                        volume(served.largest_mm3)
                    ),
                    "Move it up to the peak".to_owned(),
                    vec![Remedy::MoveVent(number, spot), Remedy::AddVent(spot)],
                )
            }
            _ if is_covered(look, point.position) => (
                format!(
                    "A high point without a vent keeps {} of air, and the part itself stands above it",
                    volume(served.largest_mm3)
                ),
                "Hang the part another way: a rod straight up from here would pass through it. Where the parting line is \
                 near, a groove in the parting face that leads round it will do"
                    .to_owned(),
                Vec::new(),
            ),
            _ => (
                format!("A high point without a vent keeps {} of air", volume(served.largest_mm3)),
                "Put a vent at the peak, or hang the part another way".to_owned(),
                vec![Remedy::AddVent(spot), Remedy::ProposeVents],
            ),
        };
        let (severity, on) = left(look, &spot, served.bubble_mm);
        findings.push(Finding {
            severity,
            code: "air-trapped",
            step: Step::Vents,
            message: format!("{message}; after let-up a bubble of {:.1} mm is left{on}", served.bubble_mm),
            why: WHY.to_owned(),
            remedy,
            place: Some(point.position),
            remedies,
        });
    }
    findings.extend(leaning(look, air));
    findings
}

/// How bad a bubble of this diameter is at a place, and what is said of the limit there, which is smaller on a shown
/// surface.
fn left(look: &Look, spot: &Spot, bubble_mm: f64) -> (Severity, String) {
    let limits = &look.shop.limits;
    let frames = &look.facts.setting.frames;
    let at = frames.spot_in_work(spot);
    let matters = Matters::of(look.plan, frames, limits);
    let limit_mm = matters.bubble_mm(at);
    let surface = matters.is_shown(at).then(|| {
        let near = |s: &&ShownSurface| {
            s.stroke
                .iter()
                .map(|p| f64::from(frames.spot_in_work(p).distance(at)) - s.radius_mm)
                .fold(f64::MAX, f64::min)
        };
        look.plan.shown.iter().min_by(|a, b| near(a).total_cmp(&near(b)))
    });
    let on = surface.flatten().map_or_else(String::new, |s| format!(" on the shown surface {}", s.name));
    let (severity, limit) = match bubble_mm >= limit_mm {
        true => (Severity::Stop, "limit"),
        false => (Severity::Note, "less than the limit of"),
    };
    (severity, format!("{on}, {limit} {limit_mm:.1} mm"))
}

/// Air that stays only when the block does not stand level, which is how it stands at the bench.
fn leaning(look: &Look, air: &AirFacts) -> Option<Finding> {
    let limits = &look.shop.limits;
    let worst = air.worst_piece?;
    let level = air.trapped.pieces.first().map_or(0.0, |p| p.volume_mm3);
    if worst.volume_mm3 < limits.air_pocket_mm3 || worst.volume_mm3 <= level * 1.05 {
        return None;
    }
    let spot = spot_at(look, worst.position);
    let (severity, on) = left(look, &spot, worst.bubble_mm);
    Some(Finding {
        severity,
        code: "air-leaning",
        step: Step::Vents,
        message: format!(
            "With the block {}° off level up to {} of air stays in one place; after let-up a bubble of {:.1} mm is left{on}",
            limits.lean_deg,
            volume(worst.volume_mm3),
            worst.bubble_mm
        ),
        why: "No bench and no cured block is exactly level. A wide flat top vented in one place keeps a wedge of air \
              on its high side"
            .to_owned(),
        remedy: "Put a vent here too, tilt the part more, or set the closed block level with care".to_owned(),
        place: Some(worst.position),
        remedies: vec![Remedy::AddVent(spot), Remedy::ProposeVents],
    })
}

/// True where the part stands above a place, so that no rod goes straight up from it.
fn is_covered(look: &Look, at: Vec3) -> bool {
    let up = look.facts.setting.frames.rubber_up();
    let around = look.facts.master.as_ref().or(look.facts.body.as_ref());
    around.is_some_and(|b| vent_fit::is_covered(&b.tree, at, up, look.shop.limits.vent_mm))
}

/// The place as a spot of the plan, with the body's normal there.
fn spot_at(look: &Look, at: Vec3) -> Spot {
    match &look.facts.body {
        Some(body) => spot_on_part(&look.facts.setting, body, at),
        None => look.facts.setting.frames.spot_from_work(0, at, Vec3::Z),
    }
}
