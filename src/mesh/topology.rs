//! Which triangle lies across which edge, where edges are open or shared by too many, and which triangles hang
//! together.

use super::Mesh;
use rayon::prelude::*;
use std::sync::atomic::{AtomicU32, Ordering};

/// Neighbours, edge faults and bodies of a mesh.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Topology {
    /// Indexed by triangle: the triangle across the edge from corner k to corner k+1, or [`Topology::NONE`] where the
    /// edge is open or cannot be paired.
    ///
    /// Where more than two triangles share an edge they are paired in the order in which they lie round it, so that
    /// each pair has solid between them: two cubes that touch along an edge stay two cubes. Where their winding does
    /// not allow that, they stay unpaired.
    pub neighbours: Vec<[u32; 3]>,
    /// Edges used by one triangle only.
    pub open_edges: u32,
    /// Edges used by more than two triangles.
    pub non_manifold_edges: u32,
    /// Edges that two triangles run along in the same direction. The two are still neighbours.
    pub inconsistent_edges: u32,
    /// Non-manifold edges along which unequal numbers of triangles run the two ways, so that no pairing closes them.
    pub unpaired_edges: u32,
    /// Number of edges, each counted once.
    pub edges: u32,
    /// Where the faulty edges are.
    pub faulty: FaultyEdges,
    /// Triangles without area: two corners in one vertex, or three in line to rounding.
    pub degenerate_triangles: u32,
    /// Indexed by triangle: the number of its body, counted from 0 in order of first triangle.
    ///
    /// A body hangs together across paired edges. A triangle with two corners in one vertex has no edges; it
    /// belongs to the body of another triangle at its vertices, or is a body of its own where there is none.
    pub body_of_triangle: Vec<u32>,
    /// Number of bodies.
    pub bodies: u32,
}

/// Edges at fault as pairs of vertices, lower first, in rising order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FaultyEdges {
    /// Used by one triangle only.
    pub open: Vec<[u32; 2]>,
    /// Used by more than two triangles.
    pub non_manifold: Vec<[u32; 2]>,
    /// Two triangles run along it in the same direction.
    pub inconsistent: Vec<[u32; 2]>,
}

/// A use of an edge by a triangle, in the bucket of the edge's lower vertex: the higher vertex, then `triangle · 3 + edge`
/// in the lower half; the direction is read from the triangle. Orders by edge, then by triangle.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Use(u64);

impl Use {
    #[inline]
    fn high(self) -> u32 {
        (self.0 >> 32) as u32
    }
    #[inline]
    fn triangle(self) -> usize {
        (self.0 as u32 / 3) as usize
    }
    #[inline]
    fn edge(self) -> usize {
        (self.0 as u32 % 3) as usize
    }
}

/// Vertices whose buckets are paired by one task.
const RANGE: usize = 1 << 14;

/// What one range of vertices found besides neighbours.
#[derive(Default)]
struct Found {
    edges: u32,
    faulty: FaultyEdges,
    /// Uses of each edge that has more than two, with its lower vertex.
    crowded: Vec<(u32, Vec<Use>)>,
}

/// The corner after `k`.
#[inline]
pub const fn next(k: usize) -> usize {
    if k == 2 { 0 } else { k + 1 }
}

/// True where two corners of the triangle are one vertex.
#[inline]
pub fn is_collapsed(t: [u32; 3]) -> bool {
    t[0] == t[1] || t[1] == t[2] || t[2] == t[0]
}

/// True where triangle `t` has no area: two corners in one vertex, or three corners in line to the rounding of `f32`.
pub fn is_degenerate(mesh: &Mesh, t: usize) -> bool {
    if is_collapsed(mesh.triangles[t]) {
        return true;
    }
    let [a, b, c] = mesh.corners_f64(t);
    let (u, v) = (b - a, c - a);
    // The corners are only known to half a unit in the last place of their largest coordinate.
    let longest = u.length().max(v.length()).max((c - b).length());
    let size = a.abs().max(b.abs()).max(c.abs()).max_element();
    u.cross(v).length() <= longest * size * (f32::EPSILON as f64) * 0.25
}

/// Unions two sets of a union-find forest; the lower root wins, so that results do not depend on the order.
fn join(parent: &mut [u32], a: u32, b: u32) {
    let (a, b) = (root(parent, a), root(parent, b));
    parent[a.max(b) as usize] = a.min(b);
}

