//! Where a blade runs into metal.

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use glam::Vec3;

/// The first place where one of some straight ways of a blade meets a solid of metal, among those places of which `counts`
/// says yes: it is asked with the place and the solid's outward normal there.
pub fn met(
    ways: impl IntoIterator<Item = (Vec3, Vec3)>,
    (solid, tree): (&Mesh, &Tree),
    counts: impl Fn(Vec3, Vec3) -> bool,
) -> Option<Vec3> {
    ways.into_iter().find_map(|(from, to)| {
        let along = to - from;
        let at = |t: f32| from + along * t;
        let hit =
            tree.first_hit_where(from, along, 1.0, |h| counts(at(h.t), solid.unit_normal(h.triangle as usize)))?;
        Some(at(hit.t))
    })
}

/// The edges of some triangles as straight ways, each triangle's three.
pub fn edges<'a>(
    positions: &'a [Vec3],
    triangles: impl Iterator<Item = &'a [u32; 3]> + 'a,
) -> impl Iterator<Item = (Vec3, Vec3)> + 'a {
    triangles.flat_map(|t| (0..3).map(|k| (positions[t[k] as usize], positions[t[(k + 1) % 3] as usize])))
}
