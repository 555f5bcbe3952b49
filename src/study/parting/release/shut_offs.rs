//! Shut-offs: where the halves meet in a through-hole, and how they are kept apart or severed there.

use super::patch::{Patch, patch};
use super::range::range;
use crate::plan::{Half, Separation};
use crate::shop::{Blade, Limits};
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::hole::Hole;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::parting::surface::NONE;
use glam::Vec3;

/// Tape lies flat: a loop farther off its plane than this wants another way, millimetres (set here).
const FLAT_MM: f64 = 0.5;
/// Tape laps over the rim of a hole by this, millimetres (set here).
pub const TAPE_LAP_MM: f64 = 5.0;

/// What a person decided about a shut-off, in `work`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// A point near its loop.
    pub near: Vec3,
    /// How the halves are kept apart.
    pub separation: Separation,
}

/// A shut-off.
#[derive(Clone, Debug, PartialEq)]
pub struct ShutOff {
    /// Its place in [`PartingFacts::loops`].
    pub at_loop: usize,
    /// The middle of its loop.
    pub middle: Vec3,
    /// Length of its true line, millimetres.
    pub length_mm: f64,
    /// The surface that spans it.
    pub patch: Patch,
    /// The half whose rubber fills more of the hole.
    pub plug: Half,
    /// How far a blade must reach to it from the parting line of the same body, millimetres; infinite where there is none.
    pub reach_mm: f64,
    /// The hole that it closes and can be moved along; none where the wall beside it is not closed round.
    pub hole: Option<Hole>,
    /// What was decided; none where nothing was.
    pub decided: Option<Separation>,
}

/// Whether a way of keeping the halves apart can be done.
#[derive(Clone, Debug, PartialEq)]
pub enum Fit {
    /// It can; with this blade where one is needed.
    Fits(Option<String>),
    /// It cannot, in words.
    Not(String),
}

impl ShutOff {
    /// How a shut-off is kept apart in the shop: as was decided, else the first that can be done of taped, cut, torn,
    /// filled and drilled.
    pub fn separation(&self, blades: &[Blade], limits: &Limits) -> Separation {
        self.decided.unwrap_or_else(|| {
            [Separation::Taped, Separation::Cut, Separation::Torn]
                .into_iter()
                .find(|&s| matches!(self.fit(s, blades, limits), Fit::Fits(_)))
                .unwrap_or(Separation::FilledAndDrilled)
        })
    }

    /// Whether the halves can be kept apart so.
    pub fn fit(&self, separation: Separation, blades: &[Blade], limits: &Limits) -> Fit {
        let (span, bulge) = (self.patch.span_mm, self.patch.bulge_mm);
        match separation {
            Separation::Taped if bulge > FLAT_MM => {
                Fit::Not(format!("its rim lies {bulge:.1} mm out of one plane; tape lies flat to {FLAT_MM:.1} mm"))
            }
            Separation::Taped | Separation::FilledAndDrilled => Fit::Fits(None),
            Separation::Torn if span > limits.torn_mm => {
                Fit::Not(format!("it is {span:.1} mm across; rubber is torn up to {:.1} mm", limits.torn_mm))
            }
            Separation::Torn => Fit::Fits(None),
            Separation::Cut => {
                if let Some(blade) = blades.iter().find(|b| b.width_mm <= span && b.reach_mm >= self.reach_mm) {
                    return Fit::Fits(Some(blade.name.clone()));
                }
                let narrowest = blades.iter().map(|b| b.width_mm).fold(f64::INFINITY, f64::min);
                let longest = blades.iter().map(|b| b.reach_mm).fold(0.0, f64::max);
                Fit::Not(if blades.is_empty() {
                    "the shop has no blade".to_owned()
                } else if narrowest > span {
                    format!("it is {span:.1} mm across; the narrowest blade is {narrowest:.1} mm wide")
                } else {
                    format!(
                        "it lies {:.0} mm from the parting line; no blade that turns in {span:.1} mm reaches so far, the \
                         longest of all {longest:.0} mm",
                        self.reach_mm
                    )
                })
            }
        }
    }

    /// Sides of the piece of tape that covers it on a master so many times as large as the mesh, millimetres.
    pub fn tape_mm(&self, master_factor: f64) -> [f64; 2] {
        let v = self.patch.normal;
        let (a, b) = crate::mesh::solids::frame_square_to(v);
        [a, b].map(|d| {
            let (low, high) = range(self.patch.mesh.positions.iter().map(|p| p.dot(d)));
            (high - low) as f64 * master_factor + 2.0 * TAPE_LAP_MM
        })
    }
}

/// Every shut-off of a parting, in the order of its loops.
pub fn shut_offs(parting: &PartingFacts, choices: &[Choice]) -> Vec<ShutOff> {
    let shut_offs = parting.loops.iter().enumerate().filter(|(_, l)| l.kind == LoopKind::ShutOff && l.closed);
    shut_offs.map(|(at_loop, _)| shut_off(parting, at_loop, choices)).collect()
}

fn shut_off(parting: &PartingFacts, at_loop: usize, choices: &[Choice]) -> ShutOff {
    let (surface, line, loop_) = (&*parting.surface, &parting.lines[at_loop], &parting.loops[at_loop]);
    let patch = patch(&line.points);
    let middle = line.points.iter().copied().sum::<Vec3>() / line.points.len().max(1) as f32;
    // A wall of the hole faces the middle of the loop; the half that has more of it beside the line fills the hole.
    let mut inward = [0.0f32; 2];
    for &(f, k) in &loop_.edges {
        let [a, b] = surface.ends(f as usize, k as usize);
        let g = surface.across[f as usize][k as usize];
        let in_plane = middle - (a + b) / 2.0;
        let to_middle = (in_plane - patch.normal * in_plane.dot(patch.normal)).normalize_or_zero();
        for (side, t) in [(0, f), (1, g)] {
            if t != NONE {
                inward[side] += surface.normal[t as usize].dot(to_middle) * a.distance(b);
            }
        }
    }
    let parting_lines = parting.lines.iter().filter(|l| l.body == line.body && l.kind == LoopKind::Parting);
    let rim: Vec<Vec3> = parting_lines.flat_map(|l| l.points.iter().copied()).collect();
    let nearest = |p: Vec3| rim.iter().map(|q| q.distance(p)).fold(f32::INFINITY, f32::min);
    // The far side of the hole is cut as well: the blade reaches over its middle.
    let reach_mm = line.points.iter().map(|&p| nearest(p)).fold(0.0, f32::max) as f64;
    let longest = line.points.iter().map(|p| p.distance(middle)).fold(0.0, f32::max);
    let near = choices
        .iter()
        .map(|c| (line.points.iter().map(|p| p.distance(c.near)).fold(f32::INFINITY, f32::min), c.separation))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(away, _)| *away <= longest.max(TAPE_LAP_MM as f32));
    // Of a line between the mouths the half fills more that has the longer way to its own end.
    let hole = parting.holes[at_loop].clone();
    let deeper = hole.as_ref().map(|h| h.from_ends_mm).map(|[one, two]| one >= two);
    ShutOff {
        at_loop,
        middle,
        length_mm: line.length_mm,
        patch,
        plug: if deeper.unwrap_or(inward[0] >= inward[1]) { Half::One } else { Half::Two },
        reach_mm,
        hole,
        decided: near.map(|(_, s)| s),
    }
}
