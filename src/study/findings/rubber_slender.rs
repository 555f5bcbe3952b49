//! Rubber that stands too slender to keep its place and to come out of the cast whole.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::parting::release::kinds::RubberKind;
use crate::study::parting::release::rubber::Piece;

/// One finding for each piece of rubber over the shop's slenderness.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(rubber) = &look.facts.rubber else { return Vec::new() };
    let limits = look.shop.limits.slenderness;
    rubber.pieces.iter().filter(|p| p.slenderness() > limits[0]).map(|p| finding(p, limits)).collect()
}

fn finding(piece: &Piece, [watch, most]: [f64; 2]) -> Finding {
    let what = match piece.kind {
        RubberKind::Plug => "A plug of rubber through a hole",
        RubberKind::Core => "A core of rubber in a blind hole",
        RubberKind::Tongue => "A tongue of rubber in a slot",
    };
    let slender = piece.slenderness();
    let limit = if slender > most {
        format!("rubber stands up to {most:.0} times")
    } else {
        format!("from {watch:.0} times on it wants watching, up to {most:.0} times it stands")
    };
    Finding {
        severity: if slender > most { Severity::Warn } else { Severity::Note },
        code: "rubber-slender",
        step: Step::Parting,
        message: format!(
            "{what} is {} long and {} thick, {slender:.1} times its thickness; {limit}",
            length(piece.length_mm),
            length(piece.thickness_mm)
        ),
        why:
            "Slender rubber leans and floats in the resin, so the hole comes out crooked, and it tears off in the cast"
                .to_owned(),
        remedy: match piece.kind {
            RubberKind::Tongue => {
                "Put a metal blade in the slot of the master so that it stays in the rubber, or cast \
                                   the slot closed and mill it"
                    .to_owned()
            }
            _ => format!(
                "Use a metal core: a rod of Ø{:.1} mm set in the hole of the master stays in the rubber; or fill the hole \
                 and drill each cast",
                piece.thickness_mm
            ),
        },
        place: Some(piece.tip),
        remedies: Vec::new(),
    }
}
