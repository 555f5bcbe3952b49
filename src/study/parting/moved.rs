//! Shut-offs that a person moved along their holes.
//!
//! The surface between the loop that was proposed and the one that is wanted changes its half: then the line runs along the
//! wanted loop exactly, whatever it costs. Which surface that is follows from the two loops alone: walking over the surface, a
//! step over either of them changes the side. Where the sides come out two ways the loops do not go round the same hole.

use super::hand_lines::{HandLines, HeldLine};
use super::line::TrueLine;
use super::loops::loops;
use super::regions::Regions;
use super::surface::{NONE, Surface};
use crate::plan::Half;
use crate::study::parting::loop_kind::LoopKind;
use glam::Vec3;
use std::collections::HashMap;

/// A shut-off as a person moved it, in `work`.
#[derive(Clone, Debug, PartialEq)]
pub struct MovedLine {
    /// How far along its hole, millimetres towards half 1.
    pub by_mm: f32,
    /// The loop that it was moved to.
    pub line: HeldLine,
}

/// Why a shut-off does not lie where it was moved to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotMoved {
    /// The loop is not on the part, or is not closed there.
    OffPart,
    /// The loop goes round no hole that a shut-off closes.
    NoHole,
}

/// What became of a shut-off that was moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// How far it was moved, millimetres towards half 1.
    pub by_mm: f32,
    /// A point of the loop that it was moved to, as it was wished.
    pub at: Vec3,
    /// A point of the loop that was proposed, with the outward normal there; or why the line still lies there.
    pub from: Result<(Vec3, Vec3), NotMoved>,
}

impl Moved {
    /// True where a line is the one that was moved.
    pub fn is_on(&self, line: &TrueLine, surface: &Surface) -> bool {
        self.from.is_ok() && line.points.iter().any(|p| p.distance(self.at) <= 8.0 * surface.hair_mm)
    }
}

/// Leads shut-offs to the loops that they were moved to. `drawn` holds these loops as edges of the surface, by their place
/// in `wanted`. Both sides of a moved loop are fixed.
pub fn lead(
    surface: &Surface,
    halves: &mut [Half],
    fixed: &mut [bool],
    drawn: &HandLines,
    wanted: &[MovedLine],
    draw: Vec3,
) -> Vec<Moved> {
    let one = |(i, wish): (usize, &MovedLine)| {
        let at = wish.line.points.first().copied().unwrap_or_default();
        let edges = drawn.edges.iter().zip(&drawn.held_of).filter(|(_, held)| **held == i).map(|(e, _)| *e);
        let edges: Vec<(u32, u32)> = edges.collect();
        let open = edges.len() < 3 || drawn.gaps.iter().any(|g| g.held == i);
        let from = if open { Err(NotMoved::OffPart) } else { lead_one(surface, halves, fixed, &edges, draw) };
        Moved { by_mm: wish.by_mm, at, from }
    };
    wanted.iter().enumerate().map(one).collect()
}

fn lead_one(
    surface: &Surface,
    halves: &mut [Half],
    fixed: &mut [bool],
    wanted: &[(u32, u32)],
    draw: Vec3,
) -> Result<(Vec3, Vec3), NotMoved> {
    let all = loops(surface, halves, &Regions::of(surface, halves), draw);
    let beside = beside(surface, wanted);
    let &[first, _] = beside.first().ok_or(NotMoved::OffPart)?;
    let body = surface.body[first as usize];
    let parting = all.iter().find(|l| l.body == body && l.kind == LoopKind::Parting).ok_or(NotMoved::NoHole)?;
    let outside = parting.edges[0].0;
    for from in all.iter().filter(|l| l.body == body && l.kind == LoopKind::ShutOff && l.closed) {
        let ends = from.edges.iter().map(|&(f, k)| {
            let t = surface.mesh.triangles[f as usize];
            (t[k as usize], t[(k as usize + 1) % 3])
        });
        let turns = Turns::over(surface, ends.chain(wanted.iter().copied()));
        let Some(between) = turns.sides(surface, outside) else { continue };
        give(surface, halves, &turns, &between);
        beside.iter().flatten().for_each(|&f| fixed[f as usize] = true);
        let (f, _) = from.edges[0];
        return Ok((from.points[0], surface.normal[f as usize]));
    }
    Err(NotMoved::NoHole)
}

