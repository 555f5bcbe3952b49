//! A mesh cut finer until no edge is longer than wanted.

use super::Mesh;
use super::topology::{Topology, is_collapsed, next, split_fans};
use std::collections::BinaryHeap;

/// A finer copy of a mesh.
#[derive(Clone, Debug, Default)]
pub struct Refined {
    /// The finer mesh: the same surface, conforming (no vertex inside a neighbour's edge). The first vertices are those
    /// of the coarse mesh; where its surface touched itself the fans are split.
    pub mesh: Mesh,
    /// Indexed by fine triangle: the coarse triangle that it is a piece of.
    pub parent: Vec<u32>,
    /// False where the budget ended the work with longer edges left.
    pub reached: bool,
}

/// Edges worked off between two questions whether to stop.
const STEPS: usize = 8192;

/// An edge to be cut: its squared length as ordered bits and one of its sides, `triangle · 3 + edge`.
type Wanted = (u32, u32);

struct Refiner {
    mesh: Mesh,
    neighbours: Vec<[u32; 3]>,
    parent: Vec<u32>,
    wanted: BinaryHeap<Wanted>,
    limit_squared: f32,
}

/// Cuts edges at their middle, longest first, until none is longer than `target_edge_mm` or there are
/// `triangle_budget` triangles.
///
/// This is longest-edge bisection (Rivara, 1984): since the longest edge of the whole mesh is cut each time, it is the
/// longest of both its triangles, so the mesh stays conforming without the search along the propagation path, and no
/// angle falls below half the smallest of the coarse mesh (Rosenberg & Stenger, 1975). Cutting longest first also means that a
/// budget that runs out leaves edges of even length.
pub fn refine(mesh: &Mesh, target_edge_mm: f32, triangle_budget: usize) -> Refined {
    // It is never told to stop.
    refine_unless(mesh, target_edge_mm, triangle_budget, || false).unwrap_or_default()
}

/// [`refine`] that asks `stop` every few thousand cuts; none once it says yes.
pub fn refine_unless(
    mesh: &Mesh,
    target_edge_mm: f32,
    triangle_budget: usize,
    stop: impl Fn() -> bool,
) -> Option<Refined> {
    let topology = Topology::of(mesh);
    let (split, _) = split_fans(mesh, &topology);
    let mut refiner = Refiner {
        parent: (0..mesh.triangles.len() as u32).collect(),
        neighbours: topology.neighbours,
        mesh: split,
        wanted: BinaryHeap::new(),
        limit_squared: target_edge_mm.max(0.0) * target_edge_mm.max(0.0),
    };
    for t in 0..refiner.mesh.triangles.len() {
        if !is_collapsed(refiner.mesh.triangles[t]) {
            for k in 0..3 {
                let other = refiner.neighbours[t][k];
                if other == Topology::NONE || other > t as u32 {
                    refiner.want(t, k);
                }
            }
        }
    }
    let mut reached = true;
    let mut popped = 0usize;
    while let Some((bits, side)) = refiner.wanted.pop() {
        if popped.is_multiple_of(STEPS) && stop() {
            return None;
        }
        popped += 1;
        let (t, k) = (side as usize / 3, side as usize % 3);
        // An entry is stale when the side has been cut since; what is there now has its own entry.
        if refiner.squared_length(t, k).to_bits() != bits {
            continue;
        }
        if refiner.mesh.triangles.len() >= triangle_budget {
            reached = false;
            break;
        }
        refiner.cut(t, k);
    }
    Some(Refined { mesh: refiner.mesh, parent: refiner.parent, reached })
}

impl Refiner {
    fn squared_length(&self, t: usize, k: usize) -> f32 {
        let corners = self.mesh.triangles[t];
        let (a, b) = (corners[k], corners[next(k)]);
        let (a, b) = (self.mesh.positions[a.min(b) as usize], self.mesh.positions[a.max(b) as usize]);
        a.distance_squared(b)
    }

    fn want(&mut self, t: usize, k: usize) {
        let squared = self.squared_length(t, k);
        if squared > self.limit_squared {
            self.wanted.push((squared.to_bits(), (t * 3 + k) as u32));
        }
    }

    /// Cuts edge `k` of triangle `t` and of its neighbour at the middle.
    fn cut(&mut self, t: usize, k: usize) {
        let (a, b) = (self.mesh.triangles[t][k], self.mesh.triangles[t][next(k)]);
        let (pa, pb) = (self.mesh.positions[a as usize], self.mesh.positions[b as usize]);
        let middle_position = (pa + pb) * 0.5;
        if middle_position == pa || middle_position == pb {
            return;
        }
        let middle = self.mesh.positions.len() as u32;
        self.mesh.positions.push(middle_position);
        let other = self.neighbours[t][k];
        let (first, second) = self.halve(t, k, middle);
        let mut touched = vec![(first, 0), (first, 1), (second, 0)];
        if other != Topology::NONE
            && let Some(edge) = Topology::edge_between(self.mesh.triangles[other as usize], a, b)
        {
            let forward = self.mesh.triangles[other as usize][edge] == a;
            let (near, far) = self.halve(other as usize, edge, middle);
            // `first` holds vertex a; the half of the other that holds a is its first only if it runs the same way.
            let (with_a, with_b) = if forward { (near, far) } else { (far, near) };
            self.neighbours[first][0] = with_a as u32;
            self.neighbours[second][0] = with_b as u32;
            self.neighbours[with_a][0] = first as u32;
            self.neighbours[with_b][0] = second as u32;
            touched.push((near, 1));
            touched.extend([(near, 2), (far, 1)]);
        }
        touched.extend([(first, 2), (second, 1)]);
        for (t, k) in touched {
            self.want(t, k);
        }
    }

    /// Halves triangle `t` from the middle of its edge `k` to the corner across. Its first half [a, middle, apex]
    /// takes its place, the second [middle, b, apex] is added; edge 0 of both is a half of the cut edge.
    fn halve(&mut self, t: usize, k: usize, middle: u32) -> (usize, usize) {
        let corners = self.mesh.triangles[t];
        let around = self.neighbours[t];
        let (a, b, apex) = (corners[k], corners[next(k)], corners[next(next(k))]);
        let (across_b, across_a) = (around[next(k)], around[next(next(k))]);
        let added = self.mesh.triangles.len();
        self.mesh.triangles[t] = [a, middle, apex];
        self.neighbours[t] = [Topology::NONE, added as u32, across_a];
        self.mesh.triangles.push([middle, b, apex]);
        self.neighbours.push([Topology::NONE, across_b, t as u32]);
        self.parent.push(self.parent[t]);
        if across_b != Topology::NONE {
            let far = across_b as usize;
            if let Some(edge) = (0..3).find(|&e| {
                let c = self.mesh.triangles[far];
                let (p, q) = (c[e], c[next(e)]);
                self.neighbours[far][e] == t as u32 && ((p == b && q == apex) || (p == apex && q == b))
            }) {
                self.neighbours[far][edge] = added as u32;
            }
        }
        (t, added)
    }
}
