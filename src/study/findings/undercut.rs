//! Undercuts that the rubber has to let go.

use super::words::{area, length};
use super::{Finding, Look, Remedy, Severity, Step};
use crate::plan::Half;
use crate::study::parting::undercuts::Undercut;

/// Deepest undercut that a rubber of this hardness lets go for some tens of casts, as (Shore A, millimetres): common
/// practice, no source. It comes to about a fifth to a tenth of the elongation at break over usual necks.
const LETS_GO: [(f64, f64); 4] = [(22.5, 6.0), (32.5, 4.0), (42.5, 2.5), (57.5, 1.0)];

/// Deepest undercut that a rubber of `shore_a` lets go, millimetres: between the figures of practice on a straight line,
/// beyond them the nearest.
fn lets_go_mm(shore_a: f64) -> f64 {
    let after = LETS_GO.iter().position(|(s, _)| *s >= shore_a);
    match after {
        Some(0) => LETS_GO[0].1,
        None => LETS_GO[LETS_GO.len() - 1].1,
        Some(i) => {
            let ((s0, d0), (s1, d1)) = (LETS_GO[i - 1], LETS_GO[i]);
            d0 + (d1 - d0) * (shore_a - s0) / (s1 - s0)
        }
    }
}

/// One finding for each undercut that asks for care, and one note for all that the rubber lets go.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(parting) = &look.facts.parting else { return Vec::new() };
    let limits = &look.shop.limits;
    let shore_a = look.plan.silicone(look.shop).shore_a;
    let lets_go = lets_go_mm(shore_a);
    let held: Vec<&Undercut> = parting.undercuts.iter().filter(|u| u.depth_mm > limits.undercut_depth_mm).collect();
    let (hard, easy): (Vec<&Undercut>, Vec<&Undercut>) = held.into_iter().partition(|u| u.depth_mm > lets_go);
    let mut findings: Vec<Finding> = hard
        .into_iter()
        .map(|u| Finding {
            severity: Severity::Warn,
            code: "undercut",
            step: Step::Parting,
            message: format!(
                "An undercut of {} holds {}: {} deep; rubber of {shore_a:.0} Shore A lets go of {}",
                area(u.area_mm2),
                if u.half == Half::One { "half 1" } else { "half 2" },
                length(u.depth_mm),
                length(lets_go)
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

#[cfg(test)]
mod tests {
    use super::lets_go_mm;

    #[test]
    fn softer_rubber_lets_go_of_more() {
        assert_eq!([10.0, 22.5, 42.5, 80.0].map(lets_go_mm), [6.0, 6.0, 2.5, 1.0]);
        assert!((lets_go_mm(27.5) - 5.0).abs() < 1e-12 && (lets_go_mm(50.0) - 1.75).abs() < 1e-12);
    }
}
