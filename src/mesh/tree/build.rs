//! Building the tree.

use super::{LEAF, Node, Tree};
use crate::mesh::{Bounds, Mesh};
use glam::{Vec3, Vec4};
use rayon::prelude::*;

/// Boxes binned along the longest axis of the centres.
const BINS: usize = 16;
/// Subtrees with fewer triangles are built by one task.
const TASK: usize = 1 << 13;
/// From this level on nodes are split into equal counts, so that the depth is bounded: 16 levels and at most 12 more
/// that quarter what is left of 2^26 triangles, three stack entries each.
const EVEN_FROM: usize = 16;

/// The box of one triangle.
#[derive(Clone, Copy)]
struct Item {
    low: Vec3,
    high: Vec3,
    triangle: u32,
}

impl Item {
    /// Twice the centre of the box.
    #[inline]
    fn middle2(&self) -> Vec3 {
        self.low + self.high
    }
}

/// A subtree: its root is node 0, child numbers count from its own start, leaves from its own first item.
struct Subtree {
    nodes: Vec<Node>,
}

/// What hangs below one slot of a node that was built by several tasks.
enum Branch {
    Leaf,
    Built(Subtree),
    Node(Box<[Part]>),
}

struct Part {
    bounds: Bounds,
    first: usize,
    count: usize,
    branch: Branch,
}

pub(super) fn build(mesh: &Mesh) -> Tree {
    let mut items: Vec<Item> = (0..mesh.triangles.len())
        .into_par_iter()
        .map(|t| {
            let [a, b, c] = mesh.corners(t);
            Item { low: a.min(b).min(c), high: a.max(b).max(c), triangle: t as u32 }
        })
        .filter(|i| i.low.is_finite() && i.high.is_finite())
        .collect();
    if items.is_empty() {
        return Tree { nodes: Vec::new(), corners: Vec::new(), numbers: Vec::new(), bounds: Bounds::EMPTY };
    }
    let bounds = bounds_of(&items);
    let parts = split_node(&mut items, 0, 0);
    let mut nodes = Vec::new();
    flatten(&parts, &mut nodes);
    let numbers: Vec<u32> = items.par_iter().map(|i| i.triangle).collect();
    drop(items);
    let corners = numbers.par_iter().map(|&t| mesh.corners(t as usize)).collect();
    Tree { nodes, corners, numbers, bounds }
}

/// Splits `items`, which start at number `first`, into the up to four parts of one node and builds below them.
fn split_node(items: &mut [Item], first: usize, level: usize) -> Box<[Part]> {
    let mut pieces = quarter(items, level);
    let mut at = first;
    let mut jobs = Vec::with_capacity(4);
    for piece in pieces.drain(..) {
        let start = at;
        at += piece.len();
        jobs.push((start, piece));
    }
    let job = |(first, piece): (usize, &mut [Item])| {
        let bounds = bounds_of(piece);
        let count = piece.len();
        let branch = if count <= LEAF {
            Branch::Leaf
        } else if count <= TASK {
            let mut nodes = Vec::with_capacity(count / 2);
            fill(piece, first, level + 1, &mut nodes);
            Branch::Built(Subtree { nodes })
        } else {
            Branch::Node(split_node(piece, first, level + 1))
        };
        Part { bounds, first, count, branch }
    };
    if items_in(&jobs) > TASK {
        jobs.into_par_iter().map(job).collect::<Vec<_>>().into_boxed_slice()
    } else {
        jobs.into_iter().map(job).collect()
    }
}

fn items_in(jobs: &[(usize, &mut [Item])]) -> usize {
    jobs.iter().map(|j| j.1.len()).sum()
}

/// Appends the nodes of `parts`, root first.
fn flatten(parts: &[Part], nodes: &mut Vec<Node>) {
    let at = nodes.len();
    nodes.push(Node::empty());
    for (slot, part) in parts.iter().enumerate() {
        nodes[at].set_box(slot, part.bounds);
        match &part.branch {
            Branch::Leaf => nodes[at].set_leaf(slot, part.first, part.count),
            Branch::Built(subtree) => {
                let shift = nodes.len() as u32;
                nodes[at].first[slot] = shift;
                nodes.extend(subtree.nodes.iter().cloned().map(|mut n| {
                    for c in 0..4 {
                        if n.count[c] == 0 && n.first[c] != Node::UNUSED {
                            n.first[c] += shift;
                        }
                    }
                    n
                }));
            }
            Branch::Node(parts) => {
                nodes[at].first[slot] = nodes.len() as u32;
                flatten(parts, nodes);
            }
        }
    }
}

