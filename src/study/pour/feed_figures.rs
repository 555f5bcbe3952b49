//! What each gate of a plan comes to: its wall, scar and head, and whether a blade gets at it to trim the cast.

use crate::plan::Plan;
use crate::study::job::body::Body;
use crate::study::job::channel_scar::scar_mm2;
use crate::study::job::mouth_wall;
use crate::study::job::setting::Setting;
use glam::{Quat, Vec3};
use std::f32::consts::TAU;

/// Directions round a mouth in which a way for the blade is looked for.
const ROUND: usize = 36;
/// A blade laid on the surface is so thick, millimetres: set here.
const BLADE_MM: f32 = 1.0;
/// A blade comes in where so much of the way round a mouth is free side by side, degrees: set here.
pub const BLADE_DEG: f64 = 60.0;

/// Room for a blade round a mouth on the trimmed cast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BladeRoom {
    /// The widest sector from which a blade comes flat along the surface, degrees.
    pub free_deg: f64,
    /// From the rim of the mouth to the nearest wall that stands up beside it, millimetres; none where none does.
    pub wall_mm: Option<f64>,
}

impl BladeRoom {
    /// True where a blade gets at the gate.
    pub fn is_enough(&self) -> bool {
        self.free_deg >= BLADE_DEG
    }
}

/// One gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GateFigures {
    /// The wall on which it stands, millimetres; infinite where there is none.
    pub wall_mm: f64,
    /// True where it stands on a rim.
    pub on_rim: bool,
    /// Share of its mouth that hangs over an edge, 0 to 1.
    pub over_edge: f64,
    /// Area of the part's surface that faces the channel and is cut and sanded, mm².
    pub scar_mm2: f64,
    /// Room for a blade.
    pub blade: BladeRoom,
    /// From the gate up to the lowest open outlet as the block stands for casting, millimetres: resin above that runs out.
    pub head_mm: f64,
    /// Resin in gate and runner, mm³.
    pub channel_mm3: f64,
}

/// Each gate of `plan`.
pub fn of_gates(plan: &Plan, setting: &Setting, body: &Body) -> Vec<GateFigures> {
    let (frames, channels) = (&setting.frames, &setting.channels);
    let up = frames.cast_up().as_dvec3();
    let high = |p: Vec3| p.as_dvec3().dot(up);
    let vents = channels.vents.iter().map(|c| high(c.end())).fold(f64::INFINITY, f64::min);
    let figures = |(i, gate): (usize, &crate::plan::Gate)| {
        let (at, normal) = (frames.spot_in_work(&gate.at), frames.normal_in_work(&gate.at));
        let channel = channels.gates.get(i);
        let wall = mouth_wall::wall(body, at, normal, gate.diameter_mm);
        let cup = channels.at_cup(i).map_or(f64::INFINITY, |c| high(c.end()));
        GateFigures {
            wall_mm: wall.mm,
            on_rim: wall.rim,
            over_edge: mouth_wall::over_edge(body, at, normal, gate.diameter_mm),
            scar_mm2: channel.map_or(0.0, |c| scar_mm2(body, c)),
            blade: blade_room(body, at, normal, gate.diameter_mm, body.bounds.diagonal()),
            head_mm: vents.min(cup) - high(at),
            channel_mm3: channel.map_or(0.0, |c| c.volume_mm3()),
        }
    };
    plan.feed.gates.iter().enumerate().map(figures).collect()
}

/// The room for a blade that lies on the surface at `at` and comes from as far as `reach_mm`.
pub fn blade_room(body: &Body, at: Vec3, normal: Vec3, diameter_mm: f64, reach_mm: f32) -> BladeRoom {
    let (side, radius) = (normal.any_orthonormal_vector(), diameter_mm as f32 / 2.0);
    let over = at + normal * BLADE_MM;
    let to_wall = |k: usize| {
        let out = Quat::from_axis_angle(normal, TAU * k as f32 / ROUND as f32) * side;
        body.tree.first_hit(over, out, reach_mm).map(|hit| hit.t)
    };
    let walls: Vec<Option<f32>> = (0..ROUND).map(to_wall).collect();
    // The longest run of free directions, round the end of the list as well.
    let (mut run, mut longest) = (0, 0);
    for k in 0..2 * ROUND {
        run = if walls[k % ROUND].is_none() { run + 1 } else { 0 };
        longest = longest.max(run.min(ROUND));
    }
    let nearest = walls.iter().flatten().copied().fold(f32::INFINITY, f32::min);
    BladeRoom {
        free_deg: 360.0 * longest as f64 / ROUND as f64,
        wall_mm: nearest.is_finite().then(|| f64::from((nearest - radius).max(0.0))),
    }
}
