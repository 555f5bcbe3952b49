//! What a mesh is, in figures.

use glam::DVec3;
use serde::Serialize;

/// What the meshes are.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PartReport {
    /// Triangles.
    pub triangles: usize,
    /// Welded vertices.
    pub vertices: usize,
    /// Connected bodies.
    pub bodies: usize,
    /// Groups of bodies that hang together; more than one in a file may be parts of a set.
    pub pieces: usize,
    /// True where every edge has two triangles that run it in opposite directions.
    pub watertight: bool,
    /// Edges with one triangle.
    pub open_edges: usize,
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Area, mm².
    pub area_mm2: f64,
    /// Lowest and highest corner in `part`.
    pub bounds_mm: [[f64; 3]; 2],
}

/// Corners of `bounds` as arrays, moved by `centre`.
pub fn bounds_array(bounds: &crate::mesh::Bounds, centre: DVec3) -> [[f64; 3]; 2] {
    [(bounds.min.as_dvec3() + centre).to_array(), (bounds.max.as_dvec3() + centre).to_array()]
}
