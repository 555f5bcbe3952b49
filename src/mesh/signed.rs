//! Distance to a closed surface with its sign.
//!
//! The sign is that of the offset along the angle-weighted pseudonormal of the face, edge or vertex that is nearest
//! (Bærentzen & Aanæs 2005): exact for a closed, consistently wound mesh whose bodies do not cross. For any other mesh
//! ask the [winding number](super::winding).

use super::Mesh;
use super::measure::vertex_normals;
use super::topology::Topology;
use super::tree::{Feature, Nearest, Tree};
use glam::Vec3;

/// Pseudonormals of a mesh.
#[derive(Clone, Debug, Default)]
pub struct Pseudonormals {
    vertices: Vec<Vec3>,
}

impl Pseudonormals {
    /// The pseudonormals of a welded mesh.
    pub fn of(mesh: &Mesh) -> Pseudonormals {
        Pseudonormals { vertices: vertex_normals(mesh) }
    }

    /// The outward pseudonormal at a nearest point: the normal of a face, the mean of both faces at an edge, weighted by
    /// angles at a vertex. Unit length, or zero where the faces there have no area.
    pub fn at(&self, mesh: &Mesh, topology: &Topology, nearest: &Nearest) -> Vec3 {
        let t = nearest.triangle as usize;
        match nearest.feature {
            Feature::Face => mesh.unit_normal(t),
            Feature::Vertex(k) => self.vertices[mesh.triangles[t][usize::from(k)] as usize],
            Feature::Edge(k) => {
                let own = mesh.unit_normal(t);
                match topology.neighbours[t][usize::from(k)] {
                    Topology::NONE => own,
                    n => (own + mesh.unit_normal(n as usize)).normalize_or_zero(),
                }
            }
        }
    }

    /// Distance from `point` to the surface, millimetres, negative inside. Infinite for an empty mesh.
    pub fn signed_distance(&self, mesh: &Mesh, topology: &Topology, tree: &Tree, point: Vec3) -> f32 {
        let Some(nearest) = tree.nearest(point) else { return f32::INFINITY };
        let [a, b, c] = mesh.corners_f64(nearest.triangle as usize);
        let weights = nearest.barycentric.as_dvec3();
        let on = (a * weights.x + b * weights.y + c * weights.z) / weights.element_sum();
        let off = point.as_dvec3() - on;
        let inside = off.dot(self.at(mesh, topology, &nearest).as_dvec3()) < 0.0;
        if inside { -nearest.distance } else { nearest.distance }
    }
}
