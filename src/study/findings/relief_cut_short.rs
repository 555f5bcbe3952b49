//! Relief cuts that do not open what they were meant for, and those that open nothing.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;

/// One finding for each relief cut that serves no undercut and no locked core.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let mut findings = Vec::new();
    for (i, cut) in release.cuts.iter().enumerate() {
        // What is said of a cut that does not sever a locked core is said with the core.
        let mut opened = release.locks.iter().flat_map(|l| &l.opened);
        let at_lock = opened.any(|o| o.cuts.contains(&i) || o.shallow.iter().any(|s| s.0 == i));
        if at_lock || release.services.iter().any(|s| s.cuts.contains(&i)) {
            continue;
        }
        let short = release.services.iter().flat_map(|s| &s.short).find(|(cut, _, _)| *cut == i);
        let (severity, message, remedy) = match short {
            Some(&(_, wanted, depth)) => (
                Severity::Warn,
                format!(
                    "{} does not open its undercut: it must run {} along the draw through it and go {} deep, and is {} deep",
                    cut.name,
                    length(wanted),
                    length(depth),
                    length(cut.depth_mm)
                ),
                "Make it longer or deeper",
            ),
            None => {
                (Severity::Note, format!("{} opens no undercut", cut.name), "Take it out, or move it to an undercut")
            }
        };
        findings.push(Finding {
            severity,
            code: "relief-cut-short",
            step: Step::Parting,
            message,
            why: "The rubber at the end of a cut that stops short takes all the stretch and tears on from there"
                .to_owned(),
            remedy: remedy.to_owned(),
            place: cut.points.first().copied(),
            remedies: Vec::new(),
        });
    }
    findings
}
