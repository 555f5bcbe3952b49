//! Rays against the tree.
//!
//! The triangle test is the watertight one of Woop, Benthin & Wald (2013), Journal of Computer Graphics Techniques
//! 2(1): a ray that passes an edge shared by two triangles hits at least one of them. Boxes are widened by what the
//! test may round, so that the tree never loses such a hit.

use super::{Node, STACK, Tree};
use glam::{Vec3, Vec4};

/// Where a ray meets a triangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// Distance in lengths of the ray's direction.
    pub t: f32,
    /// The mesh's number of the triangle.
    pub triangle: u32,
    /// Weights of the triangle's three corners; their sum is 1.
    pub barycentric: Vec3,
    /// True where the ray comes in against the triangle's normal, from the outside.
    pub entering: bool,
}

/// A ray made ready for box and triangle tests.
struct Prepared {
    origin: Vec3,
    t_max: f32,
    /// Axes in the order in which the ray is sheared: the direction is longest along the last.
    axes: [usize; 3],
    shear: Vec3,
    inverse: [Vec4; 3],
    /// Origin with the rounding margin taken off for the plane that is met first and added for the other.
    near_origin: [Vec4; 3],
    far_origin: [Vec4; 3],
    /// True where the direction is negative along the axis.
    backwards: [bool; 3],
}

/// Parts of distance and position that the triangle test may be off by: a few roundings of f32.
const ROUNDING: f32 = 6e-7;

impl Prepared {
    fn new(tree: &Tree, origin: Vec3, direction: Vec3, t_max: f32) -> Option<Prepared> {
        if !(origin.is_finite() && direction.is_finite() && t_max >= 0.0) || direction == Vec3::ZERO {
            return None;
        }
        let size = direction.abs();
        let kz = if size.x > size.y && size.x > size.z {
            0
        } else if size.y > size.z {
            1
        } else {
            2
        };
        let (mut kx, mut ky) = ((kz + 1) % 3, (kz + 2) % 3);
        if direction[kz] < 0.0 {
            std::mem::swap(&mut kx, &mut ky);
        }
        let shear = Vec3::new(direction[kx] / direction[kz], direction[ky] / direction[kz], 1.0 / direction[kz]);
        let reach = (tree.bounds.min - origin).abs().max((tree.bounds.max - origin).abs()).max_element();
        let margin = reach * ROUNDING;
        let mut ray = Prepared {
            origin,
            t_max,
            axes: [kx, ky, kz],
            shear,
            inverse: [Vec4::ZERO; 3],
            near_origin: [Vec4::ZERO; 3],
            far_origin: [Vec4::ZERO; 3],
            backwards: [false; 3],
        };
        for axis in 0..3 {
            // A direction of nothing along an axis is taken as next to nothing: the planes are then met very far off,
            // on the right side, and no 0·∞ arises.
            let d = direction[axis];
            let tiny = size[kz] * 1e-18;
            let d = if d.abs() < tiny { tiny.copysign(d) } else { d };
            let backwards = d < 0.0;
            ray.backwards[axis] = backwards;
            ray.inverse[axis] = Vec4::splat(1.0 / d);
            let margin = margin.copysign(d);
            ray.near_origin[axis] = Vec4::splat(origin[axis] + margin);
            ray.far_origin[axis] = Vec4::splat(origin[axis] - margin);
        }
        Some(ray)
    }

    /// Distances at which the four boxes are entered; children that are missed have the bit in the mask unset.
    #[inline]
    fn enter(&self, node: &Node, t_max: f32) -> (Vec4, u32) {
        let mut enter = Vec4::ZERO;
        let mut leave = Vec4::splat(t_max);
        for axis in 0..3 {
            let (near, far) = if self.backwards[axis] {
                (node.high[axis], node.low[axis])
            } else {
                (node.low[axis], node.high[axis])
            };
            enter = enter.max((near - self.near_origin[axis]) * self.inverse[axis]);
            leave = leave.min((far - self.far_origin[axis]) * self.inverse[axis]);
        }
        (enter, enter.cmple(leave * (1.0 + ROUNDING)).bitmask())
    }

