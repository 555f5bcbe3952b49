//! Shown surfaces: what would leave a mark on one.

use super::body::Body;
use super::frames::Frames;
use crate::plan::{Plan, ShownSurface};
use glam::Vec3;

/// How much of the shown side a face must look to (cosine) to be part of it.
const SAME_SIDE: f32 = 0.1;
/// How steeply into the part (cosine to its outward normal) the way to a face must lead to go through the wall.
const THROUGH: f32 = 0.7;
/// Least reach round the middle of an opening within which a face counts as cut by it, millimetres.
const LEAST_MM: f32 = 0.05;

/// The shown surface that an opening of `diameter_mm` at `at` leaves its mark on. On an edge its mark lies on every face
/// that it reaches.
pub fn marked<'a>(
    plan: &'a Plan,
    frames: &Frames,
    body: &Body,
    at: Vec3,
    diameter_mm: f64,
) -> Option<&'a ShownSurface> {
    let radius = (diameter_mm / 2.0) as f32;
    // Through the wall lies another side of the part, which the opening does not reach.
    let outward = body.tree.nearest(at).map_or(Vec3::ZERO, |n| body.mesh.unit_normal(n.triangle as usize));
    let through = |q: Vec3| (q - at).dot(outward) < -THROUGH * q.distance(at);
    plan.shown.iter().find(|shown| {
        let reach = shown.radius_mm as f32 + radius;
        shown.stroke.iter().any(|s| {
            let normal = frames.normal_in_work(s);
            let faces = |n: Vec3| n.dot(normal) > SAME_SIDE;
            frames.spot_in_work(s).distance(at) < reach
                && body
                    .tree
                    .nearest_where(at, radius.max(LEAST_MM), faces)
                    .is_some_and(|n| n.distance < LEAST_MM || !through(n.point))
        })
    })
}
