//! Relief cuts that sever the rubber inside a locked hole, as slits in the halves.

use crate::mesh::Mesh;
use crate::mesh::topology::Topology;
use crate::study::parting::release::Release;
use crate::study::parting::release::cuts::ReliefCut;
use crate::study::parting::release::patch::patch;
use glam::Vec3;

/// Width of the slit, millimetres: a blade takes nothing away, yet two faces at one place would be no closed mesh (set here).
pub const SLIT_MM: f32 = 0.02;
/// How far it goes into the part, so that chords of the ring leave no web of rubber at the wall, millimetres (set here).
const INTO_PART_MM: f32 = 0.2;
/// Points nearer to each other than this are one, millimetres.
const SAME_MM: f32 = 1e-3;

/// The slit of every relief cut that severs a locked core.
pub fn slits(release: &Release) -> Vec<Mesh> {
    let mut severing: Vec<usize> =
        release.locks.iter().flat_map(|l| &l.opened).flat_map(|o| o.cuts.iter().copied()).collect();
    severing.sort_unstable();
    severing.dedup();
    severing.into_iter().filter_map(|i| slit(release.cuts.get(i)?)).collect()
}

/// The surface that spans the ring of a cut, a slit thick.
fn slit(cut: &ReliefCut) -> Option<Mesh> {
    let mut ring: Vec<Vec3> = Vec::with_capacity(cut.points.len());
    for (p, n) in cut.points.iter().zip(&cut.normals) {
        let p = *p - n.normalize_or_zero() * INTO_PART_MM;
        if ring.first().into_iter().chain(ring.last()).all(|q| q.distance(p) > SAME_MM) {
            ring.push(p);
        }
    }
    let spanned = patch(&ring);
    let flat = &spanned.mesh;
    if flat.triangles.is_empty() {
        return None;
    }
    let (n, up) = (flat.positions.len() as u32, spanned.normal * (0.5 * SLIT_MM));
    let mut solid = Mesh {
        positions: flat.positions.iter().map(|p| *p - up).chain(flat.positions.iter().map(|p| *p + up)).collect(),
        triangles: flat.triangles.iter().flat_map(|&[a, b, c]| [[a, c, b], [a + n, b + n, c + n]]).collect(),
    };
    for (t, beside) in flat.triangles.iter().zip(&Topology::of(flat).neighbours) {
        for k in (0..3).filter(|&k| beside[k] == Topology::NONE) {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            solid.triangles.extend([[a, b, b + n], [a, b + n, a + n]]);
        }
    }
    Some(solid)
}
