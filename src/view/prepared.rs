//! What the renderer derives once from a mesh: smooth normals, crease edges, whether it is closed.

use crate::mesh::{Bounds, Mesh};
use glam::{Vec2, Vec3};
use rayon::prelude::*;

/// Vertices handled at a time by one thread.
const VERTICES_PER_TASK: usize = 8192;

/// Packed normals by corner, feature edges, and whether all edges are paired, of some of the vertices.
type NotesOfVertices = (Vec<(u32, u32)>, Vec<FeatureEdge>, bool);

/// An edge that is drawn as a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeatureEdge {
    /// Its vertices, the lower index first.
    pub vertices: [u32; 2],
    /// One of its triangles.
    pub triangle: u32,
    /// True where it is the rim of an open skin or has more than two triangles.
    pub rim: bool,
}

/// What is derived from a mesh for drawing it.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// The angle that it was made with, radians.
    pub crease_angle: f32,
    /// Smooth unit normals, three a triangle, packed by [`pack_normal`].
    pub corner_normals: Vec<[u32; 3]>,
    /// Creases and rims.
    pub edges: Vec<FeatureEdge>,
    /// True where every edge has two triangles that run along it in opposite directions.
    pub closed: bool,
    /// True where it is closed and every connected piece of it has a positive volume, so that its back is never seen.
    pub outward: bool,
    /// Middle of the bounds: positions are taken about it before they are turned, so that nothing is lost far from the
    /// origin.
    pub centre: Vec3,
    /// Half the diagonal of the bounds.
    pub radius: f32,
    /// The box round the mesh.
    pub bounds: Bounds,
}

impl Prepared {
    /// Works it out. Normals at a corner are the sum of those faces round its vertex, weighted by the angle that they
    /// take there (Thürmer & Wüthrich 1998), that bend from the corner's own face by less than `crease_angle`.
    pub fn new(mesh: &Mesh, crease_angle: f32) -> Prepared {
        let count = mesh.triangles.len();
        let faces: Vec<Vec3> = (0..count).into_par_iter().map(|t| mesh.unit_normal(t)).collect();
        let corners = corners_round_vertices(mesh);
        let cos_crease = crease_angle.cos();
        let tasks = mesh.positions.len().div_ceil(VERTICES_PER_TASK);
        let parts: Vec<NotesOfVertices> = (0..tasks)
            .into_par_iter()
            .map(|task| {
                let mut normals = Vec::new();
                let mut edges = Vec::new();
                let mut closed = true;
                let mut spokes: Vec<(u32, u32, bool)> = Vec::new();
                let mut weighted: Vec<(Vec3, Vec3)> = Vec::new();
                for v in task * VERTICES_PER_TASK..((task + 1) * VERTICES_PER_TASK).min(mesh.positions.len()) {
                    let round = corners.of(v);
                    weighted.clear();
                    spokes.clear();
                    for &corner in round {
                        let (t, k) = ((corner / 3) as usize, (corner % 3) as usize);
                        let tri = mesh.triangles[t];
                        let (next, last) = (tri[(k + 1) % 3], tri[(k + 2) % 3]);
                        let at = mesh.positions[v];
                        let a = (mesh.positions[next as usize] - at).normalize_or_zero();
                        let b = (mesh.positions[last as usize] - at).normalize_or_zero();
                        let angle = a.dot(b).clamp(-1.0, 1.0).acos();
                        weighted.push((faces[t], faces[t] * angle));
                        if next as usize > v {
                            spokes.push((next, t as u32, true));
                        }
                        if last as usize > v {
                            spokes.push((last, t as u32, false));
                        }
                    }
                    for (i, &corner) in round.iter().enumerate() {
                        let own = weighted[i].0;
                        let sum: Vec3 =
                            weighted.iter().filter(|(n, _)| n.dot(own) >= cos_crease).map(|(_, weight)| *weight).sum();
                        normals.push((corner, pack_normal(sum.normalize_or(own))));
                    }
                    spokes.sort_unstable();
                    for edge in spokes.chunk_by(|a, b| a.0 == b.0) {
                        let vertices = [v as u32, edge[0].0];
                        let paired = edge.len() == 2 && edge[0].2 != edge[1].2;
                        closed &= paired;
                        let triangle = edge[0].1;
                        if edge.len() != 2 {
                            edges.push(FeatureEdge { vertices, triangle, rim: true });
                            continue;
                        }
                        let (a, b) = (faces[edge[0].1 as usize], faces[edge[1].1 as usize]);
                        if a != Vec3::ZERO && b != Vec3::ZERO && a.dot(b) < cos_crease {
                            edges.push(FeatureEdge { vertices, triangle, rim: false });
                        }
                    }
                }
                (normals, edges, closed)
            })
            .collect();
        let mut corner_normals = vec![[0u32; 3]; count];
        let mut edges = Vec::new();
        let mut closed = count > 0;
        for (normals, some_edges, all_paired) in parts {
            for (corner, packed) in normals {
                corner_normals[(corner / 3) as usize][(corner % 3) as usize] = packed;
            }
            edges.extend(some_edges);
            closed &= all_paired;
        }
        let bounds = mesh.bounds();
        let (centre, radius) = (bounds.centre(), bounds.diagonal() * 0.5);
        let outward = closed && every_piece_is_outward(mesh, centre);
        Prepared { crease_angle, corner_normals, edges, closed, outward, centre, radius, bounds }
    }
}

