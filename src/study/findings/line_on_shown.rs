//! Stretches of the line that could not keep off a shown surface, or that a person laid across it.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::Parting;
use crate::study::job::words::length;
use crate::study::parting::release::crossings::Crossing;

/// A length of line under which nothing is told of it, millimetres.
const TOLD_MM: f64 = 0.05;

/// One finding for each shown surface that a line crosses.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(release) = &look.facts.release else { return Vec::new() };
    let named = |i: usize| look.plan.shown.get(i).map_or("", |s| s.name.as_str());
    release
        .crossings
        .iter()
        .map(|c| {
            let (because, remedy) = cause(c, &look.plan.parting);
            Finding {
                severity: Severity::Warn,
                code: "line-on-shown",
                step: Step::Parting,
                message: format!(
                    "About {} of the line cross the shown surface {}: {because}",
                    length(c.length_mm),
                    named(c.shown)
                ),
                why: "Flash along the line is trimmed and sanded off every cast; on a shown surface the seam is seen"
                    .to_owned(),
                remedy: remedy.to_owned(),
                place: Some(c.place),
                remedies: Vec::new(),
            }
        })
        .collect()
}

/// Why the line lies there, and what to do.
fn cause(crossing: &Crossing, parting: &Parting) -> (String, &'static str) {
    if parting.plane_mm.is_some() {
        return (
            "the plane that parts it lies there".into(),
            "Put the plane at another height, or have the line sought",
        );
    }
    let [held, moved] = [crossing.held_mm, crossing.moved_mm].map(|mm| mm > TOLD_MM);
    // Some of it may be no one's choice.
    let all = crossing.length_mm - crossing.held_mm - crossing.moved_mm <= TOLD_MM;
    let much = |mm: f64| if all && held != moved { "it".to_owned() } else { format!("{} of that", length(mm)) };
    let rest = if all { "" } else { ", and for the rest there is no cheaper way" };
    let again = "Let go of it, or lay it elsewhere";
    match (held, moved) {
        (true, true) => (
            format!(
                "{} is held there by hand, {} is a shut-off that was moved there{rest}",
                much(crossing.held_mm),
                much(crossing.moved_mm)
            ),
            again,
        ),
        (true, false) => (format!("{} is held there by hand{rest}", much(crossing.held_mm)), again),
        (false, true) => (
            format!("{} is a shut-off that was moved there by hand{rest}", much(crossing.moved_mm)),
            "Move the shut-off back along its hole",
        ),
        (false, false) if !parting.pins.is_empty() || !parting.marks.is_empty() => (
            "with the pins and marks as they are there is no cheaper way for it".into(),
            "Take a pin or a mark out, choose another draw, or give the surface to one half and pay with an undercut",
        ),
        (false, false) => (
            "there is no cheaper way for it".into(),
            "Choose another draw, or give the surface to one half and pay with an undercut",
        ),
    }
}