fn root(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        let up = parent[parent[i as usize] as usize];
        parent[i as usize] = up;
        i = up;
    }
    i
}

impl Topology {
    /// No triangle.
    pub const NONE: u32 = u32::MAX;

    /// The topology of a mesh. Vertices are what its triangles share: weld first.
    pub fn of(mesh: &Mesh) -> Topology {
        let (start, mut uses) = edge_uses(mesh);
        // Ranges of vertices own ranges of uses; a side is written by the one range that has its edge.
        let linked: Vec<[AtomicU32; 3]> =
            mesh.triangles.iter().map(|_| [const { AtomicU32::new(Topology::NONE) }; 3]).collect();
        let vertices = mesh.positions.len();
        let mut ranges = Vec::with_capacity(vertices / RANGE + 1);
        let mut rest = uses.as_mut_slice();
        for first in (0..vertices).step_by(RANGE) {
            let last = (first + RANGE).min(vertices);
            let (mine, others) = rest.split_at_mut((start[last] - start[first]) as usize);
            ranges.push((first, last, mine));
            rest = others;
        }
        let found: Vec<Found> = ranges
            .into_par_iter()
            .map(|(first, last, uses)| {
                let mut found = Found::default();
                for low in first..last {
                    let at = |v: usize| (start[v] - start[first]) as usize;
                    let bucket = &mut uses[at(low)..at(low + 1)];
                    bucket.sort_unstable();
                    for edge in bucket.chunk_by(|a, b| a.high() == b.high()) {
                        found.pair(mesh, &linked, low as u32, edge);
                    }
                }
                found
            })
            .collect();
        drop(uses);
        let mut topology = Topology {
            neighbours: linked.into_iter().map(|l| l.map(AtomicU32::into_inner)).collect(),
            ..Topology::default()
        };
        for range in found {
            topology.edges += range.edges;
            topology.faulty.open.extend(range.faulty.open);
            topology.faulty.inconsistent.extend(range.faulty.inconsistent);
            for (low, edge) in range.crowded {
                topology.faulty.non_manifold.push([low, edge[0].high()]);
                topology.pair_crowded(mesh, low, &edge);
            }
        }
        topology.open_edges = topology.faulty.open.len() as u32;
        topology.inconsistent_edges = topology.faulty.inconsistent.len() as u32;
        topology.non_manifold_edges = topology.faulty.non_manifold.len() as u32;
        topology.degenerate_triangles =
            (0..mesh.triangles.len()).into_par_iter().filter(|&t| is_degenerate(mesh, t)).count() as u32;
        topology.number_bodies(mesh);
        topology
    }

    /// True where every edge is shared by exactly two triangles that run along it in opposite directions.
    pub fn is_closed(&self) -> bool {
        self.open_edges == 0 && self.non_manifold_edges == 0 && self.inconsistent_edges == 0
    }

    /// True where the surface encloses a volume: every edge is run along equally often both ways. Unlike a mesh that
    /// [is closed](Topology::is_closed) it may touch itself along edges.
    pub fn is_watertight(&self) -> bool {
        self.open_edges == 0 && self.inconsistent_edges == 0 && self.unpaired_edges == 0
    }

    /// The edge of `triangle` that has the two vertices, in either direction.
    pub fn edge_between(triangle: [u32; 3], a: u32, b: u32) -> Option<usize> {
        (0..3).find(|&k| {
            let (p, q) = (triangle[k], triangle[next(k)]);
            (p == a && q == b) || (p == b && q == a)
        })
    }

    fn link(&mut self, a: Use, b: Use) {
        self.neighbours[a.triangle()][a.edge()] = b.triangle() as u32;
        self.neighbours[b.triangle()][b.edge()] = a.triangle() as u32;
    }

    /// Pairs the triangles of an edge that has more than two, where they run along it equally often both ways.
    fn pair_crowded(&mut self, mesh: &Mesh, low: u32, uses: &[Use]) {
        let forward = uses.iter().filter(|u| mesh.triangles[u.triangle()][u.edge()] == low).count();
        if 2 * forward == uses.len() {
            self.pair_round_edge(mesh, low, uses);
        } else {
            self.unpaired_edges += 1;
        }
    }

