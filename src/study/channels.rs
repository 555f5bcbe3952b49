//! The channels of the block: vents, gates, runners and the foot of the cup, as rods in `work`.

use super::frames::Frames;
use crate::mesh::{Mesh, solids};
use crate::plan::{Gate, Plan, Vent};
use glam::{DVec3, Vec3};
use std::f64::consts::PI;

/// Sides of the polygon that stands for a round rod; the mesh is enlarged so that its area is that of the circle.
const SIDES: u32 = 24;
/// How far a rod reaches into the part, so that the two surely meet, as a share of its diameter.
const ROOT_SHARE: f32 = 0.5;

/// A straight piece of a channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// Start, nearer the cavity.
    pub from: Vec3,
    /// End, nearer the open air.
    pub to: Vec3,
    /// Radius, millimetres.
    pub radius_mm: f32,
}

impl Rod {
    /// Length, millimetres.
    pub fn length_mm(&self) -> f64 {
        (self.to - self.from).as_dvec3().length()
    }

    /// Volume, mm³.
    pub fn volume_mm3(&self) -> f64 {
        PI * (self.radius_mm as f64).powi(2) * self.length_mm()
    }
}

/// One channel from the cavity wall to the top of the block.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Number of the vent or gate.
    pub number: u32,
    /// Its pieces, from the cavity outwards.
    pub rods: Vec<Rod>,
}

impl Channel {
    /// Length along the pieces, millimetres.
    pub fn length_mm(&self) -> f64 {
        self.rods.iter().map(Rod::length_mm).fold(0.0, |a, b| a + b)
    }

    /// Volume of the pieces, mm³; what they share at a corner is counted twice.
    pub fn volume_mm3(&self) -> f64 {
        self.rods.iter().map(Rod::volume_mm3).fold(0.0, |a, b| a + b)
    }

    /// Where it meets the cavity.
    pub fn mouth(&self) -> Vec3 {
        self.rods.first().map_or(Vec3::ZERO, |r| r.from)
    }

    /// Closed meshes of the pieces with the area of the true circle, each reaching a little past its start so that
    /// they unite.
    pub fn meshes(&self) -> Vec<Mesh> {
        // An n-gon of circumradius r·k has the circle's area where k² = 2π / (n sin(2π/n)).
        let n = SIDES as f64;
        let k = (2.0 * PI / (n * (2.0 * PI / n).sin())).sqrt() as f32;
        self.rods
            .iter()
            .filter(|r| r.length_mm() > 1e-3)
            .map(|r| {
                let along = (r.to - r.from).normalize_or(Vec3::Z);
                let root = r.from - along * (2.0 * r.radius_mm * ROOT_SHARE);
                solids::cylinder(root, r.to, r.radius_mm * k, SIDES)
            })
            .collect()
    }
}

/// All channels of a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Channels {
    /// Vents in plan order.
    pub vents: Vec<Channel>,
    /// Gates with their runners, in plan order.
    pub gates: Vec<Channel>,
}

impl Channels {
    /// The channels of `plan` in a block whose top is at `top_mm` in the box.
    pub fn of(plan: &Plan, frames: &Frames, top_mm: f64) -> Channels {
        Channels {
            vents: plan.vents.iter().map(|v| vent_channel(v, frames, top_mm)).collect(),
            gates: plan.feed.gates.iter().map(|g| gate_channel(g, frames, top_mm)).collect(),
        }
    }

    /// Resin in the vents up to the top of the block, mm³.
    pub fn vents_mm3(&self) -> f64 {
        self.vents.iter().map(Channel::volume_mm3).fold(0.0, |a, b| a + b)
    }

    /// Resin in gates and runners up to the top of the block, mm³.
    pub fn feed_mm3(&self) -> f64 {
        self.gates.iter().map(Channel::volume_mm3).fold(0.0, |a, b| a + b)
    }
}

/// Straight up from `point` to the top of the block.
fn up_to_top(point: Vec3, frames: &Frames, top_mm: f64) -> Vec3 {
    let in_box = frames.point_in_box(point);
    frames.work_from_box_point(DVec3::new(in_box.x, in_box.y, top_mm.max(in_box.z)))
}

fn vent_channel(vent: &Vent, frames: &Frames, top_mm: f64) -> Channel {
    let mouth = frames.spot_in_work(&vent.at);
    let rod = Rod { from: mouth, to: up_to_top(mouth, frames, top_mm), radius_mm: vent.diameter_mm as f32 / 2.0 };
    Channel { number: vent.number, rods: vec![rod] }
}

fn gate_channel(gate: &Gate, frames: &Frames, top_mm: f64) -> Channel {
    let mouth = frames.spot_in_work(&gate.at);
    let mut corners = vec![mouth];
    corners.extend(gate.runner.iter().map(|c| frames.set_point_in_work(*c)));
    let last = corners[corners.len() - 1];
    corners.push(up_to_top(last, frames, top_mm));
    let rods = corners
        .windows(2)
        .enumerate()
        .map(|(i, ends)| Rod {
            from: ends[0],
            to: ends[1],
            radius_mm: if i == 0 { gate.diameter_mm } else { gate.runner_diameter_mm } as f32 / 2.0,
        })
        .collect();
    Channel { number: gate.number, rods }
}
