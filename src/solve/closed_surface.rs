//! A closed surface made ready for sweeps: which triangle lies across each edge, and vertices taken apart where the
//! surface only touches itself.
//!
//! Where two sheets share a vertex or an edge without the solid being connected through it, the vertex is split, one
//! copy for each fan of triangles. At an edge with more than two triangles those that bound the same wedge of solid
//! belong together. The split is made once and serves every direction.

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::solve::run::{Cancelled, Run};
use glam::{DVec3, Vec3};
use std::sync::Arc;

/// Why a mesh does not bound a solid.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NotClosed {
    /// The mesh has no triangle.
    #[error("the mesh has no triangles")]
    Empty,
    /// An edge does not have equally many triangles running it in both directions.
    #[error("the mesh is open or inconsistently wound at {at}")]
    Edge {
        /// The middle of that edge.
        at: Vec3,
    },
    /// Solid was found over this point, but no surface above it: the mesh is inside out.
    #[error("no surface lies above {at}: the mesh is inside out or not closed")]
    NothingAbove {
        /// That point.
        at: Vec3,
    },
    /// Bodies of the mesh overlap and could not be united.
    #[error("bodies of the mesh overlap and could not be united")]
    NotUnited,
    /// The run was stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// A closed, consistently wound mesh with its tree for rays, ready for sweeps in any direction.
#[derive(Clone, Debug)]
pub struct ClosedSurface {
    /// The mesh as given.
    pub mesh: Arc<Mesh>,
    /// Its tree for rays and nearest points.
    pub tree: Arc<Tree>,
    /// Triangles with split vertices, where any was split.
    split: Option<Vec<[u32; 3]>>,
    /// Vertex of `mesh` for each split copy; copy `i` has number `mesh.positions.len() + i`.
    copies: Vec<u32>,
    /// For each triangle, the half-edge (3·triangle + corner) across its edges corner → next corner.
    across: Vec<[u32; 3]>,
}

impl ClosedSurface {
    /// Pairs the edges of `mesh` and takes touching fans apart. `tree` must be the tree of `mesh`.
    pub fn new(mesh: Arc<Mesh>, tree: Arc<Tree>, run: &Run) -> Result<ClosedSurface, NotClosed> {
        if mesh.triangles.is_empty() {
            return Err(NotClosed::Empty);
        }
        let across = pair_edges(&mesh)?;
        run.check()?;
        let mut surface = ClosedSurface { mesh, tree, split: None, copies: Vec::new(), across };
        surface.split_fans();
        Ok(surface)
    }

    /// Vertices after splitting.
    pub fn vertices(&self) -> usize {
        self.mesh.positions.len() + self.copies.len()
    }

    /// Triangles after splitting: same order, same places.
    pub fn triangles(&self) -> &[[u32; 3]] {
        self.split.as_deref().unwrap_or(&self.mesh.triangles)
    }

    /// Position of a vertex after splitting.
    #[inline]
    pub fn position(&self, vertex: u32) -> Vec3 {
        let n = self.mesh.positions.len();
        let v = vertex as usize;
        if v < n { self.mesh.positions[v] } else { self.mesh.positions[self.copies[v - n] as usize] }
    }

    /// The triangles across the three edges of `triangle`, edge k running from corner k to the next.
    #[inline]
    pub fn neighbours(&self, triangle: u32) -> [u32; 3] {
        self.across[triangle as usize].map(|half| half / 3)
    }

    /// Every vertex that belongs to more than one fan gets a copy for each fan but the first.
    fn split_fans(&mut self) {
        let n = self.mesh.positions.len();
        let mut corners = vec![0u32; n];
        for t in &self.mesh.triangles {
            for &v in t {
                corners[v as usize] += 1;
            }
        }
        let mut walked = vec![false; n];
        let mut pinched = vec![false; n];
        let mut any = false;
        for t in 0..self.mesh.triangles.len() as u32 {
            for k in 0..3 {
                let v = self.mesh.triangles[t as usize][k as usize] as usize;
                if !walked[v] {
                    walked[v] = true;
                    let mut count = 0;
                    self.walk_fan(3 * t + k, |_| count += 1);
                    if count != corners[v] {
                        pinched[v] = true;
                        any = true;
                    }
                }
            }
        }
        if !any {
            return;
        }
        let mut split = self.mesh.triangles.clone();
        let mut done = vec![false; 3 * split.len()];
        let mut first = vec![true; n];
        for half in 0..3 * split.len() as u32 {
            let v = self.mesh.triangles[half as usize / 3][half as usize % 3];
            if !pinched[v as usize] || done[half as usize] {
                continue;
            }
            let name = if first[v as usize] {
                first[v as usize] = false;
                v
            } else {
                self.copies.push(v);
                (n + self.copies.len() - 1) as u32
            };
            self.walk_fan(half, |h| {
                done[h as usize] = true;
                split[h as usize / 3][h as usize % 3] = name;
            });
        }
        self.split = Some(split);
    }

