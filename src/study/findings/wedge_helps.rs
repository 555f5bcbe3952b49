//! A wedge under one edge of the closed block that saves vents or frees ceilings.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::plan::Stage;
use crate::study::job::words::{area, counted, volume};

/// A note where one helps.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(Some(wedge)) = look.facts.standing.wedge.as_deref() else { return Vec::new() };
    let cut = look.plan.stage >= Stage::Cut;
    let (now, with) = (&wedge.now, &wedge.with);
    let mut gains: Vec<String> = Vec::new();
    let n = wedge.fewer_vents();
    if !cut && n > 0 {
        gains.push(format!("{} {} fewer", counted(n), if n == 1 { "vent" } else { "vents" }));
    }
    if cut && with.trapped_mm3 < now.trapped_mm3 {
        gains.push(format!("{} less air with the vents as they are", volume(now.trapped_mm3 - with.trapped_mm3)));
    }
    if now.ceiling_mm2 - with.ceiling_mm2 >= look.shop.limits.ceiling_mm2 {
        gains.push(format!("{} less near-level ceiling", area(now.ceiling_mm2 - with.ceiling_mm2)));
    }
    let left = if cut { "The block is cut: how it stands is the only lever left. " } else { "" };
    vec![Finding {
        severity: Severity::Note,
        code: "wedge-helps",
        step: Step::Hang,
        message: format!(
            "Raise the {} edge of the closed block by {:.0} mm ({}°, of {}° that the shop allows): {}",
            wedge.edge.name(),
            wedge.lift_mm,
            wedge.tilt_deg,
            look.shop.limits.prop_deg,
            gains.join(", ")
        ),
        why: format!(
            "{left}A wedge costs nothing: the silicone stays as it is, and air runs along a slanting ceiling to one place"
        ),
        remedy: "Prop it so while resin is poured and until it has set, and see that cup and vents stay upright enough"
            .to_owned(),
        place: None,
        remedies: vec![Remedy::PropBlock(wedge.attitude(&look.plan.hang.cast_attitude()))],
    }]
}
