//! Undercuts that the rubber has to let go.

use super::words::{area, length};
use super::{Finding, Look, Remedy, Severity, Step};
use crate::plan::Half;
use crate::study::parting::undercuts::Undercut;

/// Share of the elongation at break that a rubber stands for some tens of casts: common practice, no source (a fifth
/// to a tenth).
const SAFE_SHARE: f64 = 1.0 / 7.0;

/// An undercut no deeper than this lets go of any rubber that is soft enough to be cut: common practice, no source
/// (1 to 2.5 mm at 40 to 45 Shore A).
const HARD_MM: f64 = 2.5;

/// One finding for each undercut that asks for care, and one note for all that the rubber lets go.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(parting), Some(body)) = (&look.facts.parting, &look.facts.body) else { return Vec::new() };
    let limits = &look.shop.limits;
    let allowed_pct = look.plan.silicone(look.shop).elongation_pct * SAFE_SHARE;
    let across_mm = body.bounds.size().max_element() as f64;
    let held: Vec<&Undercut> = parting.undercuts.iter().filter(|u| u.depth_mm > limits.undercut_depth_mm).collect();
    let (hard, easy): (Vec<&Undercut>, Vec<&Undercut>) = held.into_iter().partition(|u| {
        // Rubber that must move aside by its depth over a place of this size stretches about 2·depth over its width.
        let width_mm = u.area_mm2.sqrt().max(1e-3).min(across_mm);
        let stretch_pct = 100.0 * 2.0 * u.depth_mm / (width_mm + 2.0 * u.depth_mm);
        stretch_pct > allowed_pct && u.depth_mm > HARD_MM
    });
    let mut findings: Vec<Finding> = hard
        .into_iter()
        .map(|u| Finding {
            severity: Severity::Warn,
            code: "undercut",
            step: Step::Parting,
            message: format!(
                "An undercut of {} holds {}: {} deep",
                area(u.area_mm2),
                if u.half == Half::One { "half 1" } else { "half 2" },
                length(u.depth_mm)
            ),
            why: "The rubber must stretch or fold over this before the half comes off; each time tires it, and a deep \
                  one tears it early"
                .to_owned(),
            remedy: "Choose another draw, plan a relief cut or a loose piece, or use a softer rubber".to_owned(),
            place: Some(u.middle),
            remedies: vec![Remedy::ProposeDraw],
        })
        .collect();
    if let Some(deepest) = easy.iter().max_by(|a, b| a.depth_mm.total_cmp(&b.depth_mm)) {
        let sum: f64 = easy.iter().map(|u| u.area_mm2).sum();
        findings.push(Finding {
            severity: Severity::Note,
            code: "undercut-lets-go",
            step: Step::Parting,
            message: match easy.len() {
                1 => {
                    format!("An undercut of {}, {} deep, is let go by the rubber", area(sum), length(deepest.depth_mm))
                }
                n => format!(
                    "{n} undercuts, {} in all and at most {} deep, are let go by the rubber",
                    area(sum),
                    length(deepest.depth_mm)
                ),
            },
            why: "The rubber stretches over them as the half comes off".to_owned(),
            remedy: "Nothing, but open slowly there".to_owned(),
            place: Some(deepest.middle),
            remedies: Vec::new(),
        });
    }
    findings
}
