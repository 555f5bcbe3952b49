//! Plane sections of the surface, walked from one triangle.

use super::surface::{NONE, Surface};
use glam::Vec3;

/// A section of the surface with a plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its points, in order, each on the edge by which the triangle beside it in `triangles` is left.
    pub points: Vec<Vec3>,
    /// The triangles that it runs through, one a point.
    pub triangles: Vec<u32>,
    /// False where it ran out into an open edge.
    pub closed: bool,
}

/// The section of the surface through triangle `f` square to `away`; none where the triangle lies in that plane.
pub fn section(surface: &Surface, f: u32, away: Vec3) -> Option<Section> {
    let level = surface.centroid[f as usize].dot(away);
    let positions = &surface.mesh.positions;
    // A corner in the level counts as above it, so that each triangle is left by one edge or not met at all.
    let above = |f: usize, k: usize| positions[surface.mesh.triangles[f][k % 3] as usize].dot(away) >= level;
    let leave = |f: usize| (0..3).find(|&k| above(f, k) && !above(f, k + 1));
    let mut section = Section { points: Vec::new(), triangles: Vec::new(), closed: false };
    let mut at = f as usize;
    for _ in 0..surface.len() {
        let k = leave(at)?;
        let [a, b] = surface.ends(at, k);
        let (ha, hb) = (a.dot(away), b.dot(away));
        let t = if ha > hb { ((ha - level) / (ha - hb)).clamp(0.0, 1.0) } else { 0.5 };
        section.points.push(a + (b - a) * t);
        section.triangles.push(at as u32);
        let next = surface.across[at][k];
        if next == NONE {
            break;
        }
        if next == f {
            section.closed = true;
            break;
        }
        at = next as usize;
    }
    Some(section)
}
