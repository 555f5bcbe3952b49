//! What is weighed, mixed, degassed and left to set of the rubber, in words: first page, silicone page, steps and issues all
//! read it here, from the one record of the pours.

use super::figures;
use super::words::{self, column, label};
use crate::study::numbers::figures::{PourReport, SiliconeReport};

/// Both components of each pot as they are weighed, pour by pour: `2 × 1638 g`, `600 g + 899 g`.
pub fn weighed(s: &SiliconeReport) -> [String; 2] {
    let each = |of: fn(&PourReport) -> f64| {
        let pours: Vec<String> = s.pours.iter().map(|p| words::times(p.pots, &figures::mass(of(p)))).collect();
        pours.join(" + ")
    };
    [each(|p| p.pot_a_g), each(|p| p.pot_b_g)]
}

/// How large a pot must be, with what it is for.
pub fn pot(s: &SiliconeReport) -> (String, String) {
    (label::pot(s.degas_in_box).to_owned(), figures::litres(s.each_pot_litres))
}

/// How long it sets at its temperature, pour by pour.
pub fn cure(s: &SiliconeReport) -> (String, String) {
    let each = s.pours.first().map_or(s.cure_at_s, |p| p.cure_s);
    let pours = s.pours.len().max(1) as u32;
    (label::cure(&figures::celsius(s.cure_c)), words::times(pours, &figures::time(each)))
}

/// Heading of the column of a pour's pots.
pub fn pot_column(s: &SiliconeReport, pour: usize) -> String {
    let pots = s.pours.get(pour).map_or(1, |p| p.pots);
    column::pots((s.pours.len() > 1).then_some(pour + 1), pots)
}