/// Whether each connected piece of a closed mesh has a positive volume, by the divergence theorem.
fn every_piece_is_outward(mesh: &Mesh, about: Vec3) -> bool {
    let mut parents: Vec<u32> = (0..mesh.positions.len() as u32).collect();
    fn root(parents: &mut [u32], mut v: u32) -> u32 {
        while parents[v as usize] != v {
            parents[v as usize] = parents[parents[v as usize] as usize];
            v = parents[v as usize];
        }
        v
    }
    for &[a, b, c] in &mesh.triangles {
        let ra = root(&mut parents, a);
        for v in [b, c] {
            let rv = root(&mut parents, v);
            parents[rv as usize] = ra;
        }
    }
    let mut volumes = vec![0f64; mesh.positions.len()];
    for (t, tri) in mesh.triangles.iter().enumerate() {
        let [a, b, c] = mesh.corners(t).map(|p| (p - about).as_dvec3());
        volumes[root(&mut parents, tri[0]) as usize] += a.dot(b.cross(c));
    }
    volumes.iter().all(|v| *v >= 0.0)
}

/// Corners (3·triangle + place) grouped by their vertex.
struct CornersRound {
    starts: Vec<u32>,
    corners: Vec<u32>,
}

impl CornersRound {
    fn of(&self, vertex: usize) -> &[u32] {
        &self.corners[self.starts[vertex] as usize..self.starts[vertex + 1] as usize]
    }
}

fn corners_round_vertices(mesh: &Mesh) -> CornersRound {
    let mut starts = vec![0u32; mesh.positions.len() + 2];
    for t in &mesh.triangles {
        for &v in t {
            starts[v as usize + 2] += 1;
        }
    }
    for i in 2..starts.len() {
        starts[i] += starts[i - 1];
    }
    let mut corners = vec![0u32; mesh.triangles.len() * 3];
    for (t, tri) in mesh.triangles.iter().enumerate() {
        for (k, &v) in tri.iter().enumerate() {
            let slot = &mut starts[v as usize + 1];
            corners[*slot as usize] = (t * 3 + k) as u32;
            *slot += 1;
        }
    }
    CornersRound { starts, corners }
}

/// A unit vector in 32 bits: the octahedral map, 16 bits each way (Meyer et al. 2010, "On floating-point normal
/// vectors").
pub fn pack_normal(n: Vec3) -> u32 {
    let scale = n.x.abs() + n.y.abs() + n.z.abs();
    if scale <= 0.0 {
        return pack_normal(Vec3::Z);
    }
    let p = Vec2::new(n.x, n.y) / scale;
    let q = if n.z < 0.0 {
        Vec2::new((1.0 - p.y.abs()) * 1f32.copysign(p.x), (1.0 - p.x.abs()) * 1f32.copysign(p.y))
    } else {
        p
    };
    let part = |c: f32| ((c.clamp(-1.0, 1.0) * 32767.0).round() as i32 as u32) & 0xffff;
    part(q.x) | part(q.y) << 16
}

/// The direction that [`pack_normal`] packed, not quite of unit length.
#[inline]
pub fn unpack_normal(packed: u32) -> Vec3 {
    const SCALE: f32 = 1.0 / 32767.0;
    let (x, y) = (packed as i16 as f32 * SCALE, (packed >> 16) as i16 as f32 * SCALE);
    let z = 1.0 - x.abs() - y.abs();
    let fold = (-z).max(0.0);
    Vec3::new(x - fold.copysign(x), y - fold.copysign(y), z)
}
