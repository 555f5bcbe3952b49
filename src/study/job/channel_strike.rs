//! Where a channel meets the part anywhere but at its mouth.
//!
//! Straight lines along each of its rods, spread evenly over the rod's section (Vogel 1979), are followed through the
//! surface. Where any of them lies inside the part, lines on rings of equal area measure the volume that both would take; half
//! a step between rings keeps that within 1 % of a wall's. Only
//! the narrow end of a channel belongs to its mouth, and only as far as the face that it leaves goes up under its rim,
//! r/tan α, with half a radius for a face that is not flat. What lies further on, and all that a wider runner or another
//! leg cuts out of the part, is no mouth.

use super::body::Body;
use super::channels::{Channel, Channels, Rod};
use super::rod_clearance::{LEAST_RISE, leaves};
use crate::mesh::solids::frame_square_to;
use crate::mesh::tree::Hit;
use glam::{Vec2, Vec3};
use std::f32::consts::{PI, TAU};

/// Lines over the section of a thin rod and of a thick one, and from which radius a rod is thick, millimetres; and with how
/// many rings, and lines on each, a volume is measured once there is one.
const LINES: (usize, usize) = (32, 256);
const THICK_MM: f32 = 1.0;
const MEASURED: (usize, usize) = (32, 64);
/// How far a face that is not flat may go up under the rim beyond a flat one, in radii: set here.
const UNEVEN: f32 = 0.5;
/// What is cut out of the part by less is what facets and rounding make, mm³ and millimetres along a line: set here.
const LEAST_MM3: f64 = 0.05;
const LEAST_MM: f32 = 0.02;
/// Hits so near to each other are those of one edge, millimetres.
const ONE_HIT_MM: f32 = 1e-4;

/// What a channel and the part have in common beyond its mouth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strike {
    /// Volume of it, mm³.
    pub volume_mm3: f64,
    /// The middle of its longest line, inside both.
    pub at: Vec3,
    /// The rod, from the mouth on, that meets most of it.
    pub leg: usize,
    /// Diameter of that rod, millimetres.
    pub diameter_mm: f64,
}

/// The strikes of all channels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strikes {
    /// Of the vents, in plan order.
    pub vents: Vec<Option<Strike>>,
    /// Of the gates, in plan order.
    pub gates: Vec<Option<Strike>>,
}

impl Strikes {
    /// Of `channels` against the part, what the block is poured round.
    pub fn of(master: &Body, channels: &Channels) -> Strikes {
        let each = |list: &[Channel]| list.iter().map(|c| strike(master, c)).collect();
        Strikes { vents: each(&channels.vents), gates: each(&channels.gates) }
    }
}

/// What `channel` has in common with the part beyond its mouth; none where that is nothing.
pub fn strike(master: &Body, channel: &Channel) -> Option<Strike> {
    let mouth = channel.mouth();
    let first = (channel.rods.first()?.to - mouth).normalize_or_zero();
    let normal = leaves(master, mouth, first).unwrap_or(first);
    let rise = normal.dot(first);
    let sunk = if master.is_inside(mouth) { master.tree.nearest(mouth).map_or(0.0, |n| n.distance) } else { 0.0 };
    let sunk = sunk / rise.max(LEAST_RISE);
    let mut volume_mm3 = 0.0;
    let mut worst: Option<(f64, usize)> = None;
    let mut longest = (0.0f32, Vec3::ZERO);
    let mut hits = Vec::new();
    let mut begin = 0.0f32;
    for (leg, rod) in channel.rods.iter().enumerate() {
        let length = rod.length_mm() as f32;
        let along = (rod.to - rod.from).normalize_or_zero();
        if along == Vec3::ZERO || !may_meet(master, rod) {
            begin += length;
            continue;
        }
        let lines = if rod.radius_mm < THICK_MM { LINES.0 } else { LINES.1 };
        let (u, v) = frame_square_to(along);
        let mut along_lines = |places: Vec<Vec2>| {
            let area = f64::from(PI * rod.radius_mm * rod.radius_mm) / places.len() as f64;
            let mut of_leg = 0.0;
            for place in places {
                let off = place * rod.radius_mm;
                let off = u * off.x + v * off.y;
                let own = match leg {
                    0 if rise >= LEAST_RISE => (-off.dot(normal) / rise).max(0.0) + UNEVEN * rod.radius_mm + sunk,
                    0 => UNEVEN * rod.radius_mm + sunk,
                    _ => sunk - begin,
                };
                let origin = rod.from + off;
                master.tree.all_hits(origin, along, f32::INFINITY, &mut hits);
                for (from, to) in inside(&hits, own.max(0.0), length) {
                    of_leg += f64::from(to - from) * area;
                    if to - from > longest.0 {
                        longest = (to - from, origin + along * (0.5 * (from + to)));
                    }
                }
            }
            of_leg
        };
        let mut of_leg = along_lines(spread(lines));
        if of_leg > 0.0 {
            of_leg = along_lines(rings(MEASURED.0, MEASURED.1));
        }
        volume_mm3 += of_leg;
        if worst.is_none_or(|w| of_leg > w.0) {
            worst = Some((of_leg, leg));
        }
        begin += length;
    }
    let leg = worst?.1;
    (volume_mm3 > LEAST_MM3).then(|| Strike {
        volume_mm3,
        at: longest.1,
        leg,
        diameter_mm: 2.0 * f64::from(channel.rods[leg].radius_mm),
    })
}

