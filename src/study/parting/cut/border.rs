//! The body's surface made ready for the cut: pieces cut off from their half given to the half round them, long edges
//! between the halves divided, and those edges chained into loops.

use crate::mesh::Mesh;
use crate::mesh::topology::Topology;
use crate::plan::Half;
use glam::Vec3;

/// The labelled surface that the halves are stitched to.
#[derive(Clone, Debug)]
pub struct Border {
    /// The surface; outward-facing.
    pub mesh: Mesh,
    /// The half of each triangle.
    pub halves: Vec<Half>,
    /// Loops between the halves, half 1 on the left seen from outside.
    pub loops: Vec<BorderLoop>,
    /// Pieces that were cut off from the rest of their half and go with the other one in the block: a place on each and
    /// its area, mm².
    pub given_over: Vec<(Vec3, f64)>,
    /// Where a loop runs out into an open edge of the mesh.
    pub open: Option<Vec3>,
}

/// One loop.
#[derive(Clone, Debug)]
pub struct BorderLoop {
    /// Vertices of the mesh, in order.
    pub vertices: Vec<u32>,
    /// The surface's normal at each, between its two sides; not of unit length.
    pub normals: Vec<Vec3>,
    /// Body that it lies on.
    pub body: u32,
}

/// An edge between the halves longer than this is divided, millimetres, so that the sheet can bend along it.
const LONGEST_MM: f32 = 2.5;

impl Border {
    /// Makes `mesh` ready. `halves` has one entry a triangle.
    pub fn new(mesh: &Mesh, halves: &[Half]) -> Border {
        let mut mesh = mesh.clone();
        let mut halves = halves.to_vec();
        let topology = Topology::of(&mesh);
        let given_over = give_over(&mesh, &topology, &mut halves);
        divide(&mut mesh, &mut halves, &topology);
        let topology = Topology::of(&mesh);
        let (loops, open) = chain(&mesh, &topology, &halves);
        Border { mesh, halves, loops, given_over, open }
    }
}

/// Gives every piece of a half that is not its body's largest to the other half.
fn give_over(mesh: &Mesh, topology: &Topology, halves: &mut [Half]) -> Vec<(Vec3, f64)> {
    let n = mesh.triangles.len();
    let mut piece = vec![u32::MAX; n];
    let mut pieces: Vec<(f64, u32, Half, Vec3)> = Vec::new();
    let mut stack = Vec::new();
    for start in 0..n {
        if piece[start] != u32::MAX {
            continue;
        }
        let id = pieces.len() as u32;
        let (mut area, half, mut at, mut largest) = (0.0, halves[start], mesh.corners(start)[0], -1.0f32);
        piece[start] = id;
        stack.push(start);
        while let Some(t) = stack.pop() {
            let double = mesh.double_area_normal(t).length();
            area += f64::from(double) / 2.0;
            if double > largest {
                largest = double;
                let [a, b, c] = mesh.corners(t);
                at = (a + b + c) / 3.0;
            }
            for &o in &topology.neighbours[t] {
                if o != Topology::NONE && piece[o as usize] == u32::MAX && halves[o as usize] == half {
                    piece[o as usize] = id;
                    stack.push(o as usize);
                }
            }
        }
        pieces.push((area, topology.body_of_triangle[start], half, at));
    }
    let mut main = vec![[None::<usize>; 2]; topology.bodies as usize];
    for (i, p) in pieces.iter().enumerate() {
        let best = &mut main[p.1 as usize][(p.2 == Half::Two) as usize];
        if best.is_none_or(|b: usize| pieces[b].0 < p.0) {
            *best = Some(i);
        }
    }
    let minor: Vec<bool> =
        pieces.iter().enumerate().map(|(i, p)| main[p.1 as usize][(p.2 == Half::Two) as usize] != Some(i)).collect();
    for t in 0..n {
        if minor[piece[t] as usize] {
            halves[t] = halves[t].other();
        }
    }
    pieces.iter().zip(&minor).filter(|(_, m)| **m).map(|(p, _)| (p.3, p.0)).collect()
}

/// The edge of triangle `far` that runs from `from` to `to`.
fn edge_of(far: [u32; 3], from: u32, to: u32) -> Option<usize> {
    (0..3).find(|&e| far[e] == from && far[(e + 1) % 3] == to)
}

