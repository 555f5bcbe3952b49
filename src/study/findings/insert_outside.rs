//! Inserts that lie wholly in the rubber or wholly in the part.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::insert_shapes::InsertShape;

/// Resin that an insert must displace to count as held by the part, as a share of its own volume.
const HELD: f64 = 0.02;

/// Findings for inserts that do not touch the part, and for ones without a length in their pocket.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    let mut findings = Vec::new();
    for (i, (insert, shape)) in look.plan.inserts.iter().zip(look.facts.setting.inserts.iter()).enumerate() {
        let own = crate::mesh::measure::Measures::of(&shape.solid).volume_mm3;
        let displaced = body.displaced_mm3.get(i).copied().unwrap_or(0.0);
        if body.trouble.is_none() && displaced < own * HELD {
            findings.push(finding(
                shape,
                format!("Insert {} does not sit in the part: it displaces no resin", insert.number),
                "An insert is held in the cast by the resin round it",
                "Drag it onto the part, or turn its axis",
            ));
        }
        if insert.in_pocket_mm <= 0.0 {
            findings.push(finding(
                shape,
                format!("Insert {} has no length in a pocket", insert.number),
                "Nothing holds it in the closed tool while resin is poured; it falls or floats",
                "Give it a length in the rubber, or a pin that holds it",
            ));
        }
    }
    findings
}

fn finding(shape: &InsertShape, message: String, why: &str, remedy: &str) -> Finding {
    Finding {
        severity: Severity::Stop,
        code: "insert-outside",
        step: Step::Inserts,
        message,
        why: why.to_owned(),
        remedy: remedy.to_owned(),
        place: Some(shape.foot),
        remedies: Vec::new(),
    }
}
