//! The blade that cuts the rubber in a through-hole runs into metal on its way there.

use super::blade_meets_metal::WHY;
use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::Separation;
use crate::study::job::words::place;
use crate::study::parting::release::blade::Metal;

/// A Stop for each shut-off that is cut and has metal in the way of the blade to it.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let (blades, limits) = (&look.shop.blades, &look.shop.limits);
    let is_cut = |i: usize| release.shut_offs[i].separation(blades, limits) == Separation::Cut;
    let met = release.in_the_way.iter().filter(|m| is_cut(m.shut_off));
    met.map(|m| {
        let what = match m.metal {
            Metal::Insert(i) => format!("insert {}", look.plan.inserts.get(i).map_or(0, |insert| insert.number)),
            Metal::Piece(i) => match release.pieces.get(i).map(|p| p.name.trim()) {
                Some(name) if !name.is_empty() => format!("the metal core {name}"),
                _ => format!("the metal core {}", i + 1),
            },
        };
        Finding {
            severity: Severity::Stop,
            code: "blade-meets-core",
            step: Step::Parting,
            message: format!(
                "The blade runs into {what} on its way to shut-off {}, at {}",
                m.shut_off + 1,
                place(&look.facts.setting, look.plan, m.at)
            ),
            why: WHY.to_owned(),
            remedy: "Keep the halves apart another way there, or move the metal or the shut-off".to_owned(),
            place: Some(m.at),
            remedies: Vec::new(),
        }
    })
    .collect()
}
