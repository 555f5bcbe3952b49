//! Bodies that no gate leads to.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::spot::spot_on_part;
use crate::study::job::words::volume;

/// One Stop for each body that resin does not reach.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(flow) = &look.facts.flow else { return Vec::new() };
    let Some(body) = &look.facts.body else { return Vec::new() };
    flow.unreached
        .iter()
        .map(|u| {
            let nearest = body.tree.nearest(u.position);
            let gate = |p| Remedy::AddGate(spot_on_part(&look.facts.setting, body, p));
            let remedies = nearest.map(|n| gate(n.point)).into_iter().collect();
            Finding {
                severity: Severity::Stop,
                code: "part-unreached",
                step: Step::Feed,
                message: format!("No gate leads to a body of about {}", volume(u.volume_mm3)),
                why: "It hangs together with no other body, so resin from the gates never comes there".to_owned(),
                remedy: "Give it a gate of its own".to_owned(),
                place: Some(u.position),
                remedies,
            }
        })
        .collect()
}
