//! Sections: where a plane cuts a mesh, and thin lines that hatch what is cut (ISO 128-3).

use crate::mesh::Mesh;
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

    fn flat(&self, p: DVec3) -> DVec2 {
        let p = p - self.origin;
        DVec2::new(p.dot(self.right), p.dot(self.up))
    }
}

/// The straight pieces in which `plane` cuts `mesh`. Each edge is cut at one point whichever triangle asks, so that the
/// pieces of a closed mesh close; a corner in the plane counts as above it.
pub fn cut(mesh: &Mesh, plane: &Plane) -> Vec<[DVec2; 2]> {
    let normal = plane.right.cross(plane.up);
    let height = |p: DVec3| (p - plane.origin).dot(normal);
    let mut pieces = Vec::new();
    for t in 0..mesh.triangles.len() {
        let corners = mesh.corners_f64(t);
        if !corners.iter().all(|c| c.is_finite()) {
            continue;
        }
        let h = corners.map(height);
        let mut ends: Vec<DVec2> = Vec::with_capacity(2);
        for k in 0..3 {
            let (a, b) = (k, (k + 1) % 3);
            if (h[a] >= 0.0) == (h[b] >= 0.0) {
                continue;
            }
            // The lower corner first, so that both triangles of the edge reckon alike.
            let (low, high) = if h[a] < h[b] { (a, b) } else { (b, a) };
            let share = -h[low] / (h[high] - h[low]);
            ends.push(plane.flat(corners[low] + (corners[high] - corners[low]) * share));
        }
        if let [a, b] = ends[..] {
            pieces.push([a, b]);
        }
    }
    pieces
}

/// Lines at 45° a step apart through what `pieces` enclose and `without` do not, inside the circle about the origin.
pub fn hatched(pieces: &[[DVec2; 2]], without: &[[DVec2; 2]], step: f64, radius: f64) -> Vec<[DVec2; 2]> {
    let along = DVec2::new(1.0, 1.0).normalize();
    let across = DVec2::new(-along.y, along.x);
    let count = (radius / step).floor().clamp(0.0, 2000.0) as i64;
    let mut out = Vec::new();
    for k in -count..=count {
        // Half a step off the origin, where corners like to lie.
        let level = (k as f64 + 0.5) * step;
        let reach = (radius * radius - level * level).max(0.0).sqrt();
        let crossings = |pieces: &[[DVec2; 2]], own: bool| -> Vec<(f64, bool)> {
            let mut all = Vec::new();
            for [a, b] in pieces {
                let (ha, hb) = (a.dot(across) - level, b.dot(across) - level);
                if (ha >= 0.0) != (hb >= 0.0) {
                    let (ta, tb) = (a.dot(along), b.dot(along));
                    all.push((ta + (tb - ta) * (ha / (ha - hb)), own));
                }
            }
            all
        };
        let mut all = crossings(pieces, true);
        all.extend(crossings(without, false));
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut inside, mut taken) = (false, false);
        let mut from: Option<f64> = None;
        for (t, own) in all {
            if own {
                inside = !inside;
            } else {
                taken = !taken;
            }
            match (inside && !taken, from) {
                (true, None) => from = Some(t),
                (false, Some(start)) => {
                    let (a, b) = (start.max(-reach), t.min(reach));
                    if b > a {
                        out.push([along * a + across * level, along * b + across * level]);
                    }
                    from = None;
                }
                _ => {}
            }
        }
    }
    out
}

/// The stretch of a piece inside the circle of `radius` about the origin.
pub fn in_circle([a, b]: [DVec2; 2], radius: f64) -> Option<[DVec2; 2]> {
    let d = b - a;
    let (qa, qb, qc) = (d.length_squared(), a.dot(d), a.length_squared() - radius * radius);
    let root = qb * qb - qa * qc;
    if qa <= 0.0 || root <= 0.0 {
        return None;
    }
    let (from, to) = (((-qb - root.sqrt()) / qa).max(0.0), ((-qb + root.sqrt()) / qa).min(1.0));
    (from < to).then(|| [a + d * from, a + d * to])
}
