//! The channels of the block: vents, gates, runners and the foot of the cup, as rods in `work`.

use super::frames::Frames;
use crate::mesh::{Mesh, solids};
use crate::plan::{Gate, Plan, Vent};
use glam::{DVec3, Vec3};
use std::f64::consts::PI;

/// Sides of the polygon that stands for a round rod; the mesh is enlarged so that its area is that of the circle.
const SIDES: u32 = 24;
/// How far a rod reaches back, into the part or past a corner, so that the two surely meet, as a share of its diameter.
const ROOT_SHARE: f32 = 0.5;

/// How far a rod reaches back into the one that it goes straight on from, and least length of one, millimetres.
const LEAST_STEP_MM: f64 = 0.2;
/// A rod goes straight on from the one before within this, radians.
const STRAIGHT_RAD: f32 = 1e-3;

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

    /// The rods of its last straight stretch: one rod, or one that steps from one diameter to another.
    pub fn last_stretch(&self) -> &[Rod] {
        let bends = |ends: &[Rod]| !goes_straight_on(&ends[0], &ends[1]);
        let from = self.rods.windows(2).rposition(bends).map_or(0, |i| i + 1);
        &self.rods[from..]
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
            .enumerate()
            .filter(|(_, r)| r.length_mm() > 1e-3)
            .map(|(i, r)| {
                let along = (r.to - r.from).normalize_or(Vec3::Z);
                // A step goes no further back than it must, or it would reach the part.
                let steps = i > 0 && goes_straight_on(&self.rods[i - 1], r);
                let back = if steps { LEAST_STEP_MM as f32 } else { 2.0 * r.radius_mm * ROOT_SHARE };
                solids::cylinder(r.from - along * back, r.to, r.radius_mm * k, SIDES)
            })
            .collect()
    }
}

fn goes_straight_on(one: &Rod, next: &Rod) -> bool {
    let [a, b] = [one, next].map(|r| r.to - r.from);
    a.length() > 0.0 && b.length() > 0.0 && a.angle_between(b) < STRAIGHT_RAD
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
    let (narrow, wide) = (gate.diameter_mm as f32 / 2.0, gate.runner_diameter_mm as f32 / 2.0);
    let mut rods: Vec<Rod> =
        corners.windows(2).map(|ends| Rod { from: ends[0], to: ends[1], radius_mm: wide }).collect();
    // The narrow end belongs to the first stretch alone; where that is no longer, all of it is narrow.
    let first = rods[0];
    let land = gate.land_mm as f32;
    rods[0].radius_mm = narrow;
    if wide > narrow && first.length_mm() > land as f64 + LEAST_STEP_MM {
        let step = first.from + (first.to - first.from).normalize_or(Vec3::Z) * land;
        rods[0].to = step;
        rods.insert(1, Rod { from: step, ..first });
    }
    Channel { number: gate.number, rods }
}
