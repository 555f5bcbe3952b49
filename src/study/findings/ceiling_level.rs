//! Ceilings so nearly level that bubbles stick under them.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::air::ceiling::{Ceiling, Tilt};
use crate::study::job::words::{area, length, upper_first};
use crate::study::ways_up::wedge::Edge;
use glam::DVec3;

/// Most of them that are told.
const MOST: usize = 3;

/// A note for each of the largest near-level ceilings, a warning where one is shown on the finished part.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(ceilings) = &look.facts.standing.ceilings else { return Vec::new() };
    let limits = &look.shop.limits;
    // A bubble that is a fault on a shown surface is smaller, and so is the ceiling that holds one.
    let stricter = (limits.bubble_shown_mm / limits.bubble_mm).powi(2).min(1.0);
    let runs = look.facts.standing.runs_mm.as_deref();
    let mut told: Vec<(bool, &Ceiling, Option<Option<f64>>)> = ceilings
        .patches
        .iter()
        .enumerate()
        .map(|(i, c)| (is_shown(look, c), c, runs.and_then(|r| r.get(i)).copied()))
        .filter(|(shown, c, _)| c.area_mm2 >= limits.ceiling_mm2 * if *shown { stricter } else { 1.0 })
        .collect();
    // The shown ones first, each kind by size.
    told.sort_by_key(|(shown, ..)| !shown);
    told.truncate(MOST);
    told.into_iter().map(|(shown, c, run)| finding(look, shown, c, run)).collect()
}

/// `run` is the longest way under it to a mouth, where that is known already.
fn finding(look: &Look, shown: bool, c: &Ceiling, run: Option<Option<f64>>) -> Finding {
    let near = look.shop.limits.near_level_deg;
    let surface = if shown { "A shown surface" } else { "A ceiling" };
    let run = match run {
        Some(Some(mm)) => format!("; the longest way under it to a vent is {}", length(mm)),
        Some(None) => "; no vent opens on it".to_owned(),
        None => String::new(),
    };
    let tilt = c.tilt.map(|t| format!("{}, or ", tilt_in_words(look, &t))).unwrap_or_default();
    Finding {
        severity: if shown { Severity::Warn } else { Severity::Note },
        code: "ceiling-level",
        step: Step::Hang,
        message: format!("{surface} of {} lies within {near}° of level as resin is poured{run}", area(c.area_mm2)),
        why: "Nothing drives a bubble along under a level ceiling: it stays where it comes up, and is a dimple in the cast"
            .to_owned(),
        remedy: upper_first(&format!("{tilt}brush the first resin onto it, or hang the part another way")),
        place: Some(c.position),
        remedies: Vec::new(),
    }
}

fn is_shown(look: &Look, c: &Ceiling) -> bool {
    let Some(body) = &look.facts.body else { return false };
    let frames = &look.facts.setting.frames;
    look.plan.shown.iter().flat_map(|s| &s.stroke).any(|s| {
        body.tree.nearest(frames.spot_in_work(s)).is_some_and(|n| c.triangles.binary_search(&n.triangle).is_ok())
    })
}

/// A tilt as the side of the block that is raised, as it stands for casting.
fn tilt_in_words(look: &Look, tilt: &Tilt) -> String {
    let frames = &look.facts.setting.frames;
    let cast_from_work = frames.cast_from_box * frames.box_from_work;
    let towards: DVec3 = cast_from_work.transform_vector3(tilt.towards.as_dvec3());
    let edge = match (towards.x.abs() >= towards.y.abs(), towards.x >= 0.0, towards.y >= 0.0) {
        (true, true, _) => Edge::Right,
        (true, false, _) => Edge::Left,
        (false, _, true) => Edge::Back,
        (false, _, false) => Edge::Front,
    };
    format!("tilt the block by {}°, its {} side up", tilt.degrees, edge.name())
}
