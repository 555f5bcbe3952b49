//! Rubber between one channel and the next, and between a channel and the outside of the block.

use super::cut::channels::Which;
use crate::study::job::channels::{Channel, Channels, Rod};
use crate::study::job::rod_clearance::BESIDE_ROD_MM;
use crate::study::job::setting::Setting;
use glam::{DVec3, Vec3};

/// Distance between the places along a channel that are looked at, millimetres.
const STEP_MM: f64 = 0.5;

/// Two channels with less than [`BESIDE_ROD_MM`] of rubber between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Which.
    pub one: Which,
    /// And which.
    pub other: Which,
    /// The least rubber between them, millimetres; negative where they run into each other.
    pub rubber_mm: f64,
    /// Where, on the axis of the first.
    pub at: Vec3,
    /// Length of the first that is so near, millimetres.
    pub length_mm: f64,
}

/// Every pair of channels that comes too near. Runners of one rod hold the same resin, and lie in one cut: they may meet.
pub fn between_channels(channels: &Channels) -> Vec<Gap> {
    let gates = channels.gates.iter().map(|c| (Which::Gate(c.number), c));
    let vents = channels.vents.iter().map(|c| (Which::Vent(c.number), c));
    let all: Vec<(Which, &Channel)> = gates.chain(vents).collect();
    let boxes: Vec<(Vec3, Vec3)> = all.iter().map(|(_, c)| bounds(c)).collect();
    let mut gaps = Vec::new();
    for i in 0..all.len() {
        for k in i + 1..all.len() {
            let apart = (boxes[i].0.cmpgt(boxes[k].1) | boxes[k].0.cmpgt(boxes[i].1)).any();
            if !apart {
                gaps.extend(gap(channels, all[i], all[k]));
            }
        }
    }
    gaps
}

/// The box round a channel, wider by half the least rubber.
fn bounds(channel: &Channel) -> (Vec3, Vec3) {
    let ends = |r: &Rod| {
        let round = Vec3::splat(r.radius_mm + 0.5 * BESIDE_ROD_MM as f32);
        (r.from.min(r.to) - round, r.from.max(r.to) + round)
    };
    let none = (Vec3::splat(f32::INFINITY), Vec3::splat(f32::NEG_INFINITY));
    channel.rods.iter().map(ends).fold(none, |a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// The least rubber between a channel and others, where that is less than [`BESIDE_ROD_MM`], millimetres.
pub fn closest_mm(channel: &Channel, others: &[Channel]) -> Option<f64> {
    let none = Channels::default();
    let own = (Which::Vent(channel.number), channel);
    let gaps = others.iter().filter_map(|other| gap(&none, own, (Which::Gate(other.number), other)));
    gaps.map(|g| g.rubber_mm).min_by(f64::total_cmp)
}

fn gap(channels: &Channels, one: (Which, &Channel), other: (Which, &Channel)) -> Option<Gap> {
    if is_fed_with(channels, one.1, other.1) {
        return None;
    }
    let mut found: Option<Gap> = None;
    for rod in &one.1.rods {
        let steps = (rod.length_mm() / STEP_MM).ceil().max(1.0) as usize;
        for i in 0..=steps {
            let at = rod.from.lerp(rod.to, i as f32 / steps as f32);
            let near = other.1.rods.iter().map(|r| distance(at, r) - rod.radius_mm - r.radius_mm);
            let rubber_mm = f64::from(near.fold(f32::INFINITY, f32::min));
            if rubber_mm < BESIDE_ROD_MM {
                let gap = found.get_or_insert(Gap { one: one.0, other: other.0, rubber_mm, at, length_mm: 0.0 });
                if rubber_mm < gap.rubber_mm {
                    (gap.rubber_mm, gap.at) = (rubber_mm, at);
                }
                gap.length_mm += rod.length_mm() / steps as f64;
            }
        }
    }
    found
}

/// True where both are fed through one and the same rod.
fn is_fed_with(channels: &Channels, one: &Channel, other: &Channel) -> bool {
    let root = |channel: &Channel| {
        let i = channels.gates.iter().position(|g| std::ptr::eq(g, channel))?;
        channels.at_cup(i).map(|c| c.number)
    };
    root(one).is_some() && root(one) == root(other)
}

/// Distance of a place from the axis of a rod, millimetres.
pub fn distance(p: Vec3, rod: &Rod) -> f32 {
    let along = rod.to - rod.from;
    let share = ((p - rod.from).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
    p.distance(rod.from + along * share)
}

/// A channel with less than [`BESIDE_ROD_MM`] of rubber to a side or the floor of the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToOutside {
    /// Which.
    pub which: Which,
    /// The rubber, millimetres; negative where the channel comes out of the block.
    pub rubber_mm: f64,
    /// Where.
    pub at: Vec3,
    /// True where it is the floor.
    pub floor: bool,
}

/// Every channel that comes too near to a side or the floor of the block.
pub fn to_outside(setting: &Setting) -> Vec<ToOutside> {
    let half = 0.5 * setting.block.size_mm;
    let channels = &setting.channels;
    let gates = channels.gates.iter().map(|c| (Which::Gate(c.number), c));
    let vents = channels.vents.iter().map(|c| (Which::Vent(c.number), c));
    let nearest = |(which, channel): (Which, &Channel)| {
        // A block is convex, so an end of each rod is nearest.
        let ends = channel.rods.iter().flat_map(|r| [(r.from, r.radius_mm), (r.to, r.radius_mm)]);
        let rubber = |(at, radius): (Vec3, f32)| {
            let p: DVec3 = setting.frames.point_in_box(at);
            let side = (half.x - p.x.abs()).min(half.y - p.y.abs()) - f64::from(radius);
            // An upright rod is open at its foot only where it stands on the part.
            let floor = p.z - f64::from(radius);
            ToOutside { which, rubber_mm: side.min(floor), at, floor: floor < side }
        };
        ends.map(rubber).min_by(|a, b| a.rubber_mm.total_cmp(&b.rubber_mm)).filter(|o| o.rubber_mm < BESIDE_ROD_MM)
    };
    gates.chain(vents).filter_map(nearest).collect()
}
