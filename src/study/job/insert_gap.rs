//! The gap that resin must run through to get past an insert: between its skin and the part's wall, beside it and beyond its
//! inner end.
//!
//! Rays go out from the insert's axis: where one enters the resin the skin is, where it leaves it the wall. The gap counts as
//! narrow as far as it is no wider than half as much again as its least; resin comes into the narrow stretch from wherever it
//! opens.

use super::body::Body;
use super::insert_shapes::InsertShape;
use crate::mesh::solids::frame_square_to;
use crate::plan::{Insert, InsertKind};
use glam::Vec3;
use std::f32::consts::TAU;

/// Directions round the axis.
const ROUND: usize = 24;
/// Depths along the embedded length.
const DEPTHS: usize = 24;
/// A gap up to so many times the least belongs to the narrow stretch: set here. What lets a slot through goes by the cube
/// of its width, so one a half wider lets more than three times as much through.
const NARROW: f32 = 1.5;

/// The narrowest way past an insert.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Its width, millimetres.
    pub gap_mm: f64,
    /// How far resin runs in it until it comes to its end or meets resin from the other side, millimetres.
    pub length_mm: f64,
    /// True where it lies beyond the inner end of the insert.
    pub at_end: bool,
    /// The narrowest place, in `work`.
    pub place: Vec3,
}

/// The passages past `inserts`, each the one that is longest for its width; none where an insert has no resin round it, and
/// for all where the body is not one closed mesh.
pub fn passages(body: &Body, inserts: &[Insert], shapes: &[InsertShape]) -> Vec<Option<Passage>> {
    if body.trouble.is_some() {
        return vec![None; inserts.len()];
    }
    inserts
        .iter()
        .zip(shapes)
        .map(|(insert, shape)| {
            let embedded = (shape.length_mm - insert.in_pocket_mm) as f32;
            if embedded <= 0.0 || shape.solid.triangles.is_empty() {
                return None;
            }
            let both = [beside(body, shape, embedded), beyond(body, insert, shape, embedded)];
            let tight = |p: &Passage| p.length_mm / p.gap_mm.max(1e-6);
            both.into_iter().flatten().max_by(|a, b| tight(a).total_cmp(&tight(b)))
        })
        .collect()
}

/// Rounding of a skin's place, millimetres.
const HAIR_MM: f32 = 0.05;

/// The resin on a ray from inside an insert: from its skin to the wall, and where the skin is.
///
/// What is met further off than the skin can be (`within`) is another wall, or another part of the set.
fn resin_on(body: &Body, from: Vec3, along: Vec3, within: f32) -> Option<(f32, Vec3)> {
    let skin = body.tree.first_hit(from, along, within).filter(|hit| hit.entering)?;
    let at = from + along * skin.t;
    let wall = body.tree.first_hit_where(from, along, f32::INFINITY, |hit| hit.t > skin.t && !hit.entering)?;
    Some((wall.t - skin.t, at))
}

/// One step of a walk over the narrow stretch.
#[derive(Clone, Copy, PartialEq)]
enum Beside {
    Narrow,
    Wide,
    Nothing,
}

fn beside(body: &Body, shape: &InsertShape, embedded: f32) -> Option<Passage> {
    let (u, v) = frame_square_to(shape.axis);
    let at = |d: usize, r: usize| {
        let from = shape.foot - shape.axis * embedded * (d as f32 + 0.5) / DEPTHS as f32;
        let (s, c) = (TAU * r as f32 / ROUND as f32).sin_cos();
        resin_on(body, from, u * c + v * s, shape.radius_mm as f32 + HAIR_MM)
    };
    let grid: Vec<Option<(f32, Vec3)>> = (0..DEPTHS * ROUND).map(|i| at(i / ROUND, i % ROUND)).collect();
    let least = (0..grid.len()).filter(|i| grid[*i].is_some()).min_by(|a, b| {
        let gap = |i: &usize| grid[*i].map_or(f32::INFINITY, |g| g.0);
        gap(a).total_cmp(&gap(b))
    })?;
    let (gap, skin) = grid[least]?;
    let (depth, round) = (least / ROUND, least % ROUND);
    let side = |d: usize, r: usize| match grid[d * ROUND + r % ROUND] {
        Some((g, _)) if g <= NARROW * gap => Beside::Narrow,
        Some(_) => Beside::Wide,
        None => Beside::Nothing,
    };
    // Along the axis: towards the mouth of the pocket there is no way in, beyond the inner end there is where resin stands.
    let step = embedded / DEPTHS as f32;
    let up = (0..depth).rev().take_while(|d| side(*d, round) == Beside::Narrow).count();
    let down = (depth + 1..DEPTHS).take_while(|d| side(*d, round) == Beside::Narrow).count();
    let open_up = depth.checked_sub(up + 1).is_some_and(|d| side(d, round) == Beside::Wide);
    let end = depth + down + 1;
    let inner = shape.foot - shape.axis * (embedded + 0.05);
    let open_down = if end < DEPTHS { side(end, round) == Beside::Wide } else { body.is_inside(inner) };
    let along = run(step * (up + down + 1) as f32, [open_up, open_down]);
    // Round the axis, at the depth of the least.
    let right = (1..ROUND).take_while(|k| side(depth, round + k) == Beside::Narrow).count();
    let left = (1..ROUND).take_while(|k| side(depth, round + ROUND - k) == Beside::Narrow).count();
    let across = if right + 1 >= ROUND {
        f32::INFINITY
    } else {
        let radius = skin.distance(shape.foot - shape.axis * (shape.foot - skin).dot(shape.axis)) + gap / 2.0;
        let open = [side(depth, round + right + 1), side(depth, round + ROUND - left - 1)].map(|s| s == Beside::Wide);
        run(TAU * radius * (left + right + 1) as f32 / ROUND as f32, open)
    };
    let shortest = along.min(across);
    let length = if shortest.is_finite() { shortest } else { embedded };
    Some(Passage { gap_mm: gap.into(), length_mm: length.into(), at_end: false, place: skin })
}

/// How far resin runs in a stretch that opens at these ends.
fn run(length: f32, open: [bool; 2]) -> f32 {
    match open {
        [true, true] => length / 2.0,
        [false, false] => f32::INFINITY,
        _ => length,
    }
}

/// The film between the inner end and the wall that it looks at; resin comes into it from all round.
fn beyond(body: &Body, insert: &Insert, shape: &InsertShape, embedded: f32) -> Option<Passage> {
    let from = shape.foot - shape.axis * (embedded * 0.5);
    let (gap, skin) = resin_on(body, from, -shape.axis, embedded * 0.5 + HAIR_MM)?;
    let half_mm = match &insert.kind {
        InsertKind::Plate { length_mm, width_mm, .. } => 0.5 * length_mm.min(*width_mm),
        _ => shape.radius_mm,
    };
    Some(Passage { gap_mm: gap.into(), length_mm: half_mm, at_end: true, place: skin })
}
