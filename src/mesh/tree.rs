//! A tree of boxes over the triangles of a mesh: rays and nearest points.
//!
//! Four-wide nodes (four boxes side by side, tested together), built top-down with a binned surface-area heuristic
//! (Wald 2007). The tree keeps its own copy of the corners in leaf order and nothing else of the mesh, so it can
//! outlive it. The build runs in parallel and does not depend on the number of threads.

mod build;
mod facing;
mod nearest;
mod rays;

pub use facing::{Cone, Facing};
pub use nearest::{Feature, Nearest, nearest_on_triangle};
pub use rays::Hit;

use super::{Bounds, Mesh};
use glam::{Vec3, Vec4};

/// Triangles in a leaf, at most.
const LEAF: usize = 4;

/// Entries a traversal stack must hold: three for each level of the tree; see `build` for why there are no more levels.
const STACK: usize = 96;

/// Four child boxes; unused ones are empty boxes with `count` 0.
#[derive(Clone, Debug)]
struct Node {
    /// Lower bounds of the four children: all x, all y, all z.
    low: [Vec4; 3],
    /// Upper bounds likewise.
    high: [Vec4; 3],
    /// First triangle of a leaf, or the number of the child node.
    first: [u32; 4],
    /// Triangles in the leaf; 0 for an inner child.
    count: [u8; 4],
}

/// What hangs in a slot of a node.
pub(super) enum Child<'a> {
    /// Nothing.
    None,
    /// The corners of a few triangles.
    Leaf(&'a [[Vec3; 3]]),
    /// Another node.
    Node(usize),
}

/// A tree over the triangles of a mesh.
#[derive(Clone, Debug)]
pub struct Tree {
    nodes: Vec<Node>,
    /// Corners in leaf order.
    corners: Vec<[Vec3; 3]>,
    /// The mesh's number of each triangle in leaf order.
    numbers: Vec<u32>,
    bounds: Bounds,
}

impl Tree {
    /// The tree over the triangles of `mesh`. Triangles with corners that are not finite are never found.
    pub fn of(mesh: &Mesh) -> Tree {
        build::build(mesh)
    }

    /// The box round every triangle.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Number of triangles.
    pub fn len(&self) -> usize {
        self.numbers.len()
    }

    /// True where there is no triangle.
    pub fn is_empty(&self) -> bool {
        self.numbers.is_empty()
    }

    /// Number of nodes; node 0 is the root, children have higher numbers than their parents.
    pub(super) fn node_count(&self) -> usize {
        self.nodes.len()
    }

    /// What hangs in slot 0 to 3 of a node.
    pub(super) fn child(&self, node: usize, slot: usize) -> Child<'_> {
        let node = &self.nodes[node];
        let first = node.first[slot] as usize;
        match node.count[slot] {
            0 if node.first[slot] == Node::UNUSED => Child::None,
            0 => Child::Node(first),
            count => Child::Leaf(&self.corners[first..first + usize::from(count)]),
        }
    }

    /// Lower and upper corner of the box of a slot.
    pub(super) fn child_box(&self, node: usize, slot: usize) -> (Vec3, Vec3) {
        let node = &self.nodes[node];
        (
            Vec3::new(node.low[0][slot], node.low[1][slot], node.low[2][slot]),
            Vec3::new(node.high[0][slot], node.high[1][slot], node.high[2][slot]),
        )
    }

    /// Calls `visit` with the number and the corners of every triangle whose box meets `region`.
    pub fn each_in(&self, region: Bounds, mut visit: impl FnMut(u32, &[Vec3; 3])) {
        if self.nodes.is_empty() || region.is_empty() {
            return;
        }
        let mut stack = vec![0u32];
        while let Some(n) = stack.pop() {
            let node = &self.nodes[n as usize];
            for c in 0..4 {
                let low = Vec3::new(node.low[0][c], node.low[1][c], node.low[2][c]);
                let high = Vec3::new(node.high[0][c], node.high[1][c], node.high[2][c]);
                if node.first[c] == Node::UNUSED || !(low.cmple(region.max) & high.cmpge(region.min)).all() {
                    continue;
                }
                if node.count[c] == 0 {
                    stack.push(node.first[c]);
                    continue;
                }
                for i in node.first[c]..node.first[c] + u32::from(node.count[c]) {
                    let corners = &self.corners[i as usize];
                    let low = corners[0].min(corners[1]).min(corners[2]);
                    let high = corners[0].max(corners[1]).max(corners[2]);
                    if (low.cmple(region.max) & high.cmpge(region.min)).all() {
                        visit(self.numbers[i as usize], corners);
                    }
                }
            }
        }
    }
}
