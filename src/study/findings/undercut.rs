//! Undercuts that the rubber has to let go.

use super::words::{area, length};
use super::{Finding, Look, Remedy, Severity, Step};
use crate::plan::Half;

/// Share of the elongation at break that a rubber stands for some tens of casts: common practice, no source (a fifth
/// to a tenth).
const SAFE_SHARE: f64 = 1.0 / 7.0;

/// An undercut no deeper than this lets go of any rubber that is soft enough to be cut: common practice, no source
/// (1 to 2.5 mm at 40 to 45 Shore A).
const HARD_MM: f64 = 2.5;

/// One finding for each undercut deeper than the shop lets pass.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(parting), Some(body)) = (&look.facts.parting, &look.facts.body) else { return Vec::new() };
    let limits = &look.shop.limits;
    let silicone = look.plan.silicone(look.shop);
    let across_mm = body.bounds.size().max_element() as f64;
    parting
        .undercuts
        .iter()
        .filter(|u| u.depth_mm > limits.undercut_depth_mm)
        .map(|u| {
            let half = if u.half == Half::One { "half 1" } else { "half 2" };
            // Rubber that must move aside by its depth over a place of this size stretches about 2·depth over its width.
            let width_mm = u.area_mm2.sqrt().max(1e-3).min(across_mm);
            let stretch_pct = 100.0 * 2.0 * u.depth_mm / (width_mm + 2.0 * u.depth_mm);
            let hard = stretch_pct > silicone.elongation_pct * SAFE_SHARE && u.depth_mm > HARD_MM;
            Finding {
                severity: if hard { Severity::Warn } else { Severity::Note },
                code: "undercut",
                step: Step::Parting,
                message: format!(
                    "An undercut holds {half}: {} deep over {}{}",
                    length(u.depth_mm),
                    area(u.area_mm2),
                    if hard { "; the rubber lets go with care" } else { "; the rubber lets go" }
                ),
                why: "The rubber must stretch or fold over this before the half comes off; each time tires it, and a \
                      deep one tears it early"
                    .to_owned(),
                remedy: if hard {
                    "Choose another draw, plan a relief cut or a loose piece, or use a softer rubber".to_owned()
                } else {
                    "Nothing, but open slowly here".to_owned()
                },
                place: Some(u.middle),
                remedies: if hard { vec![Remedy::ProposeDraw] } else { Vec::new() },
            }
        })
        .collect()
}