    /// Pairs triangles in the order in which they lie round their common edge.
    ///
    /// Turning right-handed about the edge from its lower vertex to its higher, a triangle that runs along the edge
    /// forwards has solid before it, a backward one has solid after it. So each backward one is paired with the next
    /// free forward one; where faces lie on each other solid ends before it begins.
    fn pair_round_edge(&mut self, mesh: &Mesh, low: u32, uses: &[Use]) {
        let origin = mesh.positions[low as usize].as_dvec3();
        let axis = (mesh.positions[uses[0].high() as usize].as_dvec3() - origin).normalize_or_zero();
        let (u, v) = if axis == glam::DVec3::ZERO { return } else { axis.any_orthonormal_pair() };
        // any_orthonormal_pair gives u × v = axis, so angles grow right-handed about the axis.
        let mut round: Vec<(f64, bool, Use)> = uses
            .iter()
            .map(|&used| {
                let t = mesh.triangles[used.triangle()];
                let apex = mesh.positions[t[next(next(used.edge()))] as usize].as_dvec3() - origin;
                (apex.dot(v).atan2(apex.dot(u)), t[used.edge()] != low, used)
            })
            .collect();
        round.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
        // Faces that lie on each other differ by rounding: settle their order by kind.
        let same = 1e-6;
        let mut i = 0;
        while i < round.len() {
            let mut j = i + 1;
            while j < round.len() && round[j].0 - round[j - 1].0 < same {
                j += 1;
            }
            round[i..j].sort_by(|a, b| a.1.cmp(&b.1).then(a.2.cmp(&b.2)));
            i = j;
        }
        // Start where the fewest bodies are open, so that no pair straddles the start.
        let (mut open, mut lowest, mut begin) = (0i32, 0i32, 0usize);
        for (i, r) in round.iter().enumerate() {
            open += if r.1 { 1 } else { -1 };
            if open < lowest {
                lowest = open;
                begin = i + 1;
            }
        }
        let mut waiting = std::collections::VecDeque::new();
        for i in 0..round.len() {
            let (_, opens, used) = round[(begin + i) % round.len()];
            if opens {
                waiting.push_back(used);
            } else if let Some(opened) = waiting.pop_front() {
                self.link(opened, used);
            }
        }
    }

    fn number_bodies(&mut self, mesh: &Mesh) {
        let n = mesh.triangles.len();
        let mut parent: Vec<u32> = (0..n as u32).collect();
        for (t, around) in self.neighbours.iter().enumerate() {
            for &other in around {
                if other != Topology::NONE && other > t as u32 {
                    join(&mut parent, t as u32, other);
                }
            }
        }
        if mesh.triangles.iter().any(|&t| is_collapsed(t)) {
            let mut at_vertex = vec![Topology::NONE; mesh.positions.len()];
            for (t, corners) in mesh.triangles.iter().enumerate().filter(|(_, c)| !is_collapsed(**c)) {
                for &v in corners {
                    at_vertex[v as usize] = at_vertex[v as usize].min(t as u32);
                }
            }
            for (t, corners) in mesh.triangles.iter().enumerate().filter(|(_, c)| is_collapsed(**c)) {
                let host = corners.iter().map(|&v| at_vertex[v as usize]).min().unwrap_or(Topology::NONE);
                if host != Topology::NONE {
                    join(&mut parent, t as u32, host);
                }
            }
        }
        self.body_of_triangle = vec![Topology::NONE; n];
        for t in 0..n as u32 {
            let r = root(&mut parent, t) as usize;
            if self.body_of_triangle[r] == Topology::NONE {
                self.body_of_triangle[r] = self.bodies;
                self.bodies += 1;
            }
            self.body_of_triangle[t as usize] = self.body_of_triangle[r];
        }
    }
}

impl Found {
    /// Links the two triangles of an edge, or notes what is wrong with it.
    #[inline]
    fn pair(&mut self, mesh: &Mesh, linked: &[[AtomicU32; 3]], low: u32, uses: &[Use]) {
        self.edges += 1;
        match *uses {
            [only] => self.faulty.open.push([low, only.high()]),
            [a, b] => {
                let is_forward = |u: Use| mesh.triangles[u.triangle()][u.edge()] == low;
                if is_forward(a) == is_forward(b) {
                    self.faulty.inconsistent.push([low, a.high()]);
                }
                linked[a.triangle()][a.edge()].store(b.triangle() as u32, Ordering::Relaxed);
                linked[b.triangle()][b.edge()].store(a.triangle() as u32, Ordering::Relaxed);
            }
            _ => self.crowded.push((low, uses.to_vec())),
        }
    }
}

