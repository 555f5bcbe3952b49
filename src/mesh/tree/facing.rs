//! Which way the triangles of a tree face, box by box, so that a search for walls that face one way passes over whole
//! groups of others.

use super::{Child, Tree};
use glam::{Vec3, Vec4};
use rayon::prelude::*;
use std::f32::consts::PI;

/// All directions within an angle of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    /// Its middle, a unit vector.
    pub axis: Vec3,
    /// Cosine of the angle from the middle to the rim.
    pub cos: f32,
}

impl Cone {
    /// True where the normal of a triangle lies inside; a triangle without area has none.
    #[inline]
    pub fn holds_normal_of(&self, [a, b, c]: &[Vec3; 3]) -> bool {
        let n = (*b - *a).cross(*c - *a);
        n.dot(self.axis) > self.cos * n.length()
    }
}

/// A cone round the normals under each slot of each node of a tree.
#[derive(Clone, Debug)]
pub struct Facing {
    nodes: Vec<Cones>,
}

/// The cones of four slots, side by side.
#[derive(Clone, Copy, Debug)]
struct Cones {
    axis: [Vec4; 3],
    /// Cosine and sine of the half angle.
    cos: Vec4,
    sin: Vec4,
}

/// Widens every cone by more than rounding, radians.
const SLACK: f32 = 1e-3;

/// Normals within `angle` of `axis`; none where `angle` is negative.
#[derive(Clone, Copy, Debug)]
struct Spread {
    axis: Vec3,
    angle: f32,
}

impl Spread {
    const NONE: Spread = Spread { axis: Vec3::Z, angle: -1.0 };

    /// Round the normals of a few triangles.
    fn of(corners: &[[Vec3; 3]]) -> Spread {
        let normals = || {
            let normal = |[a, b, c]: &[Vec3; 3]| (*b - *a).cross(*c - *a).try_normalize();
            corners.iter().filter_map(normal).map(|axis| Spread { axis, angle: 0.0 })
        };
        Spread::round(normals)
    }

    /// Round several spreads, about the mean of their axes.
    fn round<I: Iterator<Item = Spread>>(parts: impl Fn() -> I) -> Spread {
        let filled = || parts().filter(|p| p.angle >= 0.0);
        let Some(first) = filled().next() else { return Spread::NONE };
        let axis = filled().map(|p| p.axis).sum::<Vec3>().try_normalize().unwrap_or(first.axis);
        let reach = |p: Spread| axis.cross(p.axis).length().atan2(axis.dot(p.axis)) + p.angle;
        Spread { axis, angle: filled().map(reach).fold(0.0, f32::max) }
    }
}

impl Facing {
    /// The cones of `tree`.
    pub fn of(tree: &Tree) -> Facing {
        let leaf = |node: usize, slot: usize| match tree.child(node, slot) {
            Child::Leaf(corners) => Spread::of(corners),
            _ => Spread::NONE,
        };
        let mut spreads: Vec<[Spread; 4]> = (0..tree.node_count())
            .into_par_iter()
            .with_min_len(1024)
            .map(|node| [0, 1, 2, 3].map(|slot| leaf(node, slot)))
            .collect();
        // Children have higher numbers than their parents.
        for node in (0..spreads.len()).rev() {
            for slot in 0..4 {
                if let Child::Node(below) = tree.child(node, slot) {
                    let parts = spreads[below];
                    spreads[node][slot] = Spread::round(|| parts.into_iter());
                }
            }
        }
        let nodes = spreads
            .into_par_iter()
            .with_min_len(1024)
            .map(|slots| {
                let turn = slots.map(|s| if s.angle < 0.0 { 0.0 } else { (s.angle + SLACK).min(PI) });
                Cones {
                    axis: [0, 1, 2].map(|k| Vec4::from_array(slots.map(|s| s.axis[k]))),
                    cos: Vec4::from_array(turn.map(f32::cos)),
                    sin: Vec4::from_array(turn.map(f32::sin)),
                }
            })
            .collect();
        Facing { nodes }
    }

    /// The slots of `node` under which a normal may lie within `cone`, as a mask; never one too few.
    #[inline]
    pub(super) fn slots(&self, node: u32, cone: Cone) -> u32 {
        let n = &self.nodes[node as usize];
        let sin = (1.0 - cone.cos * cone.cos).max(0.0).sqrt();
        let dot = n.axis[0] * cone.axis.x + n.axis[1] * cone.axis.y + n.axis[2] * cone.axis.z;
        // The two cones meet where their axes are nearer than both angles together; wider than half a turn they always
        // meet.
        let rim = n.cos * cone.cos - n.sin * sin;
        let meet = dot.cmpge(rim - Vec4::splat(1e-5)) | n.cos.cmple(Vec4::splat(1e-4 - cone.cos));
        meet.bitmask()
    }
}
