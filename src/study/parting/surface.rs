//! The surface that is labelled: a copy of the mesh refined until every triangle is small, with its neighbours.

use crate::mesh::Mesh;
use crate::mesh::refine::refine_unless;
use crate::mesh::score::{Cut, Scores};
use crate::mesh::smooth::corner_normals;
use crate::mesh::tree::Tree;
use crate::solve::run::{Cancelled, Run};
use crate::solve::straight::Way;
use glam::Vec3;
use rayon::prelude::*;
use std::sync::Arc;

/// No triangle across an edge.
pub const NONE: u32 = u32::MAX;

/// Least step off the surface before a ray is cast, millimetres (set here: below what a blade or a rubber edge shows).
pub const LEAST_STEP_MM: f32 = 0.02;
/// Greatest step; a wider gap between facet and true surface is a coarse mesh, not a curve (set here).
const GREATEST_STEP_MM: f32 = 0.3;
/// Facets that meet at more than this are two surfaces, not one curved surface cut into facets.
const CURVED_BELOW_RAD: f32 = 0.7;
/// Triangles that refinement aims at where the mesh itself has fewer.
const WANTED_TRIANGLES: f64 = 80_000.0;
/// Triangles beyond which refinement stops in any case, or twice as many as the mesh has.
const MOST_TRIANGLES: usize = 400_000;
/// Refinement stops at this edge length, millimetres.
const SHORTEST_AIM_MM: f64 = 0.2;

/// A refined copy of a mesh, triangles (`f`) and edges (`k` = 0, 1, 2, from corner `k` to corner `k + 1`).
///
/// Nothing here depends on the draw, so one surface serves every draw that is tried.
#[derive(Clone, Debug)]
pub struct Surface {
    /// The refined mesh; the original triangles, each cut into smaller ones that lie exactly in it.
    pub mesh: Arc<Mesh>,
    /// For each triangle, the original one it lies in.
    pub parent: Vec<u32>,
    /// For each triangle and edge, the triangle across, or [`NONE`]. Only neighbours that run the edge the other way
    /// count, so that turning round a vertex is always well defined.
    pub across: Vec<[u32; 3]>,
    /// Area of each triangle, mm².
    pub area_mm2: Vec<f32>,
    /// Outward unit normal of each triangle; that of the original triangle, so refinement adds no noise.
    pub normal: Vec<Vec3>,
    /// Centroid of each triangle.
    pub centroid: Vec<Vec3>,
    /// Body of each triangle: triangles joined across edges, numbered from 0 in the order of their first triangle.
    pub body: Vec<u32>,
    /// Number of bodies.
    pub bodies: usize,
    /// Step off the surface before a ray is cast: the height of the curved surface over its facet (about
    /// width · angle / 8), at least [`LEAST_STEP_MM`].
    pub step_mm: Vec<f32>,
    /// Length aimed at for the longest edge, millimetres.
    pub edge_mm: f32,
    /// A length well above the rounding of positions and well below anything that is made, millimetres.
    pub hair_mm: f32,
    /// The original triangles.
    pub facets: Arc<Facets>,
}

/// The original triangles and the smooth surface that they stand for.
#[derive(Clone, Debug, Default)]
pub struct Facets {
    /// Their corners; the same vertices as in the refined mesh, where no fans had to be split.
    pub triangles: Vec<[u32; 3]>,
    /// Normals of the smooth surface at their corners, see [`corner_normals`].
    pub corner_normal: Vec<[Vec3; 3]>,
}

/// The triangles across each edge of a mesh, see [`Surface::across`].
pub fn across(triangles: &[[u32; 3]], vertices: usize) -> Vec<[u32; 3]> {
    let mut first = vec![0u32; vertices + 1];
    let low = |t: &[u32; 3], k: usize| t[k].min(t[(k + 1) % 3]) as usize;
    for t in triangles {
        for k in 0..3 {
            first[low(t, k) + 1] += 1;
        }
    }
    for v in 0..vertices {
        first[v + 1] += first[v];
    }
    let mut next = first.clone();
    // (higher vertex, 1 where the triangle runs the edge from high to low, triangle, edge)
    let mut sides = vec![(0u32, 0u8, 0u32, 0u8); 3 * triangles.len()];
    for (f, t) in triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            let slot = &mut next[low(t, k)];
            sides[*slot as usize] = (a.max(b), (a > b) as u8, f as u32, k as u8);
            *slot += 1;
        }
    }
    let mut result = vec![[NONE; 3]; triangles.len()];
    for v in 0..vertices {
        let fan = &mut sides[first[v] as usize..first[v + 1] as usize];
        fan.sort_unstable();
        let mut i = 0;
        while i < fan.len() {
            let end = i + fan[i..].iter().take_while(|s| s.0 == fan[i].0).count();
            let turn = i + fan[i..end].iter().take_while(|s| s.1 == 0).count();
            // A degenerate triangle may run an edge both ways; it is nobody's neighbour.
            if fan[i].0 as usize != v {
                for (one, other) in fan[i..turn].iter().zip(&fan[turn..end]) {
                    if one.2 != other.2 {
                        result[one.2 as usize][one.3 as usize] = other.2;
                        result[other.2 as usize][other.3 as usize] = one.2;
                    }
                }
            }
            i = end;
        }
    }
    result
}

