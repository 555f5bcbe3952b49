//! Shut-offs: how the halves are kept apart in through-holes, and whether that can be done.

use super::words::{area, length};
use super::{Finding, Look, Severity, Step};
use crate::plan::Separation;
use crate::study::release::shut_offs::{Fit, ShutOff};

/// One finding for each shut-off that cannot be kept apart as it was decided, and one note for what all of them want.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let (blades, limits) = (&look.shop.blades, &look.shop.limits);
    let mut findings = Vec::new();
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
        let [a, b] = largest.tape_mm();
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

fn word(separation: Separation) -> &'static str {
    match separation {
        Separation::Taped => "taped",
        Separation::Cut => "cut",
        Separation::Torn => "torn",
        Separation::FilledAndDrilled => "filled and drilled",
    }
}
