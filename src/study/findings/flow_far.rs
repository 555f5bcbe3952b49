//! A flow path longer than the resin reaches before it thickens.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::reach::reach_mm;

/// A flow path longer than this share of the reach is risky: common practice asks for a fill within a third to a half
/// of the pot life, and path goes as the square root of time.
const RISKY_SHARE: f64 = 0.7;

/// One finding where the longest path is too long.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(flow) = &look.facts.flow else { return Vec::new() };
    let Some(reach) = reach_mm(look.plan, look.shop, &look.facts.for_pour()) else { return Vec::new() };
    let Some(longest) = &flow.longest else { return Vec::new() };
    if longest.length_mm <= reach * RISKY_SHARE {
        return Vec::new();
    }
    let short = longest.length_mm > reach;
    vec![Finding {
        severity: if short { Severity::Stop } else { Severity::Warn },
        code: "flow-far",
        step: Step::Feed,
        message: format!(
            "The longest flow path is {}; through the thin wall this resin reaches {} before it sets{}",
            length(longest.length_mm),
            length(reach),
            if short { "" } else { ", with little to spare" }
        ),
        why: "While the chamber is under vacuum only the head of resin drives the fill, and the mix thickens from the \
              moment it is stirred"
            .to_owned(),
        remedy:
            "Move the gate nearer to the middle, add a gate, raise the cup, or choose a thinner resin with a longer \
                 pot life"
                .to_owned(),
        place: Some(longest.last()),
        remedies: vec![Remedy::ProposeFeed],
    }]
}
