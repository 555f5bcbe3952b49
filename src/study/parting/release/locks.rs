//! What sets a locked core free: a core or loose piece that fills its hole, or a relief cut all round inside it.

use super::cuts::ReliefCut;
use super::pieces::Piece;
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::locked::{LockedCore, Tunnel};
use crate::study::parting::surface::{NONE, Surface};
use glam::Vec3;
use std::collections::HashSet;

/// A cut severs the triangles that it comes this near to, in edges of the parted surface.
const NEAR_EDGES: f32 = 1.2;
/// Share of the way to the axis of the hole that a cut must go for the rubber to part there.
const THROUGH: f64 = 0.95;

/// What serves one hole of a locked core.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Opened {
    /// Relief cuts that sever the rubber in it, by their place in the plan.
    pub cuts: Vec<usize>,
    /// Relief cuts that go all round but not through: place in the plan, and the depth that is wanted, millimetres.
    pub shallow: Vec<(usize, f64)>,
    /// Loose pieces that fill it, by their place in the plan.
    pub pieces: Vec<usize>,
}

impl Opened {
    /// True where no rubber goes through in one piece.
    pub fn is_open(&self) -> bool {
        !self.cuts.is_empty() || !self.pieces.is_empty()
    }
}

/// A locked core with what was done about it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lock {
    /// What serves each of its holes.
    pub opened: Vec<Opened>,
    /// Handles through which it is still locked.
    pub left: u32,
}

/// What serves each locked core of `parting`, in their order.
pub fn locks(parting: &PartingFacts, cuts: &[ReliefCut], pieces: &[Piece]) -> Vec<Lock> {
    parting.locked.iter().map(|core| lock(&parting.surface, core, cuts, pieces)).collect()
}

fn lock(surface: &Surface, core: &LockedCore, cuts: &[ReliefCut], pieces: &[Piece]) -> Lock {
    let opened: Vec<Opened> = core.tunnels.iter().map(|t| opened(surface, t, cuts, pieces)).collect();
    let served = opened.iter().filter(|o| o.is_open()).count() as u32;
    Lock { opened, left: core.handles.saturating_sub(served) }
}

fn opened(surface: &Surface, tunnel: &Tunnel, cuts: &[ReliefCut], pieces: &[Piece]) -> Opened {
    let mut opened = Opened::default();
    let near = NEAR_EDGES * surface.edge_mm;
    for (i, cut) in cuts.iter().enumerate() {
        let along = cut.along();
        let beside = |p: Vec3| along.iter().any(|q| q.distance(p) <= near);
        if !severs(surface, tunnel, |f| beside(surface.centroid[f as usize])) {
            continue;
        }
        // The blade goes in from all sides and meets in the middle.
        let wanted = along.iter().map(|&p| off_axis(tunnel, p)).fold(0.0, f32::max) as f64;
        if cut.depth_mm >= THROUGH * wanted {
            opened.cuts.push(i);
        } else {
            opened.shallow.push((i, wanted));
        }
    }
    for (i, piece) in pieces.iter().enumerate() {
        if piece.solid.is_ok() && severs(surface, tunnel, |f| piece.fills(surface.centroid[f as usize])) {
            opened.pieces.push(i);
        }
    }
    opened
}

fn off_axis(tunnel: &Tunnel, p: Vec3) -> f32 {
    let from = p - tunnel.middle;
    (from - tunnel.axis * from.dot(tunnel.axis)).length()
}

/// True where no way leads over the wall from one mouth of the hole to the other but over triangles that are `taken`.
fn severs(surface: &Surface, tunnel: &Tunnel, taken: impl Fn(u32) -> bool) -> bool {
    let wall: HashSet<u32> = tunnel.wall.iter().copied().collect();
    let left: HashSet<u32> = tunnel.wall.iter().copied().filter(|&f| !taken(f)).collect();
    if left.len() == wall.len() {
        return false;
    }
    let place = |f: u32| (surface.centroid[f as usize] - tunnel.middle).dot(tunnel.axis);
    let at_rim = |f: u32| surface.across[f as usize].iter().any(|g| *g == NONE || !wall.contains(g));
    let upper = |f: u32| at_rim(f) && place(f) > 0.0;
    let mut stack: Vec<u32> = left.iter().copied().filter(|&f| upper(f)).collect();
    let mut seen: HashSet<u32> = stack.iter().copied().collect();
    while let Some(f) = stack.pop() {
        if at_rim(f) && place(f) < 0.0 {
            return false;
        }
        for &g in &surface.across[f as usize] {
            if g != NONE && left.contains(&g) && seen.insert(g) {
                stack.push(g);
            }
        }
    }
    true
}
