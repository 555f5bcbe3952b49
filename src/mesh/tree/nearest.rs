//! The nearest point of the surface.

use super::facing::{Cone, Facing};
use super::{Node, STACK, Tree};
use glam::{DVec3, Vec3, Vec4};

/// Which part of its triangle a nearest point lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feature {
    /// Inside the triangle.
    Face,
    /// On the side from corner `0` to corner `0 + 1`.
    Edge(u8),
    /// On the corner.
    Vertex(u8),
}

/// The nearest point of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The point on the surface.
    pub point: Vec3,
    /// The mesh's number of its triangle; the lowest one where several are equally near.
    pub triangle: u32,
    /// Weights of the triangle's three corners.
    pub barycentric: Vec3,
    /// Distance, millimetres.
    pub distance: f32,
    /// What the point lies on.
    pub feature: Feature,
}

/// The point of a triangle nearest to `p` as weights of the corners, and what it lies on (Ericson, *Real-Time Collision
/// Detection*, 2005, section 5.1.5). A degenerate triangle counts as its longest side.
pub fn nearest_on_triangle(p: DVec3, [a, b, c]: [DVec3; 3]) -> (DVec3, Feature) {
    let (ab, ac, ap) = (b - a, c - a, p - a);
    let (d1, d2) = (ab.dot(ap), ac.dot(ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return (DVec3::X, Feature::Vertex(0));
    }
    let bp = p - b;
    let (d3, d4) = (ab.dot(bp), ac.dot(bp));
    if d3 >= 0.0 && d4 <= d3 {
        return (DVec3::Y, Feature::Vertex(1));
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 - d3 > 0.0 {
        let v = d1 / (d1 - d3);
        return (DVec3::new(1.0 - v, v, 0.0), Feature::Edge(0));
    }
    let cp = p - c;
    let (d5, d6) = (ab.dot(cp), ac.dot(cp));
    if d6 >= 0.0 && d5 <= d6 {
        return (DVec3::Z, Feature::Vertex(2));
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 - d6 > 0.0 {
        let w = d2 / (d2 - d6);
        return (DVec3::new(1.0 - w, 0.0, w), Feature::Edge(2));
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 && (d4 - d3) + (d5 - d6) > 0.0 {
        let w = (d4 - d3) / ((d4 - d3) + (d5 - d6));
        return (DVec3::new(0.0, 1.0 - w, w), Feature::Edge(1));
    }
    // va + vb + vc is the square of twice the area; without area the three are noise.
    let sum = va + vb + vc;
    if sum > 1e-14 * ab.length_squared() * ac.length_squared() {
        let (v, w) = (vb / sum, vc / sum);
        return (DVec3::new(1.0 - v - w, v, w), Feature::Face);
    }
    let along = |from: DVec3, to: DVec3| {
        let d = to - from;
        let share = (p - from).dot(d) / d.length_squared();
        if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 }
    };
    let (s, t, u) = (along(a, b), along(b, c), along(c, a));
    [
        (DVec3::new(1.0 - s, s, 0.0), Feature::Edge(0)),
        (DVec3::new(0.0, 1.0 - t, t), Feature::Edge(1)),
        (DVec3::new(u, 0.0, 1.0 - u), Feature::Edge(2)),
    ]
    .into_iter()
    .min_by(|x, y| {
        let distance = |w: DVec3| (a * w.x + b * w.y + c * w.z).distance_squared(p);
        distance(x.0).total_cmp(&distance(y.0))
    })
    .unwrap_or((DVec3::X, Feature::Vertex(0)))
}

/// Squared distance from the origin to a triangle given relative to the query point, in single precision.
#[inline]
fn distance_squared([a, b, c]: [Vec3; 3]) -> f32 {
    let (ab, ac) = (b - a, c - a);
    let (d1, d2) = (-ab.dot(a), -ac.dot(a));
    if d1 <= 0.0 && d2 <= 0.0 {
        return a.length_squared();
    }
    let (d3, d4) = (-ab.dot(b), -ac.dot(b));
    if d3 >= 0.0 && d4 <= d3 {
        return b.length_squared();
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 - d3 > 0.0 {
        return (a + ab * (d1 / (d1 - d3))).length_squared();
    }
    let (d5, d6) = (-ab.dot(c), -ac.dot(c));
    if d6 >= 0.0 && d5 <= d6 {
        return c.length_squared();
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 - d6 > 0.0 {
        return (a + ac * (d2 / (d2 - d6))).length_squared();
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 && (d4 - d3) + (d5 - d6) > 0.0 {
        return (b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6)))).length_squared();
    }
    let sum = va + vb + vc;
    if sum > 1e-6 * ab.length_squared() * ac.length_squared() {
        return (a + ab * (vb / sum) + ac * (vc / sum)).length_squared();
    }
    // Too thin for single precision.
    let corners = [a, b, c].map(|p| p.as_dvec3());
    let (w, _) = nearest_on_triangle(DVec3::ZERO, corners);
    (corners[0] * w.x + corners[1] * w.y + corners[2] * w.z).length_squared() as f32
}

impl Node {
    /// Squared distances from a point to the four boxes.
    #[inline]
    fn squared_distances(&self, point: Vec3) -> Vec4 {
        let mut squared = Vec4::ZERO;
        for (axis, p) in point.to_array().into_iter().enumerate() {
            let p = Vec4::splat(p);
            let d = (self.low[axis] - p).max(p - self.high[axis]).max(Vec4::ZERO);
            squared += d * d;
        }
        squared
    }
}

impl Tree {
    /// The point of the surface nearest to `point`; `None` for an empty tree.
    pub fn nearest(&self, point: Vec3) -> Option<Nearest> {
        self.nearest_within(point, f32::INFINITY)
    }

    /// The point of the surface nearest to `point`, `None` where nothing is within `limit`.
    pub fn nearest_within(&self, point: Vec3, limit: f32) -> Option<Nearest> {
        self.search(point, limit, |_| 0b1111, |_, _| true)
    }

    /// True where a triangle comes within `limit` of `point`; a search that ends with the first one found.
    pub fn is_within(&self, point: Vec3, limit: f32) -> bool {
        if self.nodes.is_empty() || !point.is_finite() {
            return false;
        }
        let reach = limit * limit;
        let mut stack = [0u32; STACK];
        let mut size = 1;
        while size > 0 {
            size -= 1;
            let node = &self.nodes[stack[size] as usize];
            let mut mask = node.squared_distances(point).cmple(Vec4::splat(reach)).bitmask();
            while mask != 0 {
                let c = mask.trailing_zeros() as usize;
                mask &= mask - 1;
                let first = node.first[c];
                if node.count[c] == 0 {
                    if first != Node::UNUSED {
                        stack[size] = first;
                        size += 1;
                    }
                    continue;
                }
                let corners = &self.corners[first as usize..first as usize + usize::from(node.count[c])];
                if corners.iter().any(|corners| distance_squared(corners.map(|q| q - point)) <= reach) {
                    return true;
                }
            }
        }
        false
    }

    /// The nearest point on the triangles whose normal lies within `cone`, triangle `but` left out; `None` where there is
    /// none within `limit`. `facing` must be [`Facing::of`] this tree.
    pub fn nearest_facing(&self, point: Vec3, limit: f32, facing: &Facing, cone: Cone, but: u32) -> Option<Nearest> {
        let slots = |node: u32| facing.slots(node, cone);
        self.search(point, limit, slots, |t, corners| t != but && cone.holds_normal_of(corners))
    }

    /// The point nearest to `point` on the triangles whose normal `accept` says yes to, `None` where there is none within
    /// `limit`.
    pub fn nearest_where(&self, point: Vec3, limit: f32, accept: impl Fn(Vec3) -> bool) -> Option<Nearest> {
        let normal = |[a, b, c]: &[Vec3; 3]| (*b - *a).cross(*c - *a).normalize_or_zero();
        self.search(point, limit, |_| 0b1111, |_, corners| accept(normal(corners)))
    }

    /// The nearest point on the triangles that `accept` says yes to; it is given number and corners. Of each node only
    /// the slots in the mask that `slots` gives are looked into.
    #[inline]
    fn search(
        &self,
        point: Vec3,
        limit: f32,
        slots: impl Fn(u32) -> u32,
        accept: impl Fn(u32, &[Vec3; 3]) -> bool,
    ) -> Option<Nearest> {
        if self.nodes.is_empty() || !point.is_finite() {
            return None;
        }
        let mut best = limit * limit;
        let mut found: Option<usize> = None;
        let mut stack = [(0u32, 0.0f32); STACK];
        let mut size = 0;
        let mut current = 0u32;
        loop {
            let node = &self.nodes[current as usize];
            let squared = node.squared_distances(point);
            let mut mask = squared.cmple(Vec4::splat(best)).bitmask();
            if mask != 0 {
                mask &= slots(current);
            }
            let first_new = size;
            while mask != 0 {
                let c = mask.trailing_zeros() as usize;
                mask &= mask - 1;
                if node.count[c] == 0 {
                    if node.first[c] == u32::MAX {
                        continue;
                    }
                    let d = squared[c];
                    let mut at = size;
                    while at > first_new && stack[at - 1].1 < d {
                        stack[at] = stack[at - 1];
                        at -= 1;
                    }
                    stack[at] = (node.first[c], d);
                    size += 1;
                    continue;
                }
                let first = node.first[c] as usize;
                for i in first..first + node.count[c] as usize {
                    let d = distance_squared(self.corners[i].map(|q| q - point));
                    let nearer = d < best || (d == best && found.is_none_or(|f| self.numbers[i] < self.numbers[f]));
                    if nearer && accept(self.numbers[i], &self.corners[i]) {
                        best = d;
                        found = Some(i);
                    }
                }
            }
            loop {
                if size == 0 {
                    return found.map(|i| self.nearest_of(point, i));
                }
                size -= 1;
                if stack[size].1 <= best {
                    break;
                }
            }
            current = stack[size].0;
        }
    }

    fn nearest_of(&self, point: Vec3, i: usize) -> Nearest {
        let corners = self.corners[i].map(|p| p.as_dvec3());
        let (weights, feature) = nearest_on_triangle(point.as_dvec3(), corners);
        let on = corners[0] * weights.x + corners[1] * weights.y + corners[2] * weights.z;
        Nearest {
            point: on.as_vec3(),
            triangle: self.numbers[i],
            barycentric: weights.as_vec3(),
            distance: on.distance(point.as_dvec3()) as f32,
            feature,
        }
    }
}