/// True where the part comes into a rod: its surface within the radius, or all of the rod inside.
fn may_meet(master: &Body, rod: &Rod) -> bool {
    let (length, radius) = (rod.length_mm() as f32, rod.radius_mm);
    let pieces = (length / (2.0 * radius).max(1.0)).ceil().max(1.0);
    let round = ((0.5 * length / pieces).powi(2) + radius * radius).sqrt() * 1.001;
    let at = |k: f32| rod.from.lerp(rod.to, (k + 0.5) / pieces);
    (0..pieces as usize).any(|k| master.tree.is_within(at(k as f32), round)) || master.is_inside(at(0.0))
}

/// Places spread evenly over a circle of radius one, the outermost just inside it.
fn spread(all: usize) -> Vec<Vec2> {
    let golden = PI * (3.0 - 5f32.sqrt());
    (0..all).map(|k| Vec2::from_angle(golden * k as f32) * ((k as f32 + 0.5) / all as f32).sqrt()).collect()
}

/// Places on rings in the middle of equal areas of a circle of radius one, every other ring half a step on.
fn rings(count: usize, on_each: usize) -> Vec<Vec2> {
    let on_ring = |j: usize| {
        let radius = ((j as f32 + 0.5) / count as f32).sqrt();
        let turn = move |i: usize| TAU * (i as f32 + 0.5 * (j % 2) as f32) / on_each as f32;
        (0..on_each).map(move |i| Vec2::from_angle(turn(i)) * radius)
    };
    (0..count).flat_map(on_ring).collect()
}

/// The stretches of a line inside the part between `low` and `high`, from its hits up to where it is surely outside.
fn inside(hits: &[Hit], low: f32, high: f32) -> Vec<(f32, f32)> {
    let mut crossings: Vec<(f32, bool)> = Vec::with_capacity(hits.len());
    for hit in hits {
        let again = crossings.iter().any(|c| c.1 == hit.entering && (c.0 - hit.t).abs() < ONE_HIT_MM);
        if !again {
            crossings.push((hit.t, hit.entering));
        }
    }
    // Outside in the end: how deep it starts follows from what is left on the way.
    let mut depth: i32 = crossings.iter().map(|c| if c.1 { -1 } else { 1 }).sum();
    let mut stretches = Vec::new();
    let mut from = 0.0;
    for (t, entering) in crossings.into_iter().chain([(f32::INFINITY, true)]) {
        if depth > 0 {
            let (a, b) = (f32::max(from, low), f32::min(t, high));
            if b - a > LEAST_MM {
                stretches.push((a, b));
            }
        }
        depth += if entering { 1 } else { -1 };
        from = t;
    }
    stretches
}