/// Every use of an edge, bucketed by the edge's lower vertex: `start` has one entry a vertex and one more.
/// Collapsed triangles have no edges.
fn edge_uses(mesh: &Mesh) -> (Vec<u32>, Vec<Use>) {
    let mut start = vec![0u32; mesh.positions.len() + 1];
    for &t in mesh.triangles.iter().filter(|t| !is_collapsed(**t)) {
        for k in 0..3 {
            start[t[k].min(t[next(k)]) as usize + 1] += 1;
        }
    }
    for v in 0..mesh.positions.len() {
        start[v + 1] += start[v];
    }
    let mut uses = vec![Use(0); start[mesh.positions.len()] as usize];
    let mut fill = start.clone();
    for (i, &t) in mesh.triangles.iter().enumerate().filter(|(_, t)| !is_collapsed(**t)) {
        for k in 0..3 {
            let (a, b) = (t[k], t[next(k)]);
            let place = &mut fill[a.min(b) as usize];
            uses[*place as usize] = Use(u64::from(a.max(b)) << 32 | (3 * i + k) as u64);
            *place += 1;
        }
    }
    (start, uses)
}

/// The triangles at each vertex.
#[derive(Clone, Debug, Default)]
pub struct Incidence {
    start: Vec<u32>,
    triangles: Vec<u32>,
}

impl Incidence {
    /// Lists the triangles at each vertex, in rising order.
    pub fn of(mesh: &Mesh) -> Incidence {
        let mut start = vec![0u32; mesh.positions.len() + 1];
        for &v in mesh.triangles.iter().flatten() {
            start[v as usize + 1] += 1;
        }
        for v in 0..mesh.positions.len() {
            start[v + 1] += start[v];
        }
        let mut triangles = vec![0u32; mesh.triangles.len() * 3];
        let mut fill = start.clone();
        for (t, corners) in mesh.triangles.iter().enumerate() {
            for &v in corners {
                triangles[fill[v as usize] as usize] = t as u32;
                fill[v as usize] += 1;
            }
        }
        Incidence { start, triangles }
    }

    /// The triangles at vertex `v`; a collapsed one is listed once for each corner that it has there.
    pub fn triangles_at(&self, v: u32) -> &[u32] {
        &self.triangles[self.start[v as usize] as usize..self.start[v as usize + 1] as usize]
    }
}

/// Splits each vertex at which the surface touches itself into one vertex a fan of triangles.
///
/// Returns the mesh with the same triangles in the same order, and for every vertex the vertex of `mesh` that it was.
/// The first fan keeps the old index; added vertices follow at the end. Unused vertices stay.
pub fn split_fans(mesh: &Mesh, topology: &Topology) -> (Mesh, Vec<u32>) {
    let mut parent: Vec<u32> = (0..mesh.triangles.len() as u32 * 3).collect();
    for (t, around) in topology.neighbours.iter().enumerate() {
        for (k, &other) in around.iter().enumerate() {
            if other == Topology::NONE || other < t as u32 {
                continue;
            }
            for corner in [k, next(k)] {
                let v = mesh.triangles[t][corner];
                if let Some(c) = mesh.triangles[other as usize].iter().position(|&w| w == v) {
                    join(&mut parent, (t * 3 + corner) as u32, other * 3 + c as u32);
                }
            }
        }
    }
    let mut split = mesh.clone();
    let mut original: Vec<u32> = (0..mesh.positions.len() as u32).collect();
    let mut taken = vec![false; mesh.positions.len()];
    let mut vertex_of_fan = vec![Topology::NONE; parent.len()];
    for corner in 0..parent.len() {
        let (t, k) = (corner / 3, corner % 3);
        let v = mesh.triangles[t][k];
        if is_collapsed(mesh.triangles[t]) {
            continue;
        }
        let fan = root(&mut parent, corner as u32) as usize;
        if vertex_of_fan[fan] == Topology::NONE {
            if taken[v as usize] {
                vertex_of_fan[fan] = split.positions.len() as u32;
                split.positions.push(mesh.positions[v as usize]);
                original.push(v);
            } else {
                taken[v as usize] = true;
                vertex_of_fan[fan] = v;
            }
        }
        split.triangles[t][k] = vertex_of_fan[fan];
    }
    (split, original)
}
