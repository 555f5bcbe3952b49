//! A mesh with how far its facets lie from the smooth surface that they stand for.

use crate::mesh::Mesh;
use crate::mesh::smooth::corner_normals;
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use glam::Vec3;
use rayon::prelude::*;

/// Edges sharper than this are edges of the part, not facets of a curved surface.
const CREASE_DEG: f32 = 40.0;
/// A chord's height is reckoned from the corner that leans least; on a cylinder it is 3/2 of that, on a ball that itself. More is
/// allowed for uneven facets: set here.
const UNEVEN: f32 = 2.5;
/// A chord's height over one edge is its width times the turn over 8 (a cylinder); on a ball of even facets it is 8/3 times that.
const BOTH_WAYS: f32 = 3.0;

/// A closed mesh to be compared with another.
#[derive(Debug)]
pub struct Faceted<'a> {
    /// The mesh.
    pub mesh: &'a Mesh,
    /// Its tree.
    pub tree: &'a Tree,
    /// For each triangle, how far its middle lies off the smooth surface through its corners at most, millimetres.
    pub chord_mm: Vec<f32>,
    /// For each triangle the smooth surface's normals at its corners.
    pub normals: Vec<[Vec3; 3]>,
}

impl<'a> Faceted<'a> {
    /// Looks `mesh` over.
    ///
    /// A smooth surface that leaves the plane of a facet at a corner with the slope of its normal there, and comes back to
    /// it at the others, stands over the facet's middle by about half that slope times the way there: exact for a ball,
    /// ρ²/2R, where the corners lie on it. It is never more than the turn over the triangle's edges allows.
    pub fn of(mesh: &'a Mesh, tree: &'a Tree) -> Faceted<'a> {
        let topology = Topology::of(mesh);
        let flat: Vec<Vec3> = (0..mesh.triangles.len()).into_par_iter().map(|t| mesh.unit_normal(t)).collect();
        let normals = corner_normals(mesh, &topology.neighbours, &flat, CREASE_DEG.to_radians());
        let chord_mm = (0..mesh.triangles.len())
            .into_par_iter()
            .map(|t| {
                let corners = mesh.corners(t);
                let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
                let over = |k: usize| {
                    let n = normals[t][k];
                    let rise = n.dot(flat[t]).max(0.1);
                    0.5 * ((middle - corners[k]).dot(n) / rise).abs()
                };
                // A flat that a rounding runs out into leans at the corners on that side alone, and carries nothing.
                let by_corners = UNEVEN * over(0).min(over(1)).min(over(2));
                // On long triangles small errors of the corners' normals tell much; the turn over the edges does not.
                let over_edge = |k: usize| {
                    let other = topology.neighbours[t][k];
                    if other == Topology::NONE {
                        return 0.0;
                    }
                    let turn = flat[t].angle_between(flat[other as usize]);
                    let edge = corners[(k + 1) % 3] - corners[k];
                    let wide = (corners[(k + 2) % 3] - corners[k]).reject_from(edge).length();
                    if turn < CREASE_DEG.to_radians() && wide.is_finite() { BOTH_WAYS * wide * turn / 8.0 } else { 0.0 }
                };
                by_corners.min(over_edge(0).max(over_edge(1)).max(over_edge(2)))
            })
            .collect();
        Faceted { mesh, tree, chord_mm, normals }
    }

    /// The smooth surface's normal on triangle `t` where `weights` of its corners are.
    pub fn normal_at(&self, t: usize, weights: Vec3) -> Vec3 {
        let [a, b, c] = self.normals[t];
        (a * weights.x + b * weights.y + c * weights.z).normalize_or(self.mesh.unit_normal(t))
    }

    /// True where `point` lies inside: the first wall that a straight line along `along` meets is left, not entered.
    pub fn holds(&self, point: Vec3, along: Vec3) -> bool {
        self.tree.first_hit(point, along, f32::INFINITY).is_some_and(|hit| !hit.entering)
    }
}
