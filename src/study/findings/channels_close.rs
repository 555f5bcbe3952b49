//! Channels that come too near to each other, or to the outside of the block.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::rod_clearance::BESIDE_ROD_MM;
use crate::study::job::words::{length, upper_first};
use crate::study::parting::channel_gaps::{Gap, ToOutside, between_channels, to_outside};
use crate::study::parting::cut::channels::Which;

/// One finding for each pair, and for each channel too near to the outside.
pub fn check(look: &Look) -> Vec<Finding> {
    let setting = &look.facts.setting;
    let pairs = between_channels(&setting.channels).into_iter().map(|gap| pair(&gap));
    pairs.chain(to_outside(setting).into_iter().map(|out| outside(&out))).collect()
}

fn name(which: Which) -> String {
    match which {
        Which::Gate(n) => format!("the runner of gate {n}"),
        Which::Vent(n) => format!("vent {n}"),
    }
}

fn step(which: Which) -> Step {
    match which {
        Which::Gate(_) => Step::Feed,
        Which::Vent(_) => Step::Vents,
    }
}

fn severity(rubber_mm: f64) -> Severity {
    if rubber_mm <= 0.0 { Severity::Stop } else { Severity::Warn }
}

fn pair(gap: &Gap) -> Finding {
    let (one, other) = (name(gap.one), name(gap.other));
    let message = if gap.rubber_mm <= 0.0 {
        format!(
            "{} and {other} run into each other: {} of it lie within {} of the other",
            upper_first(&one),
            length(gap.length_mm),
            length(BESIDE_ROD_MM)
        )
    } else {
        format!(
            "Only {} of rubber between {one} and {other} on {}; less than {} tears",
            length(gap.rubber_mm),
            length(gap.length_mm),
            length(BESIDE_ROD_MM)
        )
    };
    let feeds = |w: Which| matches!(w, Which::Gate(_));
    let why = match (feeds(gap.one), feeds(gap.other)) {
        (false, false) => "Two vents that break into one let out no more air than one, and the web between them tears",
        (true, true) => "The web between the rods tears when they are pulled, and resin goes the shorter way",
        _ => {
            "Resin from the runner runs straight into the vent and shuts it before the air below has left through it; \
             what is weighed for the part runs out on top"
        }
    };
    let remedies = match (gap.one, gap.other) {
        (Which::Vent(_), Which::Vent(n)) => vec![Remedy::RemoveVent(n), Remedy::ProposeVents],
        (Which::Gate(n), Which::Vent(_)) => vec![Remedy::LeadRound(n), Remedy::ProposeVents],
        _ => vec![Remedy::ProposeFeed],
    };
    Finding {
        severity: severity(gap.rubber_mm),
        code: "channels-close",
        step: step(gap.one),
        message,
        why: why.to_owned(),
        remedy: "Move one of them, or lead the runner round".to_owned(),
        place: Some(gap.at),
        remedies,
    }
}

fn outside(out: &ToOutside) -> Finding {
    let wall = if out.floor { "floor" } else { "side" };
    let what = upper_first(&name(out.which));
    let message = if out.rubber_mm <= 0.0 {
        format!("{what} comes out of the block's {wall} by {}", length(-out.rubber_mm))
    } else {
        format!(
            "{what} leaves {} of rubber to the block's {wall}; less than {} tears",
            length(out.rubber_mm),
            length(BESIDE_ROD_MM)
        )
    };
    Finding {
        severity: severity(out.rubber_mm),
        code: "channels-close",
        step: step(out.which),
        message,
        why: "Resin runs out through a thin or open wall of the block, and the cast stays short".to_owned(),
        remedy: "Move it, or make the box larger".to_owned(),
        place: Some(out.at),
        remedies: Vec::new(),
    }
}
