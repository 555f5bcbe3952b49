//! A channel that nobody can get out of the rubber: neither in the cut nor a straight rod.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::parting::cut::channels::{IN_CUT_MM, Which};

/// A Stop for each feed, runner or vent that must lie in the cut and does not.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(cut) = &look.facts.cut else { return Vec::new() };
    cut.off_cut
        .iter()
        .map(|off| {
            let (what, step) = match off.which {
                Which::Gate(n) => (format!("The runner of gate {n}"), Step::Feed),
                Which::Vent(n) => (format!("Vent {n}"), Step::Vents),
            };
            Finding {
                severity: Severity::Stop,
                code: "channel-off-cut",
                step,
                message: format!(
                    "{what} lies {} beside the cut; a channel with a bend must lie in it within {}",
                    length(off.off_mm),
                    length(IN_CUT_MM)
                ),
                why: "Only a straight rod can be pulled out of the rubber; what fills a bent channel comes out where the block is cut through it, or not at all"
                    .to_owned(),
                remedy: "Put the gate on the parting line and lead the runner in the cut, or lead it straight up".to_owned(),
                place: Some(off.place),
                remedies: Vec::new(),
            }
        })
        .collect()
}
