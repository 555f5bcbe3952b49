//! A dimension that comes out wrong by more than practice spreads.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::{Scale, Stage};

/// One finding for each dimension that somebody cares for and that misses.
pub fn check(look: &Look) -> Vec<Finding> {
    let size = &look.numbers.size;
    let nominal = matches!(look.plan.parts.first().map(|p| p.scale), Some(Scale::Nominal { .. }));
    let may_scale = nominal && look.plan.stage < Stage::Poured;
    let off = size.dimensions.iter().filter(|d| (d.cast_mm - d.wanted_mm).abs() > d.spread_mm);
    off.map(|d| Finding {
        severity: Severity::Warn,
        code: "size-off",
        step: Step::Casting,
        message: format!(
            "{} comes out at {:.2} mm, {:+.2} mm off {:.2}; practice spreads by {:.2} mm",
            if d.name.trim().is_empty() { "A dimension" } else { d.name.trim() },
            d.cast_mm,
            d.cast_mm - d.wanted_mm,
            d.wanted_mm,
            d.spread_mm
        ),
        why: format!("Reckoned where {}; a measured cast counts for more", size.assumption),
        remedy: format!("Make the master {:.2} % of the part's size", size.cancelling_factor * 100.0),
        place: None,
        remedies: if may_scale { vec![Remedy::ScaleMaster(size.cancelling_factor)] } else { Vec::new() },
    })
    .collect()
}