/// Builds the subtree over `items` into `nodes` and returns the number of its root.
fn fill(items: &mut [Item], first: usize, level: usize, nodes: &mut Vec<Node>) -> u32 {
    let at = nodes.len();
    nodes.push(Node::empty());
    let mut start = first;
    for (slot, piece) in quarter(items, level).into_iter().enumerate() {
        nodes[at].set_box(slot, bounds_of(piece));
        if piece.len() <= LEAF {
            nodes[at].set_leaf(slot, start, piece.len());
        } else {
            let length = piece.len();
            let child = fill(piece, start, level + 1, nodes);
            nodes[at].first[slot] = child;
            start += length;
            continue;
        }
        start += piece.len();
    }
    at as u32
}

impl Node {
    /// `first` of a slot without a child. Its box is empty, so that it is never entered.
    pub(super) const UNUSED: u32 = u32::MAX;

    fn empty() -> Node {
        Node { low: [Vec4::INFINITY; 3], high: [Vec4::NEG_INFINITY; 3], first: [Node::UNUSED; 4], count: [0; 4] }
    }

    fn set_box(&mut self, slot: usize, bounds: Bounds) {
        for axis in 0..3 {
            self.low[axis][slot] = bounds.min[axis];
            self.high[axis][slot] = bounds.max[axis];
        }
    }

    fn set_leaf(&mut self, slot: usize, first: usize, count: usize) {
        self.first[slot] = first as u32;
        self.count[slot] = count as u8;
    }
}

fn bounds_of(items: &[Item]) -> Bounds {
    let grow = |b: Bounds, i: &Item| Bounds { min: b.min.min(i.low), max: b.max.max(i.high) };
    if items.len() > 4 * TASK {
        items
            .par_chunks(TASK)
            .map(|chunk| chunk.iter().fold(Bounds::EMPTY, grow))
            .reduce(|| Bounds::EMPTY, Bounds::union)
    } else {
        items.iter().fold(Bounds::EMPTY, grow)
    }
}

/// Splits in two, then the larger pieces again, until there are four or nothing is left to split.
fn quarter(items: &mut [Item], level: usize) -> Vec<&mut [Item]> {
    let mut pieces: Vec<(f32, &mut [Item])> = Vec::with_capacity(4);
    let weight = |items: &[Item]| {
        if items.len() <= LEAF { -1.0 } else { half_area(bounds_of(items)) * items.len() as f32 }
    };
    let w = weight(items);
    pieces.push((w, items));
    while pieces.len() < 4 {
        let mut largest = 0;
        for i in 1..pieces.len() {
            let heavier = if level >= EVEN_FROM {
                pieces[i].1.len() > pieces[largest].1.len()
            } else {
                pieces[i].0 > pieces[largest].0
            };
            if heavier {
                largest = i;
            }
        }
        if pieces[largest].1.len() <= LEAF {
            break;
        }
        let (_, piece) = pieces.remove(largest);
        let middle = if level >= EVEN_FROM { even_split(piece) } else { binned_split(piece) };
        let (left, right) = piece.split_at_mut(middle);
        pieces.insert(largest, (weight(right), right));
        pieces.insert(largest, (weight(left), left));
    }
    pieces.into_iter().map(|p| p.1).collect()
}

#[inline]
fn half_area(b: Bounds) -> f32 {
    let s = b.size();
    s.x * s.y + s.y * s.z + s.z * s.x
}

/// Orders the items so that the two halves lie apart along the longest axis of the centres; returns the half count.
fn even_split(items: &mut [Item]) -> usize {
    let centres = centre_bounds(items);
    let axis = longest_axis(centres);
    let middle = items.len() / 2;
    items.select_nth_unstable_by(middle, |a, b| {
        a.middle2()[axis].total_cmp(&b.middle2()[axis]).then(a.triangle.cmp(&b.triangle))
    });
    middle
}

fn longest_axis(b: Bounds) -> usize {
    let s = b.size();
    if s.x >= s.y && s.x >= s.z {
        0
    } else if s.y >= s.z {
        1
    } else {
        2
    }
}

fn centre_bounds(items: &[Item]) -> Bounds {
    let of = |items: &[Item]| Bounds::of(items.iter().map(Item::middle2));
    if items.len() > 4 * TASK {
        items.par_chunks(TASK).map(of).reduce(|| Bounds::EMPTY, Bounds::union)
    } else {
        of(items)
    }
}

#[derive(Clone, Copy)]
struct Bin {
    bounds: Bounds,
    count: usize,
}

