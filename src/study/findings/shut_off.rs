//! Shut-offs: how the halves are kept apart in through-holes, and whether that can be done.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::Separation;
use crate::study::job::words::{area, length, place};
use crate::study::parting::moved::NotMoved;
use crate::study::parting::release::shut_offs::{Fit, ShutOff};

/// One finding for each shut-off that does not lie where it was moved to or cannot be kept apart as it was decided, and one
/// note for what all of them want.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let (blades, limits) = (&look.shop.blades, &look.shop.limits);
    let mut findings = not_moved(look);
    let mut taped: Vec<&ShutOff> = Vec::new();
    for (i, shut_off) in release.shut_offs.iter().enumerate() {
        let separation = shut_off.separation(blades, limits);
        if separation == Separation::Taped {
            taped.push(shut_off);
        }
        if let Fit::Not(why) = shut_off.fit(separation, blades, limits) {
            findings.push(Finding {
                severity: Severity::Warn,
                code: "shut-off-unfit",
                step: Step::Parting,
                message: format!("Shut-off {} cannot be {}: {why}", i + 1, word(separation)),
                why: "Rubber that goes through a hole unsevered holds the halves together and tears where it likes"
                    .to_owned(),
                remedy: "Keep the halves apart another way there, or move the shut-off along its hole".to_owned(),
                place: Some(shut_off.middle),
                remedies: Vec::new(),
            });
        }
    }
    if let Some(largest) = taped.iter().max_by(|a, b| a.patch.area_mm2.total_cmp(&b.patch.area_mm2)) {
        let sum: f64 = taped.iter().map(|s| s.patch.area_mm2).sum();
        let count = if taped.len() == 1 { "1 hole is".to_owned() } else { format!("{} holes are", taped.len()) };
        let [a, b] = largest.tape_mm(look.plan.master_factor());
        findings.push(Finding {
            severity: Severity::Note,
            code: "shut-off-tape",
            step: Step::Parting,
            message: format!(
                "{count} taped on the master, {} of tape in the open; the largest piece is {} by {}",
                area(sum),
                length(a.max(b)),
                length(a.min(b))
            ),
            why: "Each leaves a skin in its hole that is trimmed off every cast".to_owned(),
            remedy: "Tape them before the box is built; press the tape down round each rim".to_owned(),
            place: Some(largest.middle),
            remedies: Vec::new(),
        });
    }
    findings
}

/// One finding for each shut-off that does not lie where it was moved to.
fn not_moved(look: &Look) -> Vec<Finding> {
    let Some(parting) = &look.facts.parting else { return Vec::new() };
    let choices = look.plan.parting.shut_offs.iter().enumerate().filter(|(_, c)| !c.held.is_empty());
    let lost = parting.moved.iter().zip(choices).filter_map(|(m, (i, _))| m.from.err().map(|why| (m, i, why)));
    lost.map(|(moved, choice, why)| Finding {
        severity: Severity::Warn,
        code: "shut-off-not-moved",
        step: Step::Parting,
        message: format!(
            "A shut-off was moved {} along its hole to {}, but {}: it lies where it is proposed",
            length(f64::from(moved.by_mm)),
            place(&look.facts.setting, look.plan, moved.at),
            match why {
                NotMoved::OffPart => "the part is not closed round there",
                NotMoved::NoHole => "no shut-off goes round the hole there",
            }
        ),
        why: "Tape or blade would be set where the plan no longer has the halves meet".to_owned(),
        remedy: "Move it anew along its hole, or leave it where it is proposed".to_owned(),
        place: Some(moved.at),
        remedies: vec![Remedy::LeaveShutOff(choice)],
    })
    .collect()
}

fn word(separation: Separation) -> &'static str {
    match separation {
        Separation::Taped => "taped",
        Separation::Cut => "cut",
        Separation::Torn => "torn",
        Separation::FilledAndDrilled => "filled and drilled",
    }
}
