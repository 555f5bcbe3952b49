//! Where hand work leaves a line that does not close, or that does not separate the halves.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::words::{length, place};
use crate::study::parting::held_gap::{GapCause, HeldGap};

/// One finding for each held loop that is open somewhere, and one for each line that runs out into an open edge.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(parting) = &look.facts.parting else { return Vec::new() };
    let mut findings: Vec<Finding> = (0..look.plan.parting.held_loops.len())
        .filter_map(|held| {
            let own = || parting.held_gaps.iter().filter(|g| g.held == held);
            let longest = own().max_by(|a, b| a.length_mm.total_cmp(&b.length_mm))?;
            Some(held_open(look, longest, own().count()))
        })
        .collect();
    for line in parting.lines.iter().filter(|l| !l.closed) {
        let Some(end) = line.points.last() else { continue };
        findings.push(Finding {
            severity: Severity::Warn,
            code: "line-runs-out",
            step: Step::Parting,
            message: format!(
                "A line of {} runs out into an open edge of the mesh at {}",
                length(line.length_mm),
                place(&look.facts.setting, look.plan, *end)
            ),
            why: "Where the line ends the halves hang together".to_owned(),
            remedy: "Close the surface where it was drawn and load it again".to_owned(),
            place: Some(*end),
            remedies: Vec::new(),
        });
    }
    findings
}

fn held_open(look: &Look, gap: &HeldGap, gaps: usize) -> Finding {
    let name = format!("Held loop {}", gap.held + 1);
    let at = place(&look.facts.setting, look.plan, gap.at);
    let by: Vec<String> = gap
        .marks
        .iter()
        .map(|m| format!("mark {}", m + 1))
        .chain(gap.pins.iter().map(|p| format!("pin {}", p + 1)))
        .collect();
    let because = match gap.cause {
        GapCause::OffSurface => "it does not lie on the part there".to_owned(),
        GapCause::OneHalf if by.is_empty() => "the surface on both sides belongs to one half there".to_owned(),
        GapCause::OneHalf => format!("{} gives both sides to one half there", by.join(" and ")),
    };
    let more = if gaps > 1 { format!("; it is open in {gaps} places in all") } else { String::new() };
    let marks = gap.marks.iter().map(|&m| Remedy::RemoveMark(m));
    let pins = gap.pins.iter().filter(|&&p| p < look.plan.parting.pins.len()).map(|&p| Remedy::RemovePin(p));
    Finding {
        severity: Severity::Stop,
        code: "line-open",
        step: Step::Parting,
        message: format!("{name} is open over {} from {at}: {because}{more}", length(gap.length_mm)),
        why:
            "A line that does not close leaves the halves hanging together; the blade would stop short of coming round"
                .to_owned(),
        remedy: if by.is_empty() {
            "Let go of the loop and hold the line as it runs now".to_owned()
        } else {
            format!("Take {} out, or let go of the loop", by.join(" or "))
        },
        place: Some(gap.at),
        remedies: marks.chain(pins).chain([Remedy::LetGoOfLoop(gap.held)]).collect(),
    }
}
