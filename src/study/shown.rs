//! Shown surfaces: what would leave a mark on one.

use super::frames::Frames;
use crate::plan::{Plan, ShownSurface};
use glam::Vec3;

/// The shown surface that an opening of `diameter_mm` at `at`, where the wall faces along `normal`, leaves its mark on.
pub fn marked<'a>(
    plan: &'a Plan,
    frames: &Frames,
    at: Vec3,
    normal: Vec3,
    diameter_mm: f64,
) -> Option<&'a ShownSurface> {
    plan.shown.iter().find(|shown| {
        let reach = (shown.radius_mm + diameter_mm / 2.0) as f32;
        shown
            .stroke
            .iter()
            .any(|s| frames.spot_in_work(s).distance(at) < reach && frames.normal_in_work(s).dot(normal) > 0.0)
    })
}
