//! Bodies without a line, and halves in pieces.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::Half;
use crate::study::parting::PartingFacts;
use crate::study::parting::regions::ShapeFault;

fn name(half: Half) -> &'static str {
    match half {
        Half::One => "half 1",
        Half::Two => "half 2",
    }
}

/// One finding for each body without a line and each half that is in pieces.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(parting) = &look.facts.parting else { return Vec::new() };
    parting
        .shape
        .iter()
        .filter_map(|fault| Some(Finding { remedies: remedies(look, parting, fault), ..finding(parting, fault)? }))
        .collect()
}

/// Marks that cut this piece off, by their place in the plan.
fn cut_off_by(parting: &PartingFacts, fault: &ShapeFault) -> Vec<usize> {
    let ShapeFault::Pieces { body, half, .. } = *fault else { return Vec::new() };
    parting.cut_off.iter().filter(|c| c.body == body && c.half == half).map(|c| c.mark).collect()
}

/// What the program can do: take out the hand work that is to blame, else another draw.
fn remedies(look: &Look, parting: &PartingFacts, fault: &ShapeFault) -> Vec<Remedy> {
    let hand = &look.plan.parting;
    let mut remedies: Vec<Remedy> = cut_off_by(parting, fault).into_iter().map(Remedy::RemoveMark).collect();
    if let ShapeFault::NoLine { half, .. } = *fault {
        remedies.extend((0..hand.marks.len()).filter(|&m| hand.marks[m].half == half).map(Remedy::RemoveMark));
    }
    if hand.plane_mm.is_some() {
        remedies.push(Remedy::SeekLine);
    }
    remedies.push(Remedy::ProposeDraw);
    remedies
}

fn finding(parting: &PartingFacts, fault: &ShapeFault) -> Option<Finding> {
    let marks: Vec<String> = cut_off_by(parting, fault).into_iter().map(|m| format!("mark {}", m + 1)).collect();
    let (severity, code, message, why, remedy, place) = match *fault {
        ShapeFault::NoLine { half, .. } => (
            Severity::Stop,
            "no-line",
            format!("The whole part lies in {}: there is no parting line", name(half)),
            "Without a line round it the part never comes out of the rubber",
            "Choose another draw, or give some of the surface to the other half",
            None,
        ),
        ShapeFault::Pieces { half, pieces, at, .. } => (
            // What a hand cut off was not meant so; what the part itself cuts off may be.
            if marks.is_empty() { Severity::Warn } else { Severity::Stop },
            "half-in-pieces",
            match &marks[..] {
                [] => format!("The surface of {} is in {pieces} pieces", name(half)),
                marks => {
                    format!("The surface of {} is in {pieces} pieces, cut off by {}", name(half), marks.join(" and "))
                }
            },
            "A piece that is cut off from its half by the other one has to be pulled through it, or comes as a loose piece",
            "Look at the island: give it to the half round it, make it a loose piece, or choose another draw",
            Some(at),
        ),
        ShapeFault::LockedCore { .. } => return None,
    };
    Some(Finding {
        severity,
        code,
        step: Step::Parting,
        message,
        why: why.to_owned(),
        remedy: remedy.to_owned(),
        place,
        remedies: Vec::new(),
    })
}
