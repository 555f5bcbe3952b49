//! Where a relief cut would open an undercut, and what a loose piece would have to take with it: measured once with the
//! undercut, so that a proposal costs nothing when the plan is judged.

use super::range::range;
use crate::mesh::solids::frame_square_to;
use crate::study::parting::aside::Way;
use crate::study::parting::surface::Surface;
use glam::Vec3;

/// The places of what helps one undercut, in `work`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Help {
    /// Lower and upper end of a relief cut along the draw through the deepest place, each with its triangle.
    pub cut_ends: [(Vec3, u32); 2],
    /// Middle of a loose piece that leaves along the way aside.
    pub piece_at: Vec3,
    /// Radius that takes the whole undercut, millimetres.
    pub piece_radius_mm: f32,
}

/// What helps the undercut of `triangles`, whose half leaves along `away` and whose deepest place is `deepest`.
pub fn help(surface: &Surface, triangles: &[u32], deepest: &Way, away: Vec3) -> Help {
    let [low, high] = cut_ends(surface, triangles, deepest, away);
    let (piece_at, piece_radius_mm) = piece(surface, triangles, deepest);
    Help { cut_ends: [low, high], piece_at, piece_radius_mm }
}

fn cut_ends(surface: &Surface, triangles: &[u32], deepest: &Way, away: Vec3) -> [(Vec3, u32); 2] {
    let across = away.cross(deepest.direction);
    let beside = |f: u32| {
        let from = surface.centroid[f as usize] - deepest.start;
        from.dot(across).abs() <= 1.5 * surface.edge_mm && from.dot(deepest.direction) > -deepest.length_mm
    };
    let height = |f: u32| surface.centroid[f as usize].dot(away);
    let row = || triangles.iter().copied().filter(|&f| beside(f)).chain([deepest.triangle]);
    let order = |&a: &u32, &b: &u32| height(a).total_cmp(&height(b)).then(a.cmp(&b));
    // The ends go on to the rims of their triangles.
    let rim = |f: u32, sign: f32| {
        let corners = surface.mesh.corners(f as usize).into_iter();
        let rim = corners.max_by(|a, b| (a.dot(away) * sign).total_cmp(&(b.dot(away) * sign)));
        (rim.unwrap_or(deepest.start), f)
    };
    let low = row().min_by(order).unwrap_or(deepest.triangle);
    let high = row().max_by(order).unwrap_or(deepest.triangle);
    [rim(low, -1.0), rim(high, 1.0)]
}

/// About the middle of the undercut's box seen along the way out.
fn piece(surface: &Surface, triangles: &[u32], deepest: &Way) -> (Vec3, f32) {
    let axis = deepest.direction;
    let (u, v) = frame_square_to(axis);
    let corners = || triangles.iter().flat_map(|&f| surface.mesh.corners(f as usize));
    let middle = |d: Vec3| {
        let (low, high) = range(corners().map(|p| p.dot(d)));
        (low + high) / 2.0
    };
    let at = u * middle(u) + v * middle(v) + axis * deepest.start.dot(axis);
    let off_axis = |p: Vec3| {
        let from = p - at;
        from - axis * from.dot(axis)
    };
    (at, corners().map(|p| off_axis(p).length()).fold(0.0, f32::max))
}
