//! How far the narrow end of a gate goes before it widens to the runner, so that the runner keeps out of the part.
//!
//! On a face that leans to the rod a runner that is much wider than its gate would come down into the part beside the mouth;
//! a longer narrow end lets it begin where the face has gone away from under it.

use crate::plan::usual_land_mm;
use crate::study::job::body::Body;
use crate::study::job::channel_strike::{Strike, strike};
use crate::study::job::channels::{Channel, over_corners};
use glam::Vec3;

/// Narrow ends that are tried, millimetres: the usual one, then longer ones that are still cut off close: set here.
const LANDS_MM: [f64; 5] = [4.0, 5.0, 6.0, 8.0, 10.0];

/// The shortest narrow end from `least_mm` on with which the channel over `corners`, mouth and end among them, meets the part
/// nowhere but at its mouth; none where no such does.
pub fn land_mm(master: &Body, corners: &[Vec3], gate_mm: f64, runner_mm: f64, least_mm: f64) -> Option<f64> {
    let tried = std::iter::once(least_mm).chain(LANDS_MM.into_iter().filter(|mm| *mm > least_mm));
    tried.into_iter().find(|mm| struck(master, corners, gate_mm, runner_mm, *mm).is_none())
}

/// The axis of a channel from `mouth` over `corners`, and where it joins no other straight up until it is surely past the
/// part.
pub fn axis(master: &Body, up: Vec3, mouth: Vec3, corners: &[Vec3], joins: bool) -> Vec<Vec3> {
    let foot = corners.last().copied().unwrap_or(mouth);
    let top = (!joins).then(|| foot + up * (2.0 * master.bounds.diagonal() + 1.0));
    std::iter::once(mouth).chain(corners.iter().copied()).chain(top).collect()
}

/// The same from the usual one on.
pub fn usual_or_longer_mm(master: &Body, corners: &[Vec3], gate_mm: f64, runner_mm: f64) -> Option<f64> {
    land_mm(master, corners, gate_mm, runner_mm, usual_land_mm())
}

fn struck(master: &Body, corners: &[Vec3], gate_mm: f64, runner_mm: f64, land_mm: f64) -> Option<Strike> {
    let rods = over_corners(corners, gate_mm, runner_mm, land_mm);
    strike(master, &Channel { number: 0, rods, joins: None })
}
