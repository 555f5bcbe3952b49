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
    /// Number of the gate whose runner it ends in; none where it ends at the top of the block.
    pub joins: Option<u32>,
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

    /// Where it ends: at the top of the block, or in another's runner.
    pub fn end(&self) -> Vec3 {
        self.rods.last().map_or(Vec3::ZERO, |r| r.to)
    }

    /// The point of its axis nearest to `point`.
    fn nearest_to(&self, point: Vec3) -> Vec3 {
        let on = |r: &Rod| {
            let along = r.to - r.from;
            r.from + along * ((point - r.from).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0)
        };
        let nearest = self.rods.iter().map(on).min_by(|a, b| a.distance(point).total_cmp(&b.distance(point)));
        nearest.unwrap_or(point)
    }

    /// How far along its axis the point nearest to `point` lies, from its mouth, millimetres.
    fn along_mm(&self, point: Vec3) -> f64 {
        let at = self.nearest_to(point);
        let mut begin = 0.0;
        let mut best = (f32::INFINITY, 0.0);
        for rod in &self.rods {
            let along = rod.to - rod.from;
            let share = ((at - rod.from).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
            let away = at.distance(rod.from + along * share);
            if away < best.0 {
                best = (away, begin + share as f64 * rod.length_mm());
            }
            begin += rod.length_mm();
        }
        best.1
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

/// A stretch of the way from the cup to a gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Length, millimetres.
    pub length_mm: f64,
    /// Radius, millimetres.
    pub radius_mm: f64,
    /// Gates that are fed through it.
    pub gates: usize,
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
        let gates = &plan.feed.gates;
        let mut made: Vec<Option<Channel>> = vec![None; gates.len()];
        // A runner that ends in another's is laid once that one is; what waits for nobody goes up to the top.
        for _ in 0..=gates.len() {
            for (i, gate) in gates.iter().enumerate().filter(|(i, _)| made[*i].is_none()).collect::<Vec<_>>() {
                let other = gate.joins.and_then(|n| gates.iter().position(|g| g.number == n));
                made[i] = match other {
                    Some(other) => {
                        made[other].as_ref().map(|into| gate_channel(gate, frames, &|last| into.nearest_to(last)))
                    }
                    None => Some(gate_channel(&Gate { joins: None, ..gate.clone() }, frames, &|last| {
                        up_to_top(last, frames, top_mm)
                    })),
                };
            }
        }
        let gates = gates.iter().zip(made);
        Channels {
            vents: plan.vents.iter().map(|v| vent_channel(v, frames, top_mm)).collect(),
            gates: gates
                .map(|(g, made)| {
                    made.unwrap_or_else(|| gate_channel(g, frames, &|last| up_to_top(last, frames, top_mm)))
                })
                .collect(),
        }
    }

    /// The pieces that resin passes from the cup to gate `i`, from the gate on: length, radius, and how many gates it
    /// is on its way to there.
    pub fn way_from_cup(&self, i: usize) -> Vec<Stretch> {
        let mut way = Vec::new();
        let (mut at, mut from_mm) = (i, 0.0);
        for _ in 0..=self.gates.len() {
            let Some(channel) = self.gates.get(at) else { break };
            let entries: Vec<(f64, usize)> = self
                .gates
                .iter()
                .enumerate()
                .filter(|(_, g)| g.joins == Some(channel.number) && g.number != channel.number)
                .map(|(k, g)| (channel.along_mm(g.end()), self.gates_through(k)))
                .collect();
            let mut begin = 0.0;
            for rod in channel.rods.iter().filter(|r| r.radius_mm > 0.0) {
                let end = begin + rod.length_mm();
                let mut cuts: Vec<f64> =
                    entries.iter().map(|e| e.0).filter(|c| *c > begin.max(from_mm) && *c < end).collect();
                cuts.sort_by(f64::total_cmp);
                let mut low = begin.max(from_mm);
                for high in cuts.into_iter().chain([end]) {
                    if high <= low {
                        continue;
                    }
                    let middle = 0.5 * (low + high);
                    let through = entries.iter().filter(|e| e.0 <= middle).map(|e| e.1).sum::<usize>() + 1;
                    way.push(Stretch { length_mm: high - low, radius_mm: rod.radius_mm as f64, gates: through });
                    low = high;
                }
                begin = end;
            }
            let Some(next) = channel.joins.and_then(|n| self.gates.iter().position(|g| g.number == n)) else { break };
            from_mm = self.gates[next].along_mm(channel.end());
            at = next;
        }
        way
    }

    /// The last channel on the way of gate `i`: the one that stands up to the cup.
    pub fn at_cup(&self, i: usize) -> Option<&Channel> {
        let mut at = self.gates.get(i)?;
        for _ in 0..=self.gates.len() {
            let Some(next) = at.joins.and_then(|n| self.gates.iter().find(|g| g.number == n)) else { break };
            at = next;
        }
        Some(at)
    }

    /// Gates that are fed through the mouth end of channel `i`: its own and all that run into it.
    fn gates_through(&self, i: usize) -> usize {
        let leads_here = |k: usize| {
            let mut at = k;
            (0..=self.gates.len()).any(|_| {
                let here = at == i;
                at = self.gates[at].joins.and_then(|n| self.gates.iter().position(|g| g.number == n)).unwrap_or(at);
                here
            })
        };
        (0..self.gates.len()).filter(|k| leads_here(*k)).count()
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
    Channel { number: vent.number, rods: vec![rod], joins: None }
}

/// The channel of a gate alone, over `corners` in `work` from its mouth on, the last of them its end. `wide` and `narrow` are
/// diameters, `land_mm` is how far the narrow end goes.
pub fn over_corners(corners: &[Vec3], narrow_mm: f64, wide_mm: f64, land_mm: f64) -> Vec<Rod> {
    let (narrow, wide) = (narrow_mm as f32 / 2.0, wide_mm as f32 / 2.0);
    let mut rods: Vec<Rod> =
        corners.windows(2).map(|ends| Rod { from: ends[0], to: ends[1], radius_mm: wide }).collect();
    let Some(first) = rods.first().copied() else { return rods };
    // The narrow end belongs to the first stretch alone; where that is no longer, all of it is narrow.
    rods[0].radius_mm = narrow;
    if wide > narrow && first.length_mm() > land_mm + LEAST_STEP_MM {
        let step = first.from + (first.to - first.from).normalize_or(Vec3::Z) * land_mm as f32;
        rods[0].to = step;
        rods.insert(1, Rod { from: step, ..first });
    }
    rods
}

/// The channel of a gate; `end_of` says where it ends that comes from its last corner.
fn gate_channel(gate: &Gate, frames: &Frames, end_of: &dyn Fn(Vec3) -> Vec3) -> Channel {
    let mouth = frames.spot_in_work(&gate.at);
    let mut corners = vec![mouth];
    corners.extend(gate.runner.iter().map(|c| frames.set_point_in_work(*c)));
    let last = corners[corners.len() - 1];
    let end = end_of(last);
    // A runner may already end on the one that it joins.
    if gate.joins.is_none() || corners.len() < 2 || end.distance(last) as f64 > LEAST_STEP_MM {
        corners.push(end);
    }
    let rods = over_corners(&corners, gate.diameter_mm, gate.runner_diameter_mm, gate.land_mm);
    Channel { number: gate.number, rods, joins: gate.joins }
}
