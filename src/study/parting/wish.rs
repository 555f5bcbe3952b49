//! What a plan wants of the parting, brought from the parts' frames into `work`.

use super::facts::Wish;
use super::hand::{HalfStroke, PinPoint, Stroke};
use super::hand_lines::HeldLine;
use super::moved::MovedLine;
use crate::plan::{Plan, Spot};
use crate::study::job::frames::Frames;
use glam::{DVec3, Vec3};

/// The draw, plane, held loops, moved shut-offs, pins, marks and shown surfaces of `plan`.
pub fn wish_of_plan(plan: &Plan, frames: &Frames) -> Wish {
    let pin = |spot: &Spot| PinPoint { at: frames.spot_in_work(spot), normal: frames.normal_in_work(spot) };
    let places = |spots: &[Spot]| -> Vec<Vec3> { spots.iter().map(|s| frames.spot_in_work(s)).collect() };
    let normals = |spots: &[Spot]| -> Vec<Vec3> { spots.iter().map(|s| frames.normal_in_work(s)).collect() };
    let stroke = |spots: &[Spot], radius_mm: f64| Stroke {
        points: places(spots),
        normals: normals(spots),
        radius_mm: radius_mm as f32,
    };
    let draw = plan.parting.draw.normalize_or(DVec3::Y);
    let line = |spots: &[Spot]| HeldLine { points: places(spots), normals: normals(spots) };
    let moved = plan.parting.shut_offs.iter().filter(|s| !s.held.is_empty());
    Wish {
        draw: draw.as_vec3(),
        plane_mm: plan.parting.plane_mm.map(|height| height - frames.origin_in_set.dot(draw)),
        held: plan.parting.held_loops.iter().map(|l| line(&l.points)).collect(),
        moved: moved.map(|s| MovedLine { by_mm: s.moved_mm as f32, line: line(&s.held) }).collect(),
        pins: plan.parting.pins.iter().map(|p| pin(&p.at)).collect(),
        marks: plan
            .parting
            .marks
            .iter()
            .map(|m| HalfStroke { half: m.half, stroke: stroke(&m.stroke, m.radius_mm) })
            .collect(),
        shown: plan.shown.iter().map(|s| stroke(&s.stroke, s.radius_mm)).collect(),
    }
}
