//! Too little resin round an insert.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::mesh::solids::frame_square_to;
use crate::study::job::words::length;
use std::f32::consts::TAU;

/// Directions round the axis in which the resin is measured.
const ROUND: usize = 16;
/// Depths along the embedded length at which it is measured.
const DEPTHS: usize = 6;

/// One finding for each insert with too little resin beside it.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(body) = &look.facts.body else { return Vec::new() };
    if body.trouble.is_some() {
        return Vec::new();
    }
    let limit = look.shop.limits.resin_round_insert_mm;
    let mut findings = Vec::new();
    for (insert, shape) in look.plan.inserts.iter().zip(look.facts.setting.inserts.iter()) {
        let embedded = (shape.length_mm - insert.in_pocket_mm) as f32;
        if embedded <= 0.0 {
            continue;
        }
        let (u, v) = frame_square_to(shape.axis);
        let radius = shape.radius_mm as f32;
        let mut least: Option<(f32, glam::Vec3)> = None;
        for d in 0..DEPTHS {
            let middle = shape.foot - shape.axis * embedded * (d as f32 + 0.5) / DEPTHS as f32;
            for r in 0..ROUND {
                let (s, c) = (TAU * r as f32 / ROUND as f32).sin_cos();
                let out = u * c + v * s;
                let skin = middle + out * (radius * 1.02 + 0.01);
                if !body.is_inside(skin) {
                    continue;
                }
                if let Some(hit) = body.tree.first_hit(skin, out, 1e6)
                    && least.is_none_or(|l| hit.t < l.0)
                {
                    least = Some((hit.t, skin));
                }
            }
        }
        if let Some((thin, at)) = least
            && (thin as f64) < limit
        {
            findings.push(Finding {
                severity: Severity::Warn,
                code: "insert-thin-resin",
                step: Step::Inserts,
                message: format!(
                    "Only {} of resin beside insert {}; {} holds it",
                    length(thin as f64),
                    shape.number,
                    length(limit)
                ),
                why: "Resin shrinks onto the insert as it cures; a thin ring cracks".to_owned(),
                remedy: "Thicken the boss in the model, or use a smaller insert".to_owned(),
                place: Some(at),
                remedies: Vec::new(),
            });
        }
    }
    findings
}
