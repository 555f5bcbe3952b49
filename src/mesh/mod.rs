//! Triangles: reading, welding, topology, rays, nearest points, measures, refinement, union and difference.
//!
//! The lowest room of the house. It knows millimetres and triangles and nothing of moulds. Positions are stored as
//! `f32` about a local origin (see [`read_stl`]), sums are taken in `f64`.

pub mod boolean;
pub mod bounds;
pub mod check;
pub mod io_words;
pub mod measure;
pub mod read_stl;
pub mod refine;
pub mod repair;
pub mod score;
pub mod signed;
pub mod slice;
pub mod smooth;
pub mod solids;
pub mod sound;
pub mod topology;
pub mod tree;
pub mod weld;
pub mod winding;
pub mod write_stl;

pub use bounds::Bounds;

use glam::{DAffine3, DVec3, Vec3};

/// A triangle mesh with shared vertices, in millimetres.
///
/// Triangles are counter-clockwise seen from outside. Nothing promises that the mesh is closed or clean: that is what
/// the topology and its report are for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Vertex positions, millimetres.
    pub positions: Vec<Vec3>,
    /// Three indices into `positions` a triangle.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// The three corners of triangle `t`.
    #[inline]
    pub fn corners(&self, t: usize) -> [Vec3; 3] {
        self.triangles[t].map(|v| self.positions[v as usize])
    }

    /// The three corners of triangle `t` in double precision, for sums.
    #[inline]
    pub fn corners_f64(&self, t: usize) -> [DVec3; 3] {
        self.triangles[t].map(|v| self.positions[v as usize].as_dvec3())
    }

    /// Twice the area of triangle `t` times its unit normal; zero for a degenerate triangle.
    #[inline]
    pub fn double_area_normal(&self, t: usize) -> Vec3 {
        let [a, b, c] = self.corners(t);
        (b - a).cross(c - a)
    }

    /// The unit normal of triangle `t`, or zero for a degenerate triangle.
    #[inline]
    pub fn unit_normal(&self, t: usize) -> Vec3 {
        self.double_area_normal(t).normalize_or_zero()
    }

    /// The axis-aligned box round every vertex; empty for an empty mesh.
    pub fn bounds(&self) -> Bounds {
        Bounds::of(self.positions.iter().copied())
    }

    /// The mesh moved by `target_from_source`; a mirroring transform also turns the triangles round so that the
    /// outside stays outside.
    pub fn transformed(&self, target_from_source: &DAffine3) -> Mesh {
        let mirrored = target_from_source.matrix3.determinant() < 0.0;
        Mesh {
            positions: self
                .positions
                .iter()
                .map(|p| target_from_source.transform_point3(p.as_dvec3()).as_vec3())
                .collect(),
            triangles: self.triangles.iter().map(|&[a, b, c]| if mirrored { [a, c, b] } else { [a, b, c] }).collect(),
        }
    }

    /// Adds the vertices and triangles of `other`, without welding.
    pub fn append(&mut self, other: &Mesh) {
        let base = self.positions.len() as u32;
        self.positions.extend_from_slice(&other.positions);
        self.triangles.extend(other.triangles.iter().map(|t| t.map(|v| v + base)));
    }
}