/// The two triangles at each of some edges.
fn beside(surface: &Surface, edges: &[(u32, u32)]) -> Vec<[u32; 2]> {
    let turns = Turns::over(surface, edges.iter().copied());
    let mut found = Vec::new();
    for f in 0..surface.len() {
        for k in 0..3 {
            let g = surface.across[f][k];
            if g != NONE && (f as u32) < g && turns.at(surface, f, k) {
                found.push([f as u32, g]);
            }
        }
    }
    found
}

/// Edges over which the side changes.
struct Turns {
    odd: HashMap<(u32, u32), bool>,
    /// Vertices that have such an edge.
    ends: Vec<bool>,
}

impl Turns {
    fn over(surface: &Surface, edges: impl Iterator<Item = (u32, u32)>) -> Turns {
        let mut turns = Turns { odd: HashMap::new(), ends: vec![false; surface.mesh.positions.len()] };
        for (a, b) in edges {
            // An edge of both loops changes the side twice.
            let odd = turns.odd.entry((a.min(b), a.max(b))).or_default();
            *odd = !*odd;
            [a, b].iter().for_each(|&v| turns.ends[v as usize] = true);
        }
        turns
    }

    /// Whether the side changes over edge `k` of triangle `f`.
    fn at(&self, surface: &Surface, f: usize, k: usize) -> bool {
        let t = surface.mesh.triangles[f];
        let (a, b) = (t[k], t[(k + 1) % 3]);
        self.ends[a as usize] && self.ends[b as usize] && self.odd.get(&(a.min(b), a.max(b))).is_some_and(|odd| *odd)
    }

    /// The triangles that lie on the other side than `outside`; none where there are no two sides.
    fn sides(&self, surface: &Surface, outside: u32) -> Option<Vec<u32>> {
        let mut side: Vec<Option<bool>> = vec![None; surface.len()];
        side[outside as usize] = Some(false);
        let mut stack = vec![outside];
        let mut other = Vec::new();
        while let Some(f) = stack.pop() {
            let f = f as usize;
            let own = side[f]?;
            if own {
                other.push(f as u32);
            }
            for (k, &g) in surface.across[f].iter().enumerate().filter(|(_, g)| **g != NONE) {
                let theirs = own != self.at(surface, f, k);
                match side[g as usize] {
                    None => {
                        side[g as usize] = Some(theirs);
                        stack.push(g);
                    }
                    Some(found) if found != theirs => return None,
                    Some(_) => {}
                }
            }
        }
        other.sort_unstable();
        Some(other)
    }
}

/// Gives every piece of the surface between two loops to the half that has less of it; where the loops cross there are
/// several pieces.
fn give(surface: &Surface, halves: &mut [Half], turns: &Turns, between: &[u32]) {
    let mut left = vec![false; surface.len()];
    between.iter().for_each(|&f| left[f as usize] = true);
    for &start in between {
        if !std::mem::take(&mut left[start as usize]) {
            continue;
        }
        let mut piece = vec![start];
        let mut ones = 0.0;
        let mut at = 0;
        while at < piece.len() {
            let f = piece[at] as usize;
            at += 1;
            ones += f64::from(surface.area_mm2[f]) * if halves[f] == Half::One { 1.0 } else { -1.0 };
            for (k, &g) in surface.across[f].iter().enumerate() {
                if g != NONE && left[g as usize] && !turns.at(surface, f, k) {
                    left[g as usize] = false;
                    piece.push(g);
                }
            }
        }
        let to = if ones > 0.0 { Half::Two } else { Half::One };
        piece.iter().for_each(|&f| halves[f as usize] = to);
    }
}
