//! Loose pieces that cannot be made, are held themselves, or serve nothing.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::area;

/// Share of the served surface that may hold the piece by a hair: facets of curved walls.
const HELD_SHARE: f64 = 0.03;

/// One finding for each loose piece that will not do.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let mut findings = Vec::new();
    for piece in &release.pieces {
        let (severity, message, remedy) = match &piece.solid {
            Err(why) => (
                Severity::Warn,
                format!("{} cannot be made: {why}", piece.name),
                "Move it onto the undercut, or change its radius",
            ),
            Ok(_) if piece.serves_mm2 <= 0.0 => (
                Severity::Note,
                format!("{} takes no undercut with it", piece.name),
                "Take it out, or move it to an undercut",
            ),
            Ok(_) if piece.held_mm2 > HELD_SHARE * piece.serves_mm2 => (
                Severity::Warn,
                format!(
                    "{} is held itself: {} of the {} that it touches does not leave the way it is drawn",
                    piece.name,
                    area(piece.held_mm2),
                    area(piece.serves_mm2)
                ),
                "Turn the way it leaves, or make its radius smaller",
            ),
            Ok(_) => continue,
        };
        findings.push(Finding {
            severity,
            code: "loose-piece-held",
            step: Step::Parting,
            message,
            why: "A loose piece must come off the cast by hand, straight along its own way out".to_owned(),
            remedy: remedy.to_owned(),
            place: Some(piece.at),
            remedies: Vec::new(),
        });
    }
    findings
}
