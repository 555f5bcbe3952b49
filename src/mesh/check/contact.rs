//! Bodies whose surfaces touch or cross.

use super::{Body, Meeting};
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh};
use glam::{DVec3, Vec3};
use rayon::prelude::*;

/// Pairs of bodies of which some triangles share a point.
pub(super) fn meetings(mesh: &Mesh, topology: &Topology, tree: &Tree, bodies: &[Body]) -> Vec<Meeting> {
    // Sweep along x for boxes that meet.
    let mut order: Vec<usize> = (0..bodies.len()).collect();
    order.sort_by(|&a, &b| bodies[a].bounds.min.x.total_cmp(&bodies[b].bounds.min.x));
    let mut pairs = Vec::new();
    for (i, &a) in order.iter().enumerate() {
        for &b in &order[i + 1..] {
            if bodies[b].bounds.min.x > bodies[a].bounds.max.x {
                break;
            }
            let region = common(bodies[a].bounds, bodies[b].bounds);
            if !region.is_empty() {
                pairs.push((a.min(b), a.max(b), region));
            }
        }
    }
    if pairs.is_empty() {
        return Vec::new();
    }
    // Triangles by body, so that each pair looks through its smaller body only.
    let mut start = vec![0usize; bodies.len() + 1];
    for &b in &topology.body_of_triangle {
        start[b as usize + 1] += 1;
    }
    for b in 0..bodies.len() {
        start[b + 1] += start[b];
    }
    let mut fill = start.clone();
    let mut by_body = vec![0u32; mesh.triangles.len()];
    for (t, &b) in topology.body_of_triangle.iter().enumerate() {
        by_body[fill[b as usize]] = t as u32;
        fill[b as usize] += 1;
    }
    let mut found: Vec<Meeting> = pairs
        .into_par_iter()
        .filter_map(|(a, b, region)| {
            let (few, many) = if bodies[a].triangles <= bodies[b].triangles { (a, b) } else { (b, a) };
            by_body[start[few]..start[few + 1]]
                .par_iter()
                .find_map_first(|&t| meets_body(mesh, topology, tree, t, many as u32, region))
                .map(|place| Meeting { bodies: [a as u32, b as u32], place })
        })
        .collect();
    found.sort_by_key(|m| m.bodies);
    found
}

fn common(a: Bounds, b: Bounds) -> Bounds {
    Bounds { min: a.min.max(b.min), max: a.max.min(b.max) }
}

/// A place near which triangle `t` meets body `other` within the region.
fn meets_body(mesh: &Mesh, topology: &Topology, tree: &Tree, t: u32, other: u32, region: Bounds) -> Option<Vec3> {
    let corners = mesh.corners(t as usize);
    let own = common(Bounds::of(corners), region);
    if own.is_empty() {
        return None;
    }
    let mut nearest: Option<(u32, Vec3)> = None;
    tree.each_in(own, |u, far| {
        let is_new = nearest.is_none_or(|(n, _)| u < n);
        if is_new && topology.body_of_triangle[u as usize] == other && triangles_meet(&corners, far) {
            let shared = common(Bounds::of(corners), Bounds::of(*far));
            nearest = Some((u, shared.centre()));
        }
    });
    nearest.map(|n| n.1)
}

/// True where the two triangles share a point: no axis separates them (Gottschalk, Lin & Manocha 1996). Triangles that
/// only touch meet, too.
pub(super) fn triangles_meet(a: &[Vec3; 3], b: &[Vec3; 3]) -> bool {
    let origin = a[0].as_dvec3();
    let a = a.map(|p| p.as_dvec3() - origin);
    let b = b.map(|p| p.as_dvec3() - origin);
    let sides = |t: &[DVec3; 3]| [t[1] - t[0], t[2] - t[1], t[0] - t[2]];
    let (sides_a, sides_b) = (sides(&a), sides(&b));
    let (normal_a, normal_b) = (sides_a[0].cross(sides_a[1]), sides_b[0].cross(sides_b[1]));
    let size = a.iter().chain(&b).map(|p| p.abs().max_element()).fold(0.0, f64::max);
    let apart = |axis: DVec3| {
        // Rounding of the products, far below what single precision can tell.
        let slack = 1e-12 * size * axis.abs().element_sum();
        let span = |t: &[DVec3; 3]| {
            let d = t.map(|p| p.dot(axis));
            (d[0].min(d[1]).min(d[2]), d[0].max(d[1]).max(d[2]))
        };
        let ((low_a, high_a), (low_b, high_b)) = (span(&a), span(&b));
        low_b > high_a + slack || low_a > high_b + slack
    };
    if apart(normal_a) || apart(normal_b) {
        return false;
    }
    for u in sides_a {
        for v in sides_b {
            if apart(u.cross(v)) {
                return false;
            }
        }
    }
    // In one plane the sides' crosses vanish; what may separate lies in the plane.
    let in_plane = |sides: [DVec3; 3], normal: DVec3| sides.iter().any(|&s| apart(s.cross(normal)));
    !in_plane(sides_a, normal_a) && !in_plane(sides_b, normal_b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn t(p: [[f32; 3]; 3]) -> [Vec3; 3] {
        p.map(Vec3::from_array)
    }

    #[test]
    fn triangles_that_share_a_point_meet_and_others_do_not() {
        let a = t([[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0]]);
        for (b, expected) in [
            // Through it, above it, touching with a corner, touching along a side, in its plane beside, inside, apart.
            (t([[1.0, 1.0, -1.0], [1.0, 1.0, 1.0], [3.0, 3.0, 0.5]]), true),
            (t([[1.0, 1.0, 0.5], [1.0, 2.0, 1.0], [2.0, 1.0, 0.5]]), false),
            (t([[1.0, 1.0, 0.0], [1.0, 2.0, 1.0], [2.0, 1.0, 1.0]]), true),
            (t([[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, -4.0, 2.0]]), true),
            (t([[3.0, 3.0, 0.0], [4.0, 3.0, 0.0], [3.0, 4.0, 0.0]]), false),
            (t([[1.0, 1.0, 0.0], [1.5, 1.0, 0.0], [1.0, 1.5, 0.0]]), true),
            (t([[2.0, 2.0, 0.0], [4.0, 3.0, 0.0], [3.0, 4.0, 0.0]]), true),
            (t([[5.0, -1.0, -1.0], [5.0, 1.0, -1.0], [5.0, 0.0, 1.0]]), false),
            (t([[2.5, 2.5, -1.0], [2.5, 2.5, 1.0], [9.0, 9.0, 0.0]]), false),
        ] {
            assert_eq!(triangles_meet(&a, &b), expected, "{b:?}");
            assert_eq!(triangles_meet(&b, &a), expected, "{b:?} the other way");
        }
    }
}
