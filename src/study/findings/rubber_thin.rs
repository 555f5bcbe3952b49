//! Too little rubber between two things in the block.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::channel_strike::Strike;
use crate::study::job::rod_clearance::{BESIDE_ROD_MM, pass};
use crate::study::job::words::length;
use glam::Vec3;

/// So much less than the limit is no difference to a rod, millimetres: set here.
const NO_MATTER_MM: f64 = 0.2;

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
    let Some(master) = &look.facts.master else { return findings };
    // One that runs through the part is told as that.
    let strikes = look.facts.strikes.as_deref().cloned().unwrap_or_default();
    let free = |struck: &[Option<Strike>], i: usize| struck.get(i).copied().flatten().is_none();
    let vents = channels.vents.iter().enumerate().filter(|(i, _)| free(&strikes.vents, *i));
    let gates = channels.gates.iter().enumerate().filter(|(i, _)| free(&strikes.gates, *i));
    let vents = vents.map(|(_, c)| (c, "Vent", Step::Vents));
    for (channel, what, step) in vents.chain(gates.map(|(_, c)| (c, "The runner of gate", Step::Feed))) {
        let Some(pass) = pass(master, channel).filter(|p| p.rubber_mm < BESIDE_ROD_MM - NO_MATTER_MM) else { continue };
        let number = channel.number;
        let message = if pass.inside_mm > 0.0 {
            format!("{what} {number} runs through the part on {}", length(pass.inside_mm))
        } else if pass.cut_mm > 0.0 {
            format!("{what} {number} cuts {} into the part on {}", length(-pass.rubber_mm), length(pass.cut_mm))
        } else {
            format!(
                "{what} {number} passes the part at {} on {}; less than {} tears",
                length(pass.rubber_mm.max(0.0)),
                length(pass.near_mm),
                length(BESIDE_ROD_MM)
            )
        };
        let severity = if pass.rubber_mm <= 0.0 { Severity::Stop } else { Severity::Warn };
        let (remedy, remedies) = match step {
            Step::Feed => (
                "Lead it off the part first and up beside it, feed it from the side, or move the gate",
                vec![Remedy::LeadRound(number), Remedy::ProposeFeed],
            ),
            _ => (
                "Move it to where a rod stands free above it, or hang the part another way; near the parting line a groove in the \
                  parting face can lead round the part",
                vec![Remedy::ProposeVents, Remedy::RemoveVent(number)],
            ),
        };
        findings.push(Finding { remedies, ..finding(severity, step, message, remedy, Some(pass.at)) });
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