    /// The watertight test.
    #[inline]
    fn triangle(&self, corners: &[Vec3; 3], t_max: f32) -> Option<(f32, Vec3, bool)> {
        let [kx, ky, kz] = self.axes;
        let [a, b, c] = corners.map(|p| {
            let p = p - self.origin;
            (p[kx] - self.shear.x * p[kz], p[ky] - self.shear.y * p[kz], p[kz])
        });
        let mut u = c.0 * b.1 - c.1 * b.0;
        let mut v = a.0 * c.1 - a.1 * c.0;
        let mut w = b.0 * a.1 - b.1 * a.0;
        if u == 0.0 || v == 0.0 || w == 0.0 {
            let [a, b, c] = [a, b, c].map(|p| (f64::from(p.0), f64::from(p.1)));
            u = (c.0 * b.1 - c.1 * b.0) as f32;
            v = (a.0 * c.1 - a.1 * c.0) as f32;
            w = (b.0 * a.1 - b.1 * a.0) as f32;
        }
        if (u < 0.0 || v < 0.0 || w < 0.0) && (u > 0.0 || v > 0.0 || w > 0.0) {
            return None;
        }
        let det = u + v + w;
        if det == 0.0 {
            return None;
        }
        let weights = Vec3::new(u, v, w) / det;
        let t = self.shear.z * (weights.x * a.2 + weights.y * b.2 + weights.z * c.2);
        // The sheared triangle is seen along the ray: a positive area is one that is seen from its front.
        (t >= 0.0 && t <= t_max).then_some((t, weights, det > 0.0))
    }
}

impl Tree {
    /// The nearest hit with 0 ≤ t ≤ `t_max`, t in lengths of `direction`. A hit at the origin itself counts.
    pub fn first_hit(&self, origin: Vec3, direction: Vec3, t_max: f32) -> Option<Hit> {
        self.first_hit_where(origin, direction, t_max, |_| true)
    }

    /// The nearest hit that `accept` says yes to.
    #[inline]
    pub fn first_hit_where(
        &self,
        origin: Vec3,
        direction: Vec3,
        t_max: f32,
        accept: impl Fn(&Hit) -> bool,
    ) -> Option<Hit> {
        let mut best: Option<Hit> = None;
        self.traverse(origin, direction, t_max, |hit| {
            let nearer = match &best {
                None => true,
                // Of equally near ones the lowest number, whatever the order of the tree.
                Some(b) => hit.t < b.t || (hit.t == b.t && hit.triangle < b.triangle),
            };
            if nearer && accept(&hit) {
                best = Some(hit);
                Some(hit.t)
            } else {
                Some(f32::INFINITY)
            }
        });
        best
    }

    /// True where anything lies between t = 0 and `t_max`.
    pub fn any_hit(&self, origin: Vec3, direction: Vec3, t_max: f32) -> bool {
        let mut found = false;
        self.traverse(origin, direction, t_max, |_| {
            found = true;
            None
        });
        found
    }

    /// Every hit with 0 ≤ t ≤ `t_max` into `hits` (cleared first), by distance, then by triangle. A ray through an edge
    /// or a vertex hits each of the triangles there.
    pub fn all_hits(&self, origin: Vec3, direction: Vec3, t_max: f32, hits: &mut Vec<Hit>) {
        hits.clear();
        self.traverse(origin, direction, t_max, |hit| {
            hits.push(hit);
            Some(f32::INFINITY)
        });
        hits.sort_unstable_by(|a, b| a.t.total_cmp(&b.t).then(a.triangle.cmp(&b.triangle)));
    }

    /// Calls `visit` with hits, nearer boxes first. It returns the distance beyond which nothing is wanted any more, or
    /// `None` to stop.
    #[inline]
    fn traverse(&self, origin: Vec3, direction: Vec3, t_max: f32, mut visit: impl FnMut(Hit) -> Option<f32>) {
        let Some(ray) = Prepared::new(self, origin, direction, t_max) else { return };
        if self.nodes.is_empty() {
            return;
        }
        let mut t_max = ray.t_max;
        let mut stack = [(0u32, 0.0f32); STACK];
        let mut size = 0;
        let mut current = 0u32;
        loop {
            let node = &self.nodes[current as usize];
            let (enter, mut mask) = ray.enter(node, t_max);
            let first_new = size;
            while mask != 0 {
                let c = mask.trailing_zeros() as usize;
                mask &= mask - 1;
                if node.count[c] == 0 {
                    // Farther ones deeper in the stack.
                    let t = enter[c];
                    let mut at = size;
                    while at > first_new && stack[at - 1].1 < t {
                        stack[at] = stack[at - 1];
                        at -= 1;
                    }
                    stack[at] = (node.first[c], t);
                    size += 1;
                    continue;
                }
                let first = node.first[c] as usize;
                for i in first..first + node.count[c] as usize {
                    if let Some((t, barycentric, entering)) = ray.triangle(&self.corners[i], t_max) {
                        let hit = Hit { t, triangle: self.numbers[i], barycentric, entering };
                        match visit(hit) {
                            Some(limit) => t_max = t_max.min(limit),
                            None => return,
                        }
                    }
                }
            }
            loop {
                if size == 0 {
                    return;
                }
                size -= 1;
                if stack[size].1 <= t_max * (1.0 + ROUNDING) {
                    break;
                }
            }
            current = stack[size].0;
        }
    }
}
