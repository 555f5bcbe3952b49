//! The generalised winding number of any mesh, closed or not.
//!
//! It is the solid angle under which the surface is seen over 4π (Jacobson, Kavan & Sorkine-Hornung 2013): 1 inside a
//! closed body and 0 outside, and a smooth guess of that where the surface has holes. Far groups of triangles count as
//! a dipole and its first moment (Barill, Dickson, Schmidt, Levin & Jacobson 2018), near ones exactly.

use super::Mesh;
use super::tree::{Child, Tree};
use glam::{DMat3, DVec3, Vec3};
use std::f64::consts::PI;

/// A group of triangles is far where the distance to its middle is more than this many times its radius.
const FAR: f64 = 4.0;

/// What a group of triangles is from afar.
#[derive(Clone, Copy, Debug, Default)]
struct Moments {
    /// Sum of area times centroid over sum of area.
    middle: DVec3,
    area: f64,
    /// Sum of the area vectors.
    dipole: DVec3,
    /// Sum of (centroid − middle) ⊗ area vector: column j is the moment of the j-th component.
    first: DMat3,
    /// No point of the group is farther from the middle.
    radius: f64,
}

/// Winding numbers about a mesh.
#[derive(Clone, Debug)]
pub struct Winding {
    tree: Tree,
    /// By node of the tree and child.
    moments: Vec<[Moments; 4]>,
}

impl Winding {
    /// Prepares for `mesh`.
    pub fn of(mesh: &Mesh) -> Winding {
        let tree = Tree::of(mesh);
        let mut moments = vec![[Moments::default(); 4]; tree.node_count()];
        // Children have higher numbers than their parents.
        for node in (0..tree.node_count()).rev() {
            for slot in 0..4 {
                let (low, high) = tree.child_box(node, slot);
                let mut m = match tree.child(node, slot) {
                    Child::None => continue,
                    Child::Leaf(corners) => of_triangles(corners),
                    Child::Node(below) => together(&moments[below]),
                };
                let (low, high) = (low.as_dvec3(), high.as_dvec3());
                m.radius = (m.middle - low).abs().max((high - m.middle).abs()).length();
                moments[node][slot] = m;
            }
        }
        Winding { tree, moments }
    }

    /// The winding number at a point. On a surface it is between the values of both sides.
    pub fn at(&self, point: Vec3) -> f64 {
        if self.moments.is_empty() || !point.is_finite() {
            return 0.0;
        }
        let q = point.as_dvec3();
        let mut sum = 0.0;
        let mut stack = vec![0usize];
        while let Some(node) = stack.pop() {
            for (slot, m) in self.moments[node].iter().enumerate() {
                let r = m.middle - q;
                if m.area > 0.0 && r.length_squared() > (FAR * m.radius) * (FAR * m.radius) {
                    sum += far(m, r);
                    continue;
                }
                match self.tree.child(node, slot) {
                    Child::None => {}
                    Child::Leaf(corners) => {
                        sum += corners.iter().map(|c| solid_angle(c.map(|p| p.as_dvec3() - q))).sum::<f64>();
                    }
                    Child::Node(below) => stack.push(below),
                }
            }
        }
        sum / (4.0 * PI)
    }

    /// Whether everything within `radius` of `point` has a winding number of at least one half, or all of it less; none
    /// where a triangle is near or the number in the middle is close to one half.
    ///
    /// Where no triangle lies within one and a half times the radius, the number changes by less than the margin of 0.3
    /// over the ball: by up to 0.2 on the axis of an open disc of any size, by up to 0.12 beside the edge of a half plane.
    pub fn all_inside(&self, point: Vec3, radius: f32) -> Option<bool> {
        if self.tree.is_within(point, 1.5 * radius) {
            return None;
        }
        let middle = self.at(point);
        ((middle - 0.5).abs() > 0.3).then_some(middle > 0.5)
    }

    /// True where the winding number is at least one half.
    pub fn is_inside(&self, point: Vec3) -> bool {
        self.at(point) >= 0.5
    }
}

fn of_triangles(corners: &[[Vec3; 3]]) -> Moments {
    let mut m = Moments::default();
    let areas: Vec<(DVec3, DVec3)> = corners
        .iter()
        .map(|c| {
            let [a, b, c] = c.map(|p| p.as_dvec3());
            ((a + b + c) / 3.0, (b - a).cross(c - a) * 0.5)
        })
        .collect();
    for (centroid, vector) in &areas {
        let area = vector.length();
        m.middle += *centroid * area;
        m.area += area;
        m.dipole += *vector;
    }
    if m.area > 0.0 {
        m.middle /= m.area;
    } else if let Some(first) = areas.first() {
        m.middle = first.0;
    }
    for (centroid, vector) in &areas {
        m.first += outer(*centroid - m.middle, *vector);
    }
    m
}

fn together(parts: &[Moments; 4]) -> Moments {
    let mut m = Moments::default();
    for p in parts {
        m.middle += p.middle * p.area;
        m.area += p.area;
        m.dipole += p.dipole;
    }
    if m.area > 0.0 {
        m.middle /= m.area;
    } else {
        m.middle = parts[0].middle;
    }
    for p in parts.iter().filter(|p| p.area > 0.0) {
        m.first += p.first + outer(p.middle - m.middle, p.dipole);
    }
    m
}

/// u vᵀ.
fn outer(u: DVec3, v: DVec3) -> DMat3 {
    DMat3::from_cols(u * v.x, u * v.y, u * v.z)
}

/// Solid angle of a far group whose middle is at `r` from the point.
fn far(m: &Moments, r: DVec3) -> f64 {
    let d2 = r.length_squared();
    let inverse3 = 1.0 / (d2 * d2.sqrt());
    let first = m.first;
    let trace = first.x_axis.x + first.y_axis.y + first.z_axis.z;
    // ∂ᵢ (rⱼ/|r|³) = δᵢⱼ/|r|³ − 3 rᵢ rⱼ/|r|⁵, contracted with the first moment.
    m.dipole.dot(r) * inverse3 + (trace - 3.0 * r.dot(first * r) / d2) * inverse3
}

/// Signed solid angle of a triangle seen from the origin, positive from its back (Van Oosterom & Strackee 1983).
fn solid_angle([a, b, c]: [DVec3; 3]) -> f64 {
    let (la, lb, lc) = (a.length(), b.length(), c.length());
    let numerator = a.dot(b.cross(c));
    let denominator = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
    if numerator == 0.0 && denominator <= 0.0 { 0.0 } else { 2.0 * numerator.atan2(denominator) }
}
