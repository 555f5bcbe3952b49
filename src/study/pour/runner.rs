//! A way for a runner from a gate down and out beside the part, to where a rod can stand up to the cup.

use super::beside_lines::BesideLines;
use crate::study::job::body::Body;
use crate::study::job::rod_clearance::LEAST_RISE;
use crate::study::job::setting::Setting;
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Level directions that are tried.
const ROUND: usize = 16;
/// Places along the level run at which a standing rod is tried.
const STEPS: usize = 40;
/// Places along a stretch at which its distance from the part is looked at.
const LOOKS: usize = 32;
/// A runner in the cut climbs or falls at most so much along its way (the sine of its angle).
const STEEPEST: f32 = 0.3;
/// A millimetre of runner out of the cut costs so many in it, since such a runner has to be cut into the rubber by hand.
const OUT_OF_CUT: f32 = 3.0;

/// Corners of the runner between the gate at `gate` and the foot of the standing rod, in `work`, from the gate outwards.
///
/// Straight up needs no corner and is taken where the gate sees the sky. Else the runner goes [`round`].
pub fn route(
    body: &Body,
    setting: &Setting,
    gate: Vec3,
    normal: Vec3,
    draw: Vec3,
    diameter_mm: f64,
    clear_mm: f64,
) -> Option<Vec<Vec3>> {
    let room = Room::of(body, setting, diameter_mm, clear_mm);
    let rise = normal.dot(room.up);
    if rise > LEAST_RISE {
        // A hair further, so that the surface right under the gate never counts as too near.
        let start = gate + room.up * ((room.apart + 0.01) / rise).min(4.0 * room.apart);
        if room.is_free(start, room.to_top(start), room.apart) {
            return Some(Vec::new());
        }
    }
    round(body, setting, gate, normal, draw, diameter_mm, clear_mm)
}

/// Corners of a runner beside the part: it leaves along the surface normal, goes level (preferably in the cut, square to
/// `draw`) and stands up where it is `clear_mm` away from the part.
pub fn round(
    body: &Body,
    setting: &Setting,
    gate: Vec3,
    normal: Vec3,
    draw: Vec3,
    diameter_mm: f64,
    clear_mm: f64,
) -> Option<Vec<Vec3>> {
    let room = Room::of(body, setting, diameter_mm, clear_mm);
    let (up, apart) = (room.up, room.apart);
    // Off the surface first, and a little further where the surface leans over the way out.
    let first = gate + normal * (apart + 0.5);
    if !room.is_free(gate + normal * (apart * 0.9 + 0.1), first, apart * 0.85) {
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
            if best.is_some_and(|b| along * price >= b.0) || !room.is_free(first, foot, apart * 0.85) {
                break;
            }
            if room.is_free(foot, room.to_top(foot), apart) {
                best = Some((along * price, foot));
                break;
            }
        }
    }
    let (_, foot) = best?;
    Some(if foot.distance(first) < 0.5 { vec![first] } else { vec![first, foot] })
}

/// Corners of a runner that lies in the cut: it leaves the line square to the draw along `out`, goes on square to the draw
/// and nearly level where `lines` let it, and stands up where it is `clear_mm` away from the part.
#[allow(clippy::too_many_arguments)]
pub fn in_cut(
    body: &Body,
    setting: &Setting,
    gate: Vec3,
    out: Vec3,
    lines: &BesideLines,
    draw: Vec3,
    diameter_mm: f64,
    clear_mm: f64,
) -> Option<Vec<Vec3>> {
    let room = Room::of(body, setting, diameter_mm, clear_mm);
    let (up, apart) = (room.up, room.apart);
    let square = |d: Vec3| (d - draw * d.dot(draw)).normalize_or_zero();
    let out = square(out);
    let first = gate + out * (apart + 0.5);
    let leaves = || room.is_free(gate + out * (apart * 0.9 + 0.1), first, apart * 0.85);
    if out == Vec3::ZERO || !leaves() || !lines.let_leave(gate, out, first) {
        return None;
    }
    let reach = body.bounds.diagonal() + apart;
    let start = up.any_orthonormal_vector();
    let level_draw = (draw - up * draw.dot(up)).normalize_or_zero();
    let along_cut = if level_draw == Vec3::ZERO { start } else { up.cross(level_draw).normalize() };
    let mut best: Option<(f32, Vec3)> = None;
    for i in 0..ROUND {
        let way = square(Quat::from_axis_angle(up, TAU * i as f32 / ROUND as f32) * along_cut);
        if way == Vec3::ZERO || way.dot(up).abs() > STEEPEST || way.dot(out) < -0.3 {
            continue;
        }
        for step in 0..=STEPS {
            let along = reach * step as f32 / STEPS as f32;
            let foot = first + way * along;
            if best.is_some_and(|b| along >= b.0) || !room.is_free(first, foot, apart * 0.85) || !lines.lets(foot) {
                break;
            }
            if room.is_free(foot, room.to_top(foot), apart) {
                best = Some((along, foot));
                break;
            }
        }
    }
    let (_, foot) = best?;
    Some(if foot.distance(first) < 0.5 { vec![first] } else { vec![first, foot] })
}

/// What a runner must keep clear of.
struct Room<'a> {
    body: &'a Body,
    up: Vec3,
    /// Height of the part's top along `up`.
    top: f32,
    /// Distance from the runner's axis to the part, millimetres.
    apart: f32,
}

impl<'a> Room<'a> {
    fn of(body: &'a Body, setting: &Setting, diameter_mm: f64, clear_mm: f64) -> Room<'a> {
        let up = setting.frames.rubber_up();
        let top = body.mesh.positions.iter().map(|p| p.dot(up)).fold(f32::NEG_INFINITY, f32::max);
        Room { body, up, top, apart: diameter_mm as f32 / 2.0 + clear_mm as f32 }
    }

    /// True where the part stays further than `least` from the stretch.
    fn is_free(&self, from: Vec3, to: Vec3, least: f32) -> bool {
        let at = |i: usize| from.lerp(to, i as f32 / LOOKS as f32);
        (0..=LOOKS).all(|i| !self.body.tree.is_within(at(i), least))
    }

    /// Straight up to just above the part.
    fn to_top(&self, p: Vec3) -> Vec3 {
        p + self.up * (self.top - p.dot(self.up) + 1.0).max(0.0)
    }
}
