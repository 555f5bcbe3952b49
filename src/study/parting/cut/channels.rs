//! Channels against the cut: which of them must lie in it, and whether they do.

use super::knife::Knife;
use crate::mesh::tree::Tree;
use crate::plan::{Made, Plan};
use crate::study::job::channels::{Channel, Channels, Rod};
use glam::Vec3;

/// How far the axis of a channel that lies in the cut may be from it, millimetres.
pub const IN_CUT_MM: f64 = 0.5;
/// A rod leans at most this far from up and is still pulled, radians.
const UPRIGHT_RAD: f32 = 0.06;
/// Distance between the places along a rod that are looked at, millimetres.
const STEP_MM: f32 = 0.7;

/// Which channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The gate with this number, and its runner.
    Gate(u32),
    /// The vent with this number.
    Vent(u32),
}

/// A channel that must lie in the cut and does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffCut {
    /// Which.
    pub which: Which,
    /// How far its axis is from the cut, millimetres.
    pub off_mm: f64,
    /// Where that is.
    pub place: Vec3,
}

/// Every channel with how it is made.
fn all<'a>(plan: &'a Plan, channels: &'a Channels) -> impl Iterator<Item = (Which, &'a Channel, Made)> {
    let gates = plan.feed.gates.iter().zip(&channels.gates).map(|(g, c)| (Which::Gate(g.number), c, g.made));
    let vents = plan.vents.iter().zip(&channels.vents).map(|(v, c)| (Which::Vent(v.number), c, v.made));
    gates.chain(vents)
}

/// The rods of a channel that must lie in the cut: all but the last straight stretch where that one stands up and is pulled
/// or punched; a lone straight one is free whatever its lean, since it is pulled or punched along itself. What ends in another
/// runner comes out of the opened block only.
fn bound(channel: &Channel, made: Made, up: Vec3) -> &[Rod] {
    let rods = &channel.rods[..];
    let last = channel.last_stretch();
    let others = &rods[..rods.len() - last.len()];
    // Pulled upwards, a stretch may only widen.
    let widens = last.windows(2).all(|r| r[1].radius_mm >= r[0].radius_mm);
    let stands = |r: &Rod| (r.to - r.from).angle_between(up) <= UPRIGHT_RAD;
    match made {
        Made::GrooveInParting => rods,
        _ if channel.joins.is_some() => rods,
        _ if !widens => rods,
        _ if others.is_empty() => &[],
        _ if last.last().is_some_and(stands) => others,
        _ => rods,
    }
}

/// True where the rod that makes a channel is one straight piece that comes out along itself: no bend, no narrower end further
/// up, and no other runner that it ends in.
pub fn is_pulled(channel: &Channel) -> bool {
    let rods = &channel.rods[..];
    channel.joins.is_none()
        && channel.last_stretch().len() == rods.len()
        && rods.windows(2).all(|r| r[1].radius_mm >= r[0].radius_mm)
}

/// Points along a rod.
fn places(rod: &Rod) -> impl Iterator<Item = Vec3> + '_ {
    let n = ((rod.to - rod.from).length() / STEP_MM).ceil().max(1.0) as usize;
    (0..=n).map(move |i| rod.from.lerp(rod.to, i as f32 / n as f32))
}

/// Points that the cut should pass through so that every channel that must lie in it does.
pub fn through(plan: &Plan, channels: &Channels, up: Vec3) -> Vec<Vec3> {
    all(plan, channels).flat_map(|(_, c, made)| bound(c, made, up).iter().flat_map(places)).collect()
}

/// Channels that must lie in the cut and do not, each at its worst place. Where a channel is still within its own radius
/// of the part it is not looked at.
pub fn off_cut(plan: &Plan, channels: &Channels, up: Vec3, knife: &Knife, body_tree: &Tree) -> Vec<OffCut> {
    let sheet = knife.sheet().1;
    all(plan, channels)
        .filter_map(|(which, channel, made)| {
            let mut worst: Option<OffCut> = None;
            for rod in bound(channel, made, up) {
                for place in places(rod) {
                    if body_tree.nearest_within(place, rod.radius_mm).is_some() {
                        continue;
                    }
                    let off_mm = sheet.nearest(place).map_or(f64::INFINITY, |n| f64::from(n.distance));
                    if worst.is_none_or(|w| off_mm > w.off_mm) {
                        worst = Some(OffCut { which, off_mm, place });
                    }
                }
            }
            worst.filter(|w| w.off_mm > IN_CUT_MM)
        })
        .collect()
}
