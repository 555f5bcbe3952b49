//! Slices: where a plane cuts a mesh.

use super::Mesh;
use glam::{DVec2, DVec3};

/// A flat frame to cut by: its origin and two unit directions square to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Where the picture's origin lies.
    pub origin: DVec3,
    /// To the right in the picture.
    pub right: DVec3,
    /// Up in the picture.
    pub up: DVec3,
}

impl Plane {
    /// The plane through `foot` in which `axis` points up; level to the right where the axis is not upright.
    pub fn along(foot: DVec3, axis: DVec3) -> Option<Plane> {
        let up = axis.try_normalize()?;
        let right = if up.cross(DVec3::Z).length() > 0.1 { up.cross(DVec3::Z) } else { DVec3::X };
        let right = (right - up * right.dot(up)).try_normalize()?;
        foot.is_finite().then_some(Plane { origin: foot, right, up })
    }

    /// A point in the picture.
    pub fn flat(&self, p: DVec3) -> DVec2 {
        let p = p - self.origin;
        DVec2::new(p.dot(self.right), p.dot(self.up))
    }
}

/// The straight pieces in which `plane` cuts `mesh`. Each edge is cut at one point whichever triangle asks, so that the
/// pieces of a closed mesh close; a corner in the plane counts as above it.
pub fn cut(mesh: &Mesh, plane: &Plane) -> Vec<[DVec2; 2]> {
    cut_with_triangles(mesh, plane).map(|piece| piece.0).collect()
}

/// The same, each piece with the triangle that it lies in.
pub fn cut_with_triangles<'a>(mesh: &'a Mesh, plane: &'a Plane) -> impl Iterator<Item = ([DVec2; 2], usize)> + 'a {
    let normal = plane.right.cross(plane.up);
    let height = move |p: DVec3| (p - plane.origin).dot(normal);
    (0..mesh.triangles.len()).filter_map(move |t| {
        let corners = mesh.corners_f64(t);
        if !corners.iter().all(|c| c.is_finite()) {
            return None;
        }
        let h = corners.map(height);
        let mut ends = [DVec2::ZERO; 2];
        let mut found = 0;
        for k in 0..3 {
            let (a, b) = (k, (k + 1) % 3);
            if (h[a] >= 0.0) == (h[b] >= 0.0) {
                continue;
            }
            // The lower corner first, so that both triangles of the edge reckon alike.
            let (low, high) = if h[a] < h[b] { (a, b) } else { (b, a) };
            let share = -h[low] / (h[high] - h[low]);
            ends[found.min(1)] = plane.flat(corners[low] + (corners[high] - corners[low]) * share);
            found += 1;
        }
        (found == 2).then_some((ends, t))
    })
}