/// Orders the items so that the surface-area cost of the two parts is least; returns the count of the first part.
fn binned_split(items: &mut [Item]) -> usize {
    let centres = centre_bounds(items);
    let axis = longest_axis(centres);
    let (start, length) = (centres.min[axis], centres.size()[axis]);
    // Also where the length is so small or so large that the scale would not be a number.
    let scale = BINS as f32 / length;
    if !(scale.is_finite() && scale > 0.0) {
        return even_split(items);
    }
    let bin_of = |i: &Item| (((i.middle2()[axis] - start) * scale) as usize).min(BINS - 1);
    let fill = |items: &[Item]| {
        let mut bins = [Bin { bounds: Bounds::EMPTY, count: 0 }; BINS];
        for i in items {
            let bin = &mut bins[bin_of(i)];
            bin.count += 1;
            bin.bounds.min = bin.bounds.min.min(i.low);
            bin.bounds.max = bin.bounds.max.max(i.high);
        }
        bins
    };
    let merge = |mut a: [Bin; BINS], b: [Bin; BINS]| {
        for (a, b) in a.iter_mut().zip(&b) {
            a.count += b.count;
            a.bounds = a.bounds.union(b.bounds);
        }
        a
    };
    let bins = if items.len() > 4 * TASK {
        items.par_chunks(TASK).map(fill).reduce(|| [Bin { bounds: Bounds::EMPTY, count: 0 }; BINS], merge)
    } else {
        fill(items)
    };
    // Leaves hold up to LEAF triangles, so a part costs its area times its number of leaves.
    let leaves = |count: usize| count.div_ceil(LEAF) as f32;
    let mut after = [0.0f32; BINS];
    let mut tail = Bin { bounds: Bounds::EMPTY, count: 0 };
    for b in (1..BINS).rev() {
        tail.count += bins[b].count;
        tail.bounds = tail.bounds.union(bins[b].bounds);
        after[b] = if tail.count == 0 { f32::INFINITY } else { half_area(tail.bounds) * leaves(tail.count) };
    }
    let mut head = Bin { bounds: Bounds::EMPTY, count: 0 };
    let (mut best, mut best_cost) = (0, f32::INFINITY);
    for b in 0..BINS - 1 {
        head.count += bins[b].count;
        head.bounds = head.bounds.union(bins[b].bounds);
        if head.count == 0 {
            continue;
        }
        let cost = half_area(head.bounds) * leaves(head.count) + after[b + 1];
        if cost < best_cost {
            (best, best_cost) = (b + 1, cost);
        }
    }
    if best == 0 {
        return even_split(items);
    }
    partition(items, |i| bin_of(i) < best)
}

/// Brings the items for which `first` holds to the front; returns how many there are.
fn partition(items: &mut [Item], first: impl Fn(&Item) -> bool) -> usize {
    let (mut i, mut j) = (0, items.len());
    loop {
        while i < j && first(&items[i]) {
            i += 1;
        }
        while i < j && !first(&items[j - 1]) {
            j -= 1;
        }
        if i >= j {
            return i;
        }
        items.swap(i, j - 1);
        i += 1;
        j -= 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mesh::Mesh;
    use crate::mesh::tree::STACK;

    fn depth(nodes: &[Node], n: u32) -> usize {
        let node = &nodes[n as usize];
        1 + (0..4)
            .filter(|&c| node.count[c] == 0 && node.first[c] != Node::UNUSED)
            .map(|c| depth(nodes, node.first[c]))
            .max()
            .unwrap_or(0)
    }

    /// Sizes that double from one triangle to the next would make a chain of a tree that follows cost alone.
    #[test]
    fn depth_stays_within_the_stack() {
        let mut mesh = Mesh::default();
        for i in 0..3000 {
            let x = 1.01f32.powi(i) * 1e-5;
            let base = mesh.positions.len() as u32;
            mesh.positions.extend([Vec3::ZERO, Vec3::new(x, 0.0, 0.0), Vec3::new(0.0, x, x)]);
            mesh.triangles.push([base, base + 1, base + 2]);
        }
        let tree = build(&mesh);
        assert!(3 * depth(&tree.nodes, 0) < STACK);
        let mut seen = tree.numbers.clone();
        seen.sort_unstable();
        assert_eq!(seen, (0..3000).collect::<Vec<u32>>());
    }

    #[test]
    fn equal_triangles_are_split_by_number() {
        let mut mesh = Mesh { positions: vec![Vec3::ZERO, Vec3::X, Vec3::Y], triangles: vec![[0, 1, 2]; 50_000] };
        mesh.positions[0] = Vec3::splat(0.1);
        let tree = build(&mesh);
        assert!(depth(&tree.nodes, 0) < 12);
        assert_eq!(tree.len(), 50_000);
    }
}
