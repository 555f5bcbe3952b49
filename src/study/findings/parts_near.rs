//! Parts of a set that stand too near to each other, or in each other.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;

/// Surfaces nearer than this touch, millimetres.
const TOUCH_MM: f64 = 0.01;

/// A Stop for each two that run into each other or touch, a Warn for each two with less rubber between them than the shop's
/// least.
pub fn check(look: &Look) -> Vec<Finding> {
    let limit = look.shop.limits.least_rubber_mm;
    let near = look.facts.between.iter().filter(|b| b.distance_mm < limit - TOUCH_MM);
    near.map(|between| {
        let [a, b] = between.parts.map(|i| look.plan.part_title(i));
        let touches = between.distance_mm < TOUCH_MM;
        let (severity, message, why) = if between.overlap {
            let away = apart_mm(look, between.parts, limit);
            let message = format!(
                "{a} and {b} run into each other; shifted by {} they would have {} of rubber between them",
                length(away),
                length(limit)
            );
            (Severity::Stop, message, "They would be cast as one piece")
        } else if touches {
            let message = format!("{a} and {b} touch; at least {} of rubber must stand between them", length(limit));
            (Severity::Stop, message, "They would be cast as one piece, or tear the film of rubber between them")
        } else {
            let message =
                format!("{} of rubber between {a} and {b}, less than {}", length(between.distance_mm), length(limit));
            (
                Severity::Warn,
                message,
                "A thin wall of rubber between two cavities gives way under the resin, and tears as casts come out",
            )
        };
        Finding {
            severity,
            code: if severity == Severity::Stop { "parts-overlap" } else { "parts-near" },
            step: Step::Part,
            message,
            why: why.to_owned(),
            remedy: "Lay the set out anew, or move one of them further away".to_owned(),
            place: Some(between.place),
            remedies: vec![Remedy::LayOutSet],
        }
    })
    .collect()
}

/// How far one must be shifted along a side of the box so that the boxes round both have the shop's least rubber between
/// them: the shortest such way, from where they stand, millimetres.
fn apart_mm(look: &Look, parts: [usize; 2], limit: f64) -> f64 {
    let [a, b] = parts.map(|i| look.facts.setting.upright[i]);
    let ways = (0..2).flat_map(|k| [a.max[k] - b.min[k], b.max[k] - a.min[k]]);
    ways.map(|way| f64::from(way).max(0.0) + limit).fold(f64::INFINITY, f64::min)
}
