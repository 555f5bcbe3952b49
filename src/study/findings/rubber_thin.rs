//! Too little rubber between two things in the block.

use super::words::length;
use super::{Finding, Look, Severity, Step};
use crate::study::rod_clearance::{BESIDE_ROD_MM, closest};
use glam::Vec3;

/// Findings for walls set too thin by hand and for runners and vents that pass the part too close.
pub fn check(look: &Look) -> Vec<Finding> {
    let limit = look.shop.limits.least_rubber_mm;
    let block = &look.facts.setting.block;
    let mut findings = Vec::new();
    for (mm, place) in [(block.wall_mm, "at the sides"), (block.below_mm, "below"), (block.above_mm, "above")] {
        // Stuck flat to the floor there is to be none below.
        if mm < limit && !(place == "below" && look.plan.master.stuck_to_floor) {
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
        if let Some((mm, at)) = look.facts.master.as_ref().and_then(|master| closest(master, channel)) {
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
                let remedy = match (through, step) {
                    (true, Step::Vents) => {
                        "Move it to where nothing stands above it, or hang the part another way; near the parting line a \
                         groove in the parting face can lead round the part"
                    }
                    _ => "Move it, or lead it round the part",
                };
                findings.push(finding(severity, step, message, remedy, Some(at)));
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
