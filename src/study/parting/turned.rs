//! One block, two ways to name its halves. A draw and its opposite mean the same cut with the names exchanged, and must
//! give the same line to the last digit: so of the two only one is ever computed, and the other is told from it.
//!
//! Ties in a minimum cut, in the order of neighbours and in rounding would otherwise fall one way for half 1 and the
//! other way for half 2.

use super::facts::{PartingFacts, Wish};
use super::hand::HalfStroke;
use super::hand_lines::HeldLine;
use super::line::{Split, Stretch, TrueLine};
use super::locked::LockedCore;
use super::loops::Loop;
use super::moved::{Moved, MovedLine};
use super::regions::ShapeFault;
use super::surface::{NONE, Surface};
use super::visibility::Visibility;
use crate::plan::Half;
use glam::Vec3;
use std::sync::Arc;

/// True where the halves of this draw are named the other way than those that are computed: its largest part points
/// down its axis; of equal ones the first counts.
pub fn is_turned(draw: Vec3) -> bool {
    let mut largest = draw.x;
    for part in [draw.y, draw.z] {
        if part.abs() > largest.abs() {
            largest = part;
        }
    }
    largest < 0.0
}

impl Wish {
    /// The same with the names of the halves exchanged.
    pub fn turned(&self) -> Wish {
        let mark = |m: &HalfStroke| HalfStroke { half: m.half.other(), stroke: m.stroke.clone() };
        Wish {
            draw: -self.draw,
            plane_mm: self.plane_mm.map(|height| -height),
            held: self.held.iter().map(HeldLine::turned).collect(),
            moved: self.moved.iter().map(|m| MovedLine { by_mm: -m.by_mm, line: m.line.turned() }).collect(),
            pins: self.pins.clone(),
            marks: self.marks.iter().map(mark).collect(),
            shown: self.shown.clone(),
        }
    }
}

impl HeldLine {
    fn turned(&self) -> HeldLine {
        HeldLine { points: round_from_first(&self.points), normals: round_from_first(&self.normals) }
    }
}

impl PartingFacts {
    /// The same facts with the names of the halves exchanged. They remember what they were told from.
    pub fn turned(self: &Arc<PartingFacts>) -> PartingFacts {
        let surface = &self.surface;
        let other = |halves: &[Half]| halves.iter().map(|h| h.other()).collect::<Vec<Half>>();
        let Visibility { from_one, from_two, from_both, facing } = &self.visibility;
        PartingFacts {
            draw: -self.draw,
            surface: surface.clone(),
            visibility: Visibility {
                from_one: from_two.clone(),
                from_two: from_one.clone(),
                from_both: from_both.clone(),
                facing: facing.iter().map(|f| -f).collect(),
            },
            halves: other(&self.halves),
            loops: self.loops.iter().map(|l| turned_loop(l, surface)).collect(),
            lines: self.lines.iter().map(turned_line).collect(),
            holes: self.holes.iter().map(|h| h.as_ref().map(|h| h.turned())).collect(),
            moved: self.moved.iter().map(|m| Moved { by_mm: -m.by_mm, ..m.clone() }).collect(),
            split: Split {
                mesh: self.split.mesh.clone(),
                parent: self.split.parent.clone(),
                halves: other(&self.split.halves),
            },
            undercut_mm2: self.undercut_mm2,
            half_1_mm2: self.half_2_mm2,
            half_2_mm2: self.half_1_mm2,
            hidden_from_both_mm2: self.hidden_from_both_mm2,
            shape: self.shape.iter().map(turned_fault).collect(),
            locked: self.locked.iter().map(|l| LockedCore { half: l.half.other(), ..l.clone() }).collect(),
            energy_mm: self.energy_mm,
            held_gaps: self.held_gaps.clone(),
            cut_off: self.cut_off.iter().map(|c| super::held::CutOff { half: c.half.other(), ..*c }).collect(),
            told_from: Some(self.clone()),
        }
    }
}

/// A closed list the other way round, from the same first entry.
fn round_from_first<T: Clone>(list: &[T]) -> Vec<T> {
    list.first().into_iter().chain(list.iter().skip(1).rev()).cloned().collect()
}

fn other_way<T: Clone>(list: &[T], closed: bool) -> Vec<T> {
    if closed { round_from_first(list) } else { list.iter().rev().cloned().collect() }
}

fn turned_loop(l: &Loop, surface: &Surface) -> Loop {
    // The edge as the triangle across names it: that one is half 1 now.
    let across = |&(f, k): &(u32, u8)| {
        let g = surface.across[f as usize][k as usize];
        if g == NONE { (f, k) } else { (g, surface.edge_back(f as usize, k as usize, g as usize) as u8) }
    };
    Loop { points: other_way(&l.points, l.closed), edges: l.edges.iter().rev().map(across).collect(), ..l.clone() }
}

fn turned_line(l: &TrueLine) -> TrueLine {
    let n = l.points.len();
    let place = |i: usize| if l.closed { (n - i) % n } else { n - 1 - i };
    let stretch = |s: &Stretch| Stretch { kind: s.kind, from: place(s.to), to: place(s.from) };
    TrueLine {
        points: other_way(&l.points, l.closed),
        normals: other_way(&l.normals, l.closed),
        vertices: other_way(&l.vertices, l.closed),
        stretches: l.stretches.iter().rev().map(stretch).collect(),
        ..l.clone()
    }
}

fn turned_fault(fault: &ShapeFault) -> ShapeFault {
    let mut fault = *fault;
    match &mut fault {
        ShapeFault::NoLine { half, .. } | ShapeFault::Pieces { half, .. } | ShapeFault::LockedCore { half, .. } => {
            *half = half.other();
        }
    }
    fault
}
