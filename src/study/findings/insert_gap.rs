//! An insert that resin does not get past before it sets.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::reach::through_mm;

/// A gap longer than this share of what resin reaches is risky, as for the longest path of the part.
const RISKY_SHARE: f64 = 0.7;

/// One finding for each insert that narrows the cavity too much for too long.
pub fn check(look: &Look) -> Vec<Finding> {
    let limit = look.shop.limits.thinnest_wall_mm;
    let passages = look.facts.passages.iter().zip(&look.plan.inserts);
    passages
        .filter_map(|(passage, insert)| {
            let passage = passage.as_ref()?;
            let reach = through_mm(look.plan, look.shop, &look.facts.for_pour(), passage.gap_mm);
            let short = reach.is_some_and(|r| passage.length_mm > r);
            let risky = reach.is_some_and(|r| passage.length_mm > RISKY_SHARE * r);
            // Too little resin beside an insert is told for its own sake; beyond its end it only matters to the flow.
            let thin = passage.at_end && passage.gap_mm < limit;
            if !risky && !thin {
                return None;
            }
            let where_to = if passage.at_end { "Beyond the end of" } else { "Beside" };
            let under = if passage.gap_mm < limit { format!(" (limit {})", length(limit)) } else { String::new() };
            let through = reach.map_or(String::new(), |r| format!("; through that this resin reaches {}", length(r)));
            Some(Finding {
                severity: if short { Severity::Stop } else { Severity::Warn },
                code: "insert-gap",
                step: Step::Inserts,
                message: format!(
                    "{where_to} insert {} resin must run {} in a gap of {}{under}{through}",
                    insert.number,
                    length(passage.length_mm),
                    length(passage.gap_mm)
                ),
                why: "In a narrow gap the resin creeps: the rest of the part is full and the mix has thickened before it \
                      is through, and the insert stands bare"
                    .to_owned(),
                remedy: "Take a smaller insert, thicken the wall round it, bring a gate to it, or choose a thinner resin"
                    .to_owned(),
                place: Some(passage.place),
                remedies: Vec::new(),
            })
        })
        .collect()
}
