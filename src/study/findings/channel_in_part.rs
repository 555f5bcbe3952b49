//! A channel that meets the part anywhere but at its mouth.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::channel_strike::Strike;
use crate::study::job::words::length;

/// A Stop for each channel.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(strikes) = &look.facts.strikes else { return Vec::new() };
    let channels = &look.facts.setting.channels;
    let vents = channels.vents.iter().zip(&strikes.vents).filter_map(|(c, s)| s.map(|s| vent(c.number, &s)));
    let gates = channels.gates.iter().zip(&strikes.gates).filter_map(|(c, s)| s.map(|s| gate(c.number, &s)));
    vents.chain(gates).collect()
}

fn gate(number: u32, strike: &Strike) -> Finding {
    Finding {
        remedies: vec![Remedy::LeadRound(number), Remedy::ProposeFeed],
        ..finding(
            Step::Feed,
            format!(
                "The runner of gate {number} runs through the part beside its mouth: {:.1} mm³ of it lie in the part, most in \
                 leg {}, {} wide",
                strike.volume_mm3,
                strike.leg + 1,
                length(strike.diameter_mm)
            ),
            "Lead it off the part first and up beside it, lengthen the gate's narrow end, feed it from the side, or move the gate",
            strike,
        )
    }
}

fn vent(number: u32, strike: &Strike) -> Finding {
    Finding {
        remedies: vec![Remedy::ProposeVents, Remedy::RemoveVent(number)],
        ..finding(
            Step::Vents,
            format!(
                "Vent {number} runs through the part above its mouth: {:.1} mm³ of its rod lie in the part",
                strike.volume_mm3
            ),
            "Move it to where a rod stands free above it, or hang the part another way; near the parting line a groove in the \
             parting face can lead round the part",
            strike,
        )
    }
}

fn finding(step: Step, message: String, remedy: &str, strike: &Strike) -> Finding {
    Finding {
        severity: Severity::Stop,
        code: "channel-in-part",
        step,
        message,
        why: "No rod stands there while the master does, and once it is cut the channel opens into the cavity a second time: \
              resin runs past the gate, and every cast carries a stump where none was planned"
            .to_owned(),
        remedy: remedy.to_owned(),
        place: Some(strike.at),
        remedies: Vec::new(),
    }
}
