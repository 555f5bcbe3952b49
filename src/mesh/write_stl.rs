//! Writing binary STL.

use super::Mesh;
use glam::DVec3;
use std::io::{Result, Write};
use stl_io::{Normal, Triangle, Vertex};

/// Writes `mesh` moved by `centre` as binary STL in millimetres: the coordinates of the file it was read from, as far as
/// single precision holds them.
pub fn write(target: &mut impl Write, mesh: &Mesh, centre: DVec3) -> Result<()> {
    let triangles: Vec<Triangle> = (0..mesh.triangles.len())
        .map(|t| Triangle {
            normal: Normal::new(mesh.unit_normal(t).to_array()),
            vertices: mesh.corners_f64(t).map(|p| Vertex::new((p + centre).as_vec3().to_array())),
        })
        .collect();
    stl_io::write_stl(target, triangles.iter())
}

/// The bytes of a binary STL whose header, which says nothing of the mesh, begins with `mark`.
///
/// # Errors
/// Where the mesh has more triangles than the format can count.
pub fn marked(mesh: &Mesh, mark: &str) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    write(&mut bytes, mesh, DVec3::ZERO)?;
    for (byte, letter) in bytes[..80].iter_mut().zip(mark.bytes()) {
        *byte = letter;
    }
    Ok(bytes)
}
