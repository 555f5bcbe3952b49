//! Too little rubber between two bodies of one part.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::{area, fine, upper_first};
use crate::study::parting::release::films::Film;

/// A Warn for every two bodies of a part with less rubber between them than the shop's least. That of two parts of a set is
/// told by the rule on those.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(rubber) = &look.facts.rubber else { return Vec::new() };
    let setting = &look.facts.setting;
    let of_one_part = |f: &&Film| setting.part_at(f.ends[0]) == setting.part_at(f.ends[1]);
    rubber.films.iter().filter(of_one_part).map(|film| finding(look, film)).collect()
}

fn finding(look: &Look, film: &Film) -> Finding {
    let [least, most] = film.thickness_mm;
    let limit = look.shop.limits.least_rubber_mm;
    let thick = if most - least < 0.01 { fine(least) } else { format!("{:.2} to {}", least, fine(most)) };
    let part = look.plan.part_title(look.facts.setting.part_at(film.ends[0]));
    Finding {
        severity: Severity::Warn,
        code: "rubber-between",
        step: Step::Parting,
        message: upper_first(&format!(
            "{thick} of rubber between two bodies of {part} over {}, less than {}",
            area(film.area_mm2),
            fine(limit)
        )),
        why: "A thin skin of rubber between two cavities gives way under the resin, and tears as casts come out"
            .to_owned(),
        remedy: "Cast the two bodies one by one, or further apart; or join them, if they are one part".to_owned(),
        place: Some(film.place()),
        remedies: Vec::new(),
    }
}