/// Divides long edges between the halves, the two triangles beside each into two, until none is left.
fn divide(mesh: &mut Mesh, halves: &mut Vec<Half>, topology: &Topology) {
    let mut neighbours = topology.neighbours.clone();
    let mut work: Vec<(usize, usize)> = (0..mesh.triangles.len()).flat_map(|t| (0..3).map(move |k| (t, k))).collect();
    while let Some((t, k)) = work.pop() {
        let other = neighbours[t][k];
        if other == Topology::NONE || halves[t] != Half::One || halves[other as usize] != Half::Two {
            continue;
        }
        let o = other as usize;
        let tri = mesh.triangles[t];
        let (a, b, c) = (tri[k], tri[(k + 1) % 3], tri[(k + 2) % 3]);
        let (pa, pb) = (mesh.positions[a as usize], mesh.positions[b as usize]);
        let Some(j) = edge_of(mesh.triangles[o], b, a) else { continue };
        if pa.distance(pb) <= LONGEST_MM {
            continue;
        }
        let d = mesh.triangles[o][(j + 2) % 3];
        let m = mesh.positions.len() as u32;
        mesh.positions.push(pa.midpoint(pb));
        let (t2, o2) = (mesh.triangles.len() as u32, mesh.triangles.len() as u32 + 1);
        let (bc, ca) = (neighbours[t][(k + 1) % 3], neighbours[t][(k + 2) % 3]);
        let (ad, db) = (neighbours[o][(j + 1) % 3], neighbours[o][(j + 2) % 3]);
        mesh.triangles[t] = [a, m, c];
        mesh.triangles.push([m, b, c]);
        mesh.triangles[o] = [m, a, d];
        mesh.triangles.push([b, m, d]);
        neighbours[t] = [o as u32, t2, ca];
        neighbours.push([o2, bc, t as u32]);
        neighbours[o] = [t as u32, ad, o2];
        neighbours.push([t2, o as u32, db]);
        halves.push(halves[t]);
        halves.push(halves[o]);
        for (outer, inner, from, to) in [(bc, t2, b, c), (db, o2, d, b)] {
            if outer != Topology::NONE {
                if let Some(e) = edge_of(mesh.triangles[outer as usize], to, from) {
                    neighbours[outer as usize][e] = inner;
                }
            }
        }
        // All edges of the four, and those across them: what was waiting may now be named otherwise.
        for piece in [t, t2 as usize, o, o2 as usize] {
            for e in 0..3 {
                work.push((piece, e));
                let far = neighbours[piece][e];
                if far != Topology::NONE {
                    let (x, y) = (mesh.triangles[piece][e], mesh.triangles[piece][(e + 1) % 3]);
                    work.extend(edge_of(mesh.triangles[far as usize], y, x).map(|q| (far as usize, q)));
                }
            }
        }
    }
}

/// Chains the edges between the halves, turning round the triangles of half 1 where loops touch.
fn chain(mesh: &Mesh, topology: &Topology, halves: &[Half]) -> (Vec<BorderLoop>, Option<Vec3>) {
    let neighbours = &topology.neighbours;
    let between = |t: usize, k: usize| {
        let o = neighbours[t][k];
        o != Topology::NONE && halves[t] == Half::One && halves[o as usize] == Half::Two
    };
    // The edge between the halves that follows edge `k` of `t` round its end, inside half 1.
    let next = |t: usize, k: usize| {
        let (mut g, mut j) = (t, (k + 1) % 3);
        loop {
            if between(g, j) {
                return Some((g, j));
            }
            let over = neighbours[g][j];
            if over == Topology::NONE {
                return None;
            }
            let (from, to) = (mesh.triangles[g][j], mesh.triangles[g][(j + 1) % 3]);
            let e = edge_of(mesh.triangles[over as usize], to, from)?;
            (g, j) = (over as usize, (e + 1) % 3);
        }
    };
    let mut done = vec![[false; 3]; mesh.triangles.len()];
    let mut loops = Vec::new();
    let mut open = None;
    for start in 0..mesh.triangles.len() {
        for first in 0..3 {
            if done[start][first] || !between(start, first) {
                continue;
            }
            let (mut vertices, mut sides) = (Vec::new(), Vec::new());
            let mut at = Some((start, first));
            while let Some((t, k)) = at.filter(|&(t, k)| !done[t][k]) {
                done[t][k] = true;
                vertices.push(mesh.triangles[t][k]);
                sides.push(mesh.unit_normal(t) + mesh.unit_normal(neighbours[t][k] as usize));
                at = next(t, k);
            }
            if at.is_none() {
                open = open.or(vertices.last().map(|&v| mesh.positions[v as usize]));
                continue;
            }
            let n = vertices.len();
            let normals = (0..n).map(|i| (sides[i] + sides[(i + n - 1) % n]) * 0.5).collect();
            loops.push(BorderLoop { vertices, normals, body: topology.body_of_triangle[start] });
        }
    }
    (loops, open)
}
