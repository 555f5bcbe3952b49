//! A way for a runner from a gate down and out beside the part, to where a rod can stand up to the cup.

use crate::study::bench::Setting;
use crate::study::body::Body;
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Level directions that are tried.
const ROUND: usize = 16;
/// Places along the level run at which a standing rod is tried.
const STEPS: usize = 40;
/// Places along a stretch at which its distance from the part is looked at.
const LOOKS: usize = 32;
/// A millimetre of runner out of the cut costs so many in it, since such a runner has to be cut into the rubber by hand.
const OUT_OF_CUT: f32 = 3.0;

/// Corners of the runner between the gate at `gate` and the foot of the standing rod, in `work`, from the gate outwards.
///
/// Straight up needs no corner and is taken where the gate sees the sky. Else the runner leaves along the surface
/// normal, goes level (preferably in the cut, square to `draw`) and stands up where it is `clear_mm` away from the part.
pub fn route(
    body: &Body,
    setting: &Setting,
    gate: Vec3,
    normal: Vec3,
    draw: Vec3,
    diameter_mm: f64,
    clear_mm: f64,
) -> Option<Vec<Vec3>> {
    let up = setting.frames.rubber_up();
    let (radius, clear) = (diameter_mm as f32 / 2.0, clear_mm as f32);
    let heights = body.mesh.positions.iter().map(|p| p.dot(up));
    let top = heights.fold(f32::NEG_INFINITY, f32::max);
    let apart = radius + clear;
    let free = |from: Vec3, to: Vec3, least: f32| {
        (0..=LOOKS).all(|i| body.tree.nearest_within(from.lerp(to, i as f32 / LOOKS as f32), least).is_none())
    };
    let to_top = |p: Vec3| p + up * (top - p.dot(up) + 1.0).max(0.0);
    if normal.dot(up) > 0.2 {
        let start = gate + up * (apart / normal.dot(up)).min(4.0 * apart);
        if free(start, to_top(start), apart) {
            return Some(Vec::new());
        }
    }
    // Off the surface first, and a little further where the surface leans over the way out.
    let first = gate + normal * (apart + 0.5);
    if !free(gate + normal * (apart * 0.9 + 0.1), first, apart * 0.85) {
        return None;
    }
    let reach = body.bounds.diagonal() + apart;
    let level_draw = (draw - up * draw.dot(up)).normalize_or_zero();
    let in_cut = if level_draw == Vec3::ZERO { up.any_orthonormal_vector() } else { up.cross(level_draw).normalize() };
    let mut best: Option<(f32, Vec3)> = None;
    for i in 0..ROUND {
        let out = Quat::from_axis_angle(up, TAU * i as f32 / ROUND as f32) * in_cut;
        if out.dot(normal) < -0.3 {
            continue;
        }
        let price = 1.0 + (OUT_OF_CUT - 1.0) * (1.0 - out.dot(in_cut).powi(2));
        for step in 0..=STEPS {
            let along = reach * step as f32 / STEPS as f32;
            let foot = first + out * along;
            if best.is_some_and(|b| along * price >= b.0) || !free(first, foot, apart * 0.85) {
                break;
            }
            if free(foot, to_top(foot), apart) {
                best = Some((along * price, foot));
                break;
            }
        }
    }
    let (_, foot) = best?;
    Some(if foot.distance(first) < 0.5 { vec![first] } else { vec![first, foot] })
}
