//! Bodies of one file that do not hang together, of which nobody has said what they are.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::Bodies;

/// One Stop for each such file: everything that follows hangs on the answer.
pub fn check(look: &Look) -> Vec<Finding> {
    let placed = &look.facts.setting.placed;
    let mut findings = Vec::new();
    for kind in look.plan.kinds() {
        let asks = |i: &&usize| {
            look.plan.parts[**i].bodies == Bodies::NotSaid && placed.loaded.get(**i).is_some_and(|l| l.loose() > 1)
        };
        let Some(&i) = kind.parts.iter().find(asks) else { continue };
        let loaded = &placed.loaded[i];
        let n = loaded.loose();
        // The smallest is the one that is overlooked.
        let place = loaded.pieces().last().and_then(|p| p.mesh.positions.first().map(|v| v.as_dvec3() + p.centre));
        findings.push(Finding {
            severity: Severity::Stop,
            code: "bodies-loose",
            step: Step::Part,
            message: format!(
                "{}: {n} bodies that do not touch lie in one file; nobody has said whether they are one part or {n} parts \
                 of a set",
                kind.name
            ),
            why: "Hang, line and feed are sought for one thing that hangs together. Loose bodies that are one part want a \
                  gate each; parts of a set want rubber between them, and each its own rows"
                .to_owned(),
            remedy: format!("Say it at the head of the Part step: one part of {n} bodies, or {n} parts of a set"),
            place: place.map(|p| placed.work_from_part[i].transform_point3(p).as_vec3()),
            remedies: Vec::new(),
        });
    }
    findings
}