    /// Calls `visit` with every half-edge that leaves the vertex `half` leaves and lies in the same fan.
    fn walk_fan(&self, half: u32, mut visit: impl FnMut(u32)) {
        let mut h = half;
        loop {
            visit(h);
            // The half-edge into the vertex in this triangle, then its partner, which leaves the vertex again.
            let (t, k) = (h / 3, h % 3);
            h = self.across[t as usize][(k as usize + 2) % 3];
            if h == half {
                return;
            }
        }
    }
}

/// For every half-edge its partner in the triangle across, by buckets on the lower vertex of each edge.
fn pair_edges(mesh: &Mesh) -> Result<Vec<[u32; 3]>, NotClosed> {
    let n = mesh.positions.len();
    let mut start = vec![0u32; n + 1];
    let ends = |t: usize, k: usize| (mesh.triangles[t][k], mesh.triangles[t][(k + 1) % 3]);
    for t in 0..mesh.triangles.len() {
        for k in 0..3 {
            let (a, b) = ends(t, k);
            start[a.min(b) as usize + 1] += 1;
        }
    }
    for v in 0..n {
        start[v + 1] += start[v];
    }
    // (other end, half-edge · 2 + backwards)
    let mut bucket = vec![(0u32, 0u32); 3 * mesh.triangles.len()];
    let mut fill = start.clone();
    for t in 0..mesh.triangles.len() {
        for k in 0..3 {
            let (a, b) = ends(t, k);
            let at = &mut fill[a.min(b) as usize];
            bucket[*at as usize] = (a.max(b), (3 * t + k) as u32 * 2 + u32::from(a > b));
            *at += 1;
        }
    }
    let mut across = vec![[0u32; 3]; mesh.triangles.len()];
    for v in 0..n {
        let edges = &mut bucket[start[v] as usize..start[v + 1] as usize];
        edges.sort_unstable();
        for group in edges.chunk_by(|a, b| a.0 == b.0) {
            let open = || {
                let at = (mesh.positions[v] + mesh.positions[group[0].0 as usize]) * 0.5;
                NotClosed::Edge { at }
            };
            let mut join = |forward: u32, backward: u32| {
                across[forward as usize / 3][forward as usize % 3] = backward;
                across[backward as usize / 3][backward as usize % 3] = forward;
            };
            match group {
                [(_, a), (_, b)] if a & 1 != b & 1 && v as u32 != group[0].0 => join(*a >> 1, *b >> 1),
                [_, _] => return Err(open()),
                _ => {
                    let forward = group.iter().filter(|g| g.1 & 1 == 0).count();
                    if 2 * forward != group.len() || v as u32 == group[0].0 {
                        return Err(open());
                    }
                    for (a, b) in wedges(mesh, v, group) {
                        join(a, b);
                    }
                }
            }
        }
    }
    Ok(across)
}

/// Pairs (forward, backward) of half-edges round one edge that bound the same wedge of solid.
fn wedges(mesh: &Mesh, low: usize, group: &[(u32, u32)]) -> Vec<(u32, u32)> {
    let from = mesh.positions[low].as_dvec3();
    let axis = (mesh.positions[group[0].0 as usize].as_dvec3() - from).normalize_or_zero();
    let u = axis.any_orthonormal_vector();
    let w = axis.cross(u);
    let mut round: Vec<(f64, u32)> = group
        .iter()
        .map(|&(_, code)| {
            let half = code >> 1;
            let third = mesh.triangles[half as usize / 3][(half as usize % 3 + 2) % 3];
            let d: DVec3 = mesh.positions[third as usize].as_dvec3() - from;
            (d.dot(w).atan2(d.dot(u)), code)
        })
        .collect();
    // The solid lies on the falling side of a face that runs the edge forwards: going down in angle, each forward
    // face opens a wedge and the next backward face closes it.
    let opens_last = |code: u32| (code & 1 == 0, code);
    round.sort_by(|a, b| b.0.total_cmp(&a.0).then(opens_last(a.1).cmp(&opens_last(b.1))));
    let mut open: Vec<u32> = Vec::new();
    let mut used = vec![false; round.len()];
    let mut pairs = Vec::new();
    for step in 0..2 * round.len() {
        let i = step % round.len();
        let code = round[i].1;
        if code & 1 == 0 {
            if step < round.len() {
                open.push(code >> 1);
            }
        } else if !used[i]
            && let Some(forward) = open.pop()
        {
            used[i] = true;
            pairs.push((forward, code >> 1));
        }
    }
    pairs
}
