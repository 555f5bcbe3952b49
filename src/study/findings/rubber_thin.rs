//! Too little rubber between two things in the block.

use super::words::length;
use super::{Finding, Look, Severity, Step};
use crate::study::channels::{Channel, Rod};
use glam::Vec3;

/// Least rubber between a rod's channel and the part, millimetres: set here. A rod that stands this far off is pulled
/// without tearing; between whole cavities the shop's own limit holds.
const BESIDE_ROD_MM: f64 = 3.0;
/// Steps along a rod at which the rubber round it is measured.
const STEPS: usize = 24;

/// Findings for walls set too thin by hand and for runners and vents that pass the part too close.
pub fn check(look: &Look) -> Vec<Finding> {
    let limit = look.shop.limits.least_rubber_mm;
    let block = &look.facts.setting.block;
    let mut findings = Vec::new();
    for (mm, place) in [(block.wall_mm, "at the sides"), (block.below_mm, "below"), (block.above_mm, "above")] {
        if mm < limit {
            findings.push(finding(
                Severity::Stop,
                Step::Block,
                format!("The rubber {place} is {}; less than {} tears", length(mm), length(limit)),
                "Make the box larger",
                None,
            ));
        }
    }
    let channels = &look.facts.setting.channels;
    for (channel, what, step) in channels
        .vents
        .iter()
        .map(|c| (c, "Vent", Step::Vents))
        .chain(channels.gates.iter().map(|c| (c, "The runner of gate", Step::Feed)))
    {
        if let Some((mm, at)) = closest(look, channel) {
            let through = mm <= 0.0;
            if mm < BESIDE_ROD_MM {
                let message = if through {
                    format!("{what} {} runs through the part", channel.number)
                } else {
                    format!(
                        "{what} {} passes the part at {}; less than {} tears",
                        channel.number,
                        length(mm),
                        length(BESIDE_ROD_MM)
                    )
                };
                let severity = if through { Severity::Stop } else { Severity::Warn };
                findings.push(finding(severity, step, message, "Move it, or lead it round the part", Some(at)));
            }
        }
    }
    findings
}

fn finding(severity: Severity, step: Step, message: String, remedy: &str, place: Option<Vec3>) -> Finding {
    Finding {
        severity,
        code: "rubber-thin",
        step,
        message,
        why: "A thin web of rubber tears when the rod is pulled or the part is taken out, and the next cast flashes through"
            .to_owned(),
        remedy: remedy.to_owned(),
        place,
        remedies: Vec::new(),
    }
}

/// The least rubber between the channel and the part away from the channel's own mouth, and where; none where the
/// channel leaves the part at once and never comes near again.
fn closest(look: &Look, channel: &Channel) -> Option<(f64, Vec3)> {
    let body = look.facts.body.as_ref()?;
    let limit = BESIDE_ROD_MM as f32;
    let mouth = channel.mouth();
    // Until it has come clear of the part once, a channel is still leaving it.
    let mut clear = false;
    let mut worst: Option<(f64, Vec3)> = None;
    for rod in &channel.rods {
        for i in 0..=STEPS {
            let at = at(rod, i);
            let inside = body.is_inside(at);
            let away = body.tree.nearest_within(at, rod.radius_mm + 2.0 * limit).map_or(f32::INFINITY, |n| n.distance);
            let rubber = if inside { -away } else { away - rod.radius_mm };
            let far_from_mouth = at.distance(mouth) > 2.0 * rod.radius_mm + limit;
            clear |= rubber > limit;
            let counts = clear || (inside && far_from_mouth);
            if counts && far_from_mouth && rubber < limit && worst.is_none_or(|w| (rubber as f64) < w.0) {
                worst = Some((rubber as f64, at));
            }
        }
    }
    worst
}

fn at(rod: &Rod, step: usize) -> Vec3 {
    rod.from.lerp(rod.to, step as f32 / STEPS as f32)
}
