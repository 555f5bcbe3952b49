//! Gates from which resin falls.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::length;
use crate::study::pour::fill::Pour;
use crate::study::pour::fill::fineness::Fineness;
use crate::study::pour::gate_falls::{GateFall, LEAST_FALL_MM, film_mm};

/// One note for each gate that stands well above the place where its resin gathers.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(falls) = &look.facts.standing.falls else { return Vec::new() };
    falls.iter().filter(|f| f.height_mm >= LEAST_FALL_MM).filter_map(|f| found(look, f)).collect()
}

fn found(look: &Look, fall: &GateFall) -> Option<Finding> {
    let setting = &look.facts.setting;
    let index = look.plan.feed.gates.iter().position(|g| g.number == fall.gate)?;
    let gate = &look.plan.feed.gates[index];
    let up = setting.frames.cast_up();
    let at = setting.frames.spot_in_work(&gate.at);
    let (low, high) = (fall.floor.dot(up), at.dot(up));
    let mut message = format!("Resin falls {} from gate {} before it gathers", length(fall.height_mm), gate.number);
    let mut why =
        "Resin that falls runs down the walls in streams, folds air in and can close round it; resin that rises \
                   pushes the air up in front of it"
            .to_owned();
    let film = Pour::of_plan(look.plan, look.shop, setting, Fineness::USUAL).and_then(|pour| {
        let inlet = pour.drive.inlets.get(index)?;
        Some(film_mm(inlet.level_mm - high as f64, inlet.resistance, gate.diameter_mm))
    });
    // The walls that it runs down, thinnest first.
    let thinnest = look.facts.walls.as_ref().and_then(|walls| {
        walls.walls.iter().find(|w| (low..=high).contains(&w.position.dot(up))).map(|w| w.thickness_mm as f64)
    });
    if let (Some(film), Some(wall)) = (film, thinnest) {
        message =
            format!("{message}, about {} thick on a wall; the thinnest wall below is {}", length(film), length(wall));
        if 2.0 * film >= wall {
            message = format!("{message} and may be bridged");
            why =
                format!("{why}. Where twice that is more than the gap, it spans the gap and shuts off what lies below");
        }
    }
    Some(Finding {
        severity: Severity::Note,
        code: "gate-falls",
        step: Step::Feed,
        message,
        why,
        remedy: "Move the gate to the lowest thick place and feed it through a runner beside the part, or turn the block so \
                 that the gate is low"
            .to_owned(),
        place: Some(at),
        remedies: Vec::new(),
    })
}