/// Groups of triangles joined across the edges that `joined(f, k, g)` lets through: the group of each triangle, and
/// the number of groups. Numbered in the order of their first triangle.
pub fn groups(across: &[[u32; 3]], joined: impl Fn(usize, usize, usize) -> bool) -> (Vec<u32>, usize) {
    let mut group = vec![NONE; across.len()];
    let mut count = 0;
    let mut stack = Vec::new();
    for start in 0..across.len() {
        if group[start] != NONE {
            continue;
        }
        group[start] = count;
        stack.push(start as u32);
        while let Some(f) = stack.pop() {
            for (k, &g) in across[f as usize].iter().enumerate() {
                if g != NONE && group[g as usize] == NONE && joined(f as usize, k, g as usize) {
                    group[g as usize] = count;
                    stack.push(g);
                }
            }
        }
        count += 1;
    }
    (group, count as usize)
}

impl Surface {
    /// Refines `mesh` by longest-edge bisection until it is fine enough to be parted: about eighty thousand triangles,
    /// or half as many again as it has.
    pub fn new(mesh: &Mesh, run: &Run) -> Result<Surface, Cancelled> {
        let area: f64 = (0..mesh.triangles.len()).map(|t| mesh.double_area_normal(t).length() as f64 / 2.0).sum();
        let wanted = WANTED_TRIANGLES.max(mesh.triangles.len() as f64 / 2.0);
        Surface::with_edge(mesh, (area / (0.3 * wanted)).sqrt().max(SHORTEST_AIM_MM) as f32, run)
    }

    /// The same with a stated longest edge, millimetres.
    pub fn with_edge(mesh: &Mesh, edge_mm: f32, run: &Run) -> Result<Surface, Cancelled> {
        run.check()?;
        let coarse_normal: Vec<Vec3> = (0..mesh.triangles.len()).into_par_iter().map(|t| mesh.unit_normal(t)).collect();
        let coarse_across = across(&mesh.triangles, mesh.positions.len());
        let coarse_step = steps(mesh, &coarse_normal, &coarse_across);
        let crease = super::crease::CREASE_DEG.to_radians();
        let corner_normal = corner_normals(mesh, &coarse_across, &coarse_normal, crease);
        drop(coarse_across);
        run.check()?;
        let most = mesh.triangles.len().saturating_mul(2).max(MOST_TRIANGLES);
        let refined = refine_unless(mesh, edge_mm, most, || run.is_cancelled()).ok_or(Cancelled)?;
        let (refined, parent) = (refined.mesh, refined.parent);
        run.check()?;
        let across = across(&refined.triangles, refined.positions.len());
        let normal = parent.par_iter().map(|&p| coarse_normal[p as usize]).collect();
        let step_mm = parent.par_iter().map(|&p| coarse_step[p as usize]).collect();
        let n = refined.triangles.len();
        let area_mm2 = (0..n).into_par_iter().map(|f| refined.double_area_normal(f).length() / 2.0).collect();
        let centroid = (0..n)
            .into_par_iter()
            .map(|f| {
                let [a, b, c] = refined.corners(f);
                (a + b + c) / 3.0
            })
            .collect();
        let (body, bodies) = groups(&across, |_, _, _| true);
        let far = refined.positions.par_iter().map(|p| p.abs().max_element()).reduce(|| 0.0, f32::max);
        Ok(Surface {
            mesh: Arc::new(refined),
            parent,
            across,
            area_mm2,
            normal,
            centroid,
            body,
            bodies,
            step_mm,
            edge_mm,
            hair_mm: (far * 2e-6).max(5e-4),
            facets: Arc::new(Facets { triangles: mesh.triangles.clone(), corner_normal }),
        })
    }

    /// Number of triangles.
    pub fn len(&self) -> usize {
        self.across.len()
    }

    /// True where there is no triangle.
    pub fn is_empty(&self) -> bool {
        self.across.is_empty()
    }

    /// The two ends of edge `k` of triangle `f`.
    pub fn ends(&self, f: usize, k: usize) -> [Vec3; 2] {
        let t = self.mesh.triangles[f];
        [self.mesh.positions[t[k] as usize], self.mesh.positions[t[(k + 1) % 3] as usize]]
    }

    /// The edge of triangle `g` that is edge `k` of its neighbour `f`.
    pub fn edge_back(&self, f: usize, k: usize, g: usize) -> usize {
        let (a, b) = (self.mesh.triangles[f][k], self.mesh.triangles[f][(k + 1) % 3]);
        let t = self.mesh.triangles[g];
        (0..3).find(|&j| t[j] == b && t[(j + 1) % 3] == a).unwrap_or(0)
    }

