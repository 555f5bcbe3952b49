//! What a plan wants of the parting, brought from the parts' frames into `work`.

use super::frames::Frames;
use super::parting::Wish;
use super::parting::hand::{HalfStroke, PinPoint, Stroke};
use crate::plan::{Plan, Spot};
use glam::Vec3;

/// The draw, pins, marks and shown surfaces of `plan`.
///
/// A held loop is a row of pins along it: the line goes through every one of its points.
pub fn wish_of_plan(plan: &Plan, frames: &Frames) -> Wish {
    let pin = |spot: &Spot| PinPoint { at: frames.spot_in_work(spot), normal: frames.normal_in_work(spot) };
    let stroke = |spots: &[Spot], radius_mm: f64| Stroke {
        points: spots.iter().map(|s| frames.spot_in_work(s)).collect(),
        normals: spots.iter().map(|s| frames.normal_in_work(s)).collect(),
        radius_mm: radius_mm as f32,
    };
    let held = plan.parting.held_loops.iter().flat_map(|l| &l.points);
    Wish {
        draw: plan.parting.draw.as_vec3().normalize_or(Vec3::Y),
        pins: plan.parting.pins.iter().map(|p| &p.at).chain(held).map(pin).collect(),
        marks: plan
            .parting
            .marks
            .iter()
            .map(|m| HalfStroke { half: m.half, stroke: stroke(&m.stroke, m.radius_mm) })
            .collect(),
        shown: plan.shown.iter().map(|s| stroke(&s.stroke, s.radius_mm)).collect(),
    }
}
