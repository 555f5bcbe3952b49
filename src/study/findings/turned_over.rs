//! A block that stands so for casting that its cup and vents do not point upwards.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::frames::Frames;

/// Channels that rise less than this (sine) let resin run out of the cup: set here.
const LEAST_RISE: f32 = 0.5;

/// A Stop where channels hang down or lie while resin is poured.
pub fn check(look: &Look) -> Vec<Finding> {
    let frames: &Frames = &look.facts.setting.frames;
    let rise = frames.rubber_up().dot(frames.cast_up());
    let (gates, vents) = (look.plan.feed.gates.len(), look.plan.vents.len());
    if rise >= LEAST_RISE || gates + vents == 0 {
        return Vec::new();
    }
    let degrees = rise.clamp(-1.0, 1.0).acos().to_degrees();
    let points = if rise < -LEAST_RISE { "downwards" } else { "sideways" };
    let what = match vents {
        0 => "its cup points".to_owned(),
        1 => "its cup and its vent point".to_owned(),
        n => format!("its cup and its {n} vents point"),
    };
    vec![Finding {
        severity: Severity::Stop,
        code: "turned-over",
        step: Step::Hang,
        message: format!("The block stands {degrees:.0}° from the way it was poured while resin is cast: {what} {points}"),
        why: "Feed and vents were pulled up through the top of the rubber. Turned over, resin runs out of them instead of in, \
              and air has no way up"
            .to_owned(),
        remedy: "Cast it the way it was poured, on a wedge at most, or hang the master the other way up before the rubber is \
                 poured"
            .to_owned(),
        place: None,
        remedies: Vec::new(),
    }]
}