    /// Shares of the three corners of the original triangle round `f` at the place `at` in it.
    fn shares_in_parent(&self, f: usize, at: Vec3) -> Vec3 {
        let corners = self.facets.triangles[self.parent[f] as usize];
        let [a, b, c] = corners.map(|v| self.mesh.positions[v as usize].as_dvec3());
        let p = at.as_dvec3();
        let n = (b - a).cross(c - a);
        let whole = n.length_squared();
        if whole == 0.0 {
            return Vec3::splat(1.0 / 3.0);
        }
        let (u, v) = ((b - p).cross(c - p).dot(n) / whole, (c - p).cross(a - p).dot(n) / whole);
        Vec3::new(u as f32, v as f32, (1.0 - u - v) as f32)
    }

    /// The normal of the smooth surface at the place `at` in triangle `f`, interpolated over the original triangle; not
    /// of unit length between its corners.
    pub fn smooth_normal(&self, f: usize, at: Vec3) -> Vec3 {
        let shares = self.shares_in_parent(f, at);
        let [a, b, c] = self.facets.corner_normal[self.parent[f] as usize];
        a * shares.x + b * shares.y + c * shares.z
    }

    /// The same at corner `k` of `f`, exact where it is a corner of the original triangle.
    pub fn smooth_normal_at_corner(&self, f: usize, k: usize) -> Vec3 {
        let (v, p) = (self.mesh.triangles[f][k], self.parent[f] as usize);
        match self.facets.triangles[p].iter().position(|&c| c == v) {
            Some(c) => self.facets.corner_normal[p][c],
            None => self.smooth_normal(f, self.mesh.positions[v as usize]),
        }
    }

    /// Draws a way between two vertices on the surface, to be cut along it; gives its vertices.
    pub fn score_way(&mut self, scores: &mut Scores, way: &Way, [from, to]: [u32; 2]) -> Vec<u32> {
        let mesh = Arc::make_mut(&mut self.mesh);
        let mut line = vec![from];
        for (i, &t) in way.sleeve.iter().enumerate() {
            let next = match way.crossings.get(i) {
                Some(c) => scores.on_edge(mesh, &self.across, c.triangle as usize, c.edge as usize, c.share),
                None => to,
            };
            let last = line[line.len() - 1];
            scores.chord(t as usize, last, next);
            if next != last {
                line.push(next);
            }
        }
        line
    }

    /// Cuts the surface along `scores`, which were drawn on its mesh. Cut triangles are replaced by their first piece,
    /// the others are added at the end.
    pub fn cut(&mut self, scores: Scores) -> Cut {
        let mesh = Arc::make_mut(&mut self.mesh);
        let cut = scores.cut(mesh, &mut self.across);
        for &of in &cut.of_added {
            let of = of as usize;
            self.parent.push(self.parent[of]);
            self.normal.push(self.normal[of]);
            self.body.push(self.body[of]);
            self.step_mm.push(self.step_mm[of]);
            self.area_mm2.push(0.0);
            self.centroid.push(Vec3::ZERO);
        }
        let added = mesh.triangles.len() - cut.of_added.len()..mesh.triangles.len();
        for f in cut.replaced.iter().map(|&f| f as usize).chain(added) {
            let [a, b, c] = mesh.corners(f);
            self.area_mm2[f] = mesh.double_area_normal(f).length() / 2.0;
            self.centroid[f] = (a + b + c) / 3.0;
        }
        cut
    }

    /// The point on the surface side of triangle `f` from which rays are cast, for the place `at` in it: moved off by
    /// the step along the normal made square to `draw`, and by a hair along the normal itself.
    pub fn ray_origin(&self, f: usize, at: Vec3, draw: Vec3, tree: &Tree) -> Vec3 {
        let n = self.normal[f];
        let out = n - draw * n.dot(draw);
        let start = at + n * self.hair_mm;
        let mut step = self.step_mm[f];
        if step > LEAST_STEP_MM {
            // A wall nearer than the step must not be stepped through.
            let length = out.length();
            if length > 1e-3
                && let Some(hit) = tree.first_hit(start, out / length, step * length)
            {
                step = (hit.t / length * 0.5).max(LEAST_STEP_MM.min(step));
            }
        }
        start + out * step
    }
}

/// How far the curved surface that the facets stand for may lie outside each facet.
fn steps(mesh: &Mesh, normal: &[Vec3], across: &[[u32; 3]]) -> Vec<f32> {
    let height = |f: usize, length: f32| if length > 0.0 { mesh.double_area_normal(f).length() / length } else { 0.0 };
    (0..mesh.triangles.len())
        .into_par_iter()
        .map(|f| {
            let corners = mesh.corners(f);
            let mut step = LEAST_STEP_MM;
            for k in 0..3 {
                let g = across[f][k];
                if g == NONE {
                    continue;
                }
                let g = g as usize;
                let angle = normal[f].cross(normal[g]).length().atan2(normal[f].dot(normal[g]));
                if angle < CURVED_BELOW_RAD {
                    let length = (corners[(k + 1) % 3] - corners[k]).length();
                    step = step.max(height(f, length).min(height(g, length)) * angle / 8.0);
                }
            }
            step.min(GREATEST_STEP_MM)
        })
        .collect()
}
