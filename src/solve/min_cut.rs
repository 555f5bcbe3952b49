//! Minimum cut between a source and a sink in a sparse graph with integer capacities.
//!
//! Two search trees, one from the source and one from the sink, grow a level at a time until they touch; the path found
//! is filled, and the nodes that lose their parent are adopted by a neighbour of the same tree or set free. The trees are
//! kept from one path to the next, and both stay trees of shortest ways: every node knows how many arcs it is from its
//! root, a new parent is one arc nearer, and a node that finds none moves away by as little as it can. So no way up is
//! ever walked to see whether it still ends in a root, which costs the more the longer the ways are, as on a part that
//! is shown all over, where flow goes from one end to the other (Goldberg, Hed, Kaplan, Tarjan & Werneck, "Maximum flows by incremental breadth-first search", ESA 2011, 457).
//!
//! The cut is a global optimum (Ford & Fulkerson 1956): its capacity equals the flow that was pushed. It also minimises
//! any energy Σ aᵥ(xᵥ) + Σ c_uv·[xᵤ ≠ xᵥ] over two labels with c ≥ 0 (Greig, Porteous & Seheult 1989).

use crate::solve::run::{Cancelled, Run};

/// A graph under construction: nodes numbered from 0, each with an arc from the source and an arc to the sink, and
/// edges between nodes.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// Capacity from the source minus capacity to the sink; what both have in common is in `through`.
    terminal: Vec<i64>,
    /// Flow that goes from the source through one node straight to the sink.
    through: i128,
    edges: Vec<Edge>,
}

#[derive(Clone, Copy, Debug)]
struct Edge {
    a: u32,
    b: u32,
    forth: i64,
    back: i64,
}

/// A minimum cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Capacity of the cut, which is also the greatest flow.
    pub flow: i128,
    /// For each node, true where it lies on the source's side. Of all minimum cuts this is the one with the smallest
    /// source side: exactly the nodes that the source still reaches.
    pub source_side: Vec<bool>,
}

impl Network {
    /// A graph of `nodes` nodes without any edge.
    pub fn new(nodes: usize) -> Network {
        Network::with_capacity(nodes, 0)
    }

    /// The same, with room for `edges` edges.
    pub fn with_capacity(nodes: usize, edges: usize) -> Network {
        Network { terminal: vec![0; nodes], through: 0, edges: Vec::with_capacity(edges) }
    }

    /// Number of nodes, source and sink not counted.
    pub fn nodes(&self) -> usize {
        self.terminal.len()
    }

    /// Adds capacity from the source to `node` and from `node` to the sink. Negative capacities count as 0. The
    /// capacities of one node must stay below 2⁶² in sum.
    ///
    /// For labels: `from_source` is what it costs to put the node on the sink's side, `to_sink` what it costs to
    /// put it on the source's.
    pub fn add_terminals(&mut self, node: u32, from_source: i64, to_sink: i64) {
        let here = &mut self.terminal[node as usize];
        let source = from_source.max(0) + (*here).max(0);
        let sink = to_sink.max(0) + (-*here).max(0);
        self.through += source.min(sink) as i128;
        *here = source - sink;
    }

    /// Adds an edge with capacity `forth` from `a` to `b` and `back` from `b` to `a`. Negative capacities count as 0;
    /// an edge from a node to itself changes nothing.
    pub fn add_edge(&mut self, a: u32, b: u32, forth: i64, back: i64) {
        if a != b && (forth > 0 || back > 0) {
            self.edges.push(Edge { a, b, forth: forth.max(0), back: back.max(0) });
        }
    }

    /// Net capacity of each node: from the source where positive, to the sink where negative. What both had in common
    /// is [`Network::through`].
    pub fn terminals(&self) -> &[i64] {
        &self.terminal
    }

    /// Flow that goes from the source through one node straight to the sink; part of every flow.
    pub fn through(&self) -> i128 {
        self.through
    }

    /// Every edge as its two nodes, the capacity from the first to the second and the one back.
    pub fn edges(&self) -> impl Iterator<Item = (u32, u32, i64, i64)> + '_ {
        self.edges.iter().map(|e| (e.a, e.b, e.forth, e.back))
    }

    /// The minimum cut.
    pub fn minimum_cut(&self, run: &Run) -> Result<Cut, Cancelled> {
        run.check()?;
        let mut search = Search::new(self);
        search.fill(run)?;
        Ok(Cut { flow: self.through + search.flow, source_side: search.reached_by_source() })
    }
}

/// No arc to a parent: not in a tree, or hanging from the source or the sink itself, or an orphan.
const NO_ARC: u32 = u32::MAX;

/// Level of a node that found no parent on its own.
const LOST: u32 = u32::MAX - 1;

/// Which tree a node is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Free,
    Source,
    Sink,
}

/// One direction of an edge, stored with the other arcs that leave the same node.
#[derive(Clone, Copy)]
struct Arc {
    head: u32,
    /// The same edge the other way.
    sister: u32,
    /// Capacity that is left.
    left: i64,
}

/// What a node knows about the tree it is in.
#[derive(Clone, Copy)]
struct Node {
    /// Arc to the parent.
    parent: u32,
    /// Arcs to the root of the tree and one more for the arc to the terminal; the parent's is one less.
    level: u32,
    /// Arcs before this one lead to no parent one level nearer.
    next: u32,
    side: Side,
}

/// One of the two trees.
#[derive(Default)]
struct Tree {
    /// The level whose nodes are looked at next; nodes of lower levels have nothing to reach any more.
    level: u32,
    /// Nodes of that level and of the one after it, with some that have left them since.
    here: Vec<u32>,
    beyond: Vec<u32>,
    /// Nodes that lost their parent, by level; how many there are, and the lowest level that has some.
    orphans: Vec<Vec<u32>>,
    waiting: usize,
    lowest: usize,
    /// Those that found no parent on their level, and by the level that they may have instead, each with the arc to its
    /// parent there.
    lost: Vec<u32>,
    again: Vec<Vec<(u32, u32)>>,
}

struct Search {
    first: Vec<u32>,
    arcs: Vec<Arc>,
    nodes: Vec<Node>,
    /// What is left to the source (positive) or to the sink (negative).
    terminal: Vec<i64>,
    source: Tree,
    sink: Tree,
    flow: i128,
}

impl Search {
    fn new(network: &Network) -> Search {
        let n = network.terminal.len();
        let mut first = vec![0u32; n + 1];
        for e in &network.edges {
            first[e.a as usize + 1] += 1;
            first[e.b as usize + 1] += 1;
        }
        for v in 0..n {
            first[v + 1] += first[v];
        }
        let mut next = first.clone();
        let mut arcs = vec![Arc { head: 0, sister: 0, left: 0 }; 2 * network.edges.len()];
        for e in &network.edges {
            let (i, j) = (next[e.a as usize], next[e.b as usize]);
            next[e.a as usize] += 1;
            next[e.b as usize] += 1;
            arcs[i as usize] = Arc { head: e.b, sister: j, left: e.forth };
            arcs[j as usize] = Arc { head: e.a, sister: i, left: e.back };
        }
        let tree = || Tree { level: 1, ..Tree::default() };
        let (mut source, mut sink) = (tree(), tree());
        let node = |v: usize| {
            let side = match network.terminal[v] {
                0 => Side::Free,
                t if t > 0 => Side::Source,
                _ => Side::Sink,
            };
            match side {
                Side::Free => {}
                Side::Source => source.here.push(v as u32),
                Side::Sink => sink.here.push(v as u32),
            }
            Node { parent: NO_ARC, level: u32::from(side != Side::Free), next: first[v], side }
        };
        let nodes = (0..n).map(node).collect();
        Search { arcs, nodes, terminal: network.terminal.clone(), source, sink, flow: 0, first }
    }

    #[inline]
    fn arcs_of(&self, v: u32) -> std::ops::Range<u32> {
        self.first[v as usize]..self.first[v as usize + 1]
    }

    fn tree(&mut self, side: Side) -> &mut Tree {
        if side == Side::Sink { &mut self.sink } else { &mut self.source }
    }

    /// Capacity that is left on the arc `a` of a node of the tree `side`, away from its root.
    #[inline]
    fn outward(&self, a: u32, side: Side) -> i64 {
        let arc = self.arcs[a as usize];
        if side == Side::Sink { self.arcs[arc.sister as usize].left } else { arc.left }
    }

    /// The same towards its root.
    #[inline]
    fn inward(&self, a: u32, side: Side) -> i64 {
        let arc = self.arcs[a as usize];
        if side == Side::Sink { arc.left } else { self.arcs[arc.sister as usize].left }
    }

    /// Grows both trees, the one with less to look at first, until one of them can reach nothing more.
    fn fill(&mut self, run: &Run) -> Result<(), Cancelled> {
        let mut steps = 0u32;
        while !self.source.here.is_empty() && !self.sink.here.is_empty() {
            let side = if self.source.level <= self.sink.level { Side::Source } else { Side::Sink };
            let level = self.tree(side).level;
            while let Some(v) = self.tree(side).here.pop() {
                steps = steps.wrapping_add(1);
                if steps.is_multiple_of(4096) {
                    run.check()?;
                }
                self.grow(v, side, level);
            }
            let tree = self.tree(side);
            tree.level += 1;
            std::mem::swap(&mut tree.here, &mut tree.beyond);
        }
        Ok(())
    }

    /// Takes free neighbours of `v` into its tree, and fills the paths to neighbours that are in the other.
    fn grow(&mut self, v: u32, side: Side, level: u32) {
        for a in self.arcs_of(v) {
            loop {
                let me = self.nodes[v as usize];
                if me.side != side || me.level != level {
                    return;
                }
                if self.outward(a, side) == 0 {
                    break;
                }
                let arc = self.arcs[a as usize];
                let other = &mut self.nodes[arc.head as usize];
                if other.side == side {
                    break;
                }
                if other.side == Side::Free {
                    *other = Node { parent: arc.sister, level: level + 1, next: self.first[arc.head as usize], side };
                    self.tree(side).beyond.push(arc.head);
                    break;
                }
                self.augment(if side == Side::Sink { arc.sister } else { a });
                self.adopt_all(Side::Source, side);
                self.adopt_all(Side::Sink, side);
            }
        }
    }

    /// The least that is left between `v` and the root of its tree.
    fn least_to_root(&self, mut v: u32, side: Side, mut least: i64) -> i64 {
        while self.nodes[v as usize].parent != NO_ARC {
            let p = self.nodes[v as usize].parent;
            least = least.min(self.inward(p, side));
            v = self.arcs[p as usize].head;
        }
        least.min(self.terminal[v as usize].abs())
    }

    /// Pushes `flow` along the way between `v` and the root of its tree.
    fn push_to_root(&mut self, mut v: u32, side: Side, flow: i64) {
        loop {
            let p = self.nodes[v as usize].parent;
            if p == NO_ARC {
                let terminal = &mut self.terminal[v as usize];
                *terminal -= flow * terminal.signum();
                if *terminal == 0 {
                    self.orphan(v);
                }
                return;
            }
            let arc = self.arcs[p as usize];
            let (from, to) = if side == Side::Sink { (p, arc.sister) } else { (arc.sister, p) };
            self.arcs[from as usize].left -= flow;
            self.arcs[to as usize].left += flow;
            if self.arcs[from as usize].left == 0 {
                self.orphan(v);
            }
            v = arc.head;
        }
    }

    /// Fills the path through the arc `middle` from the source tree to the sink tree.
    fn augment(&mut self, middle: u32) {
        let Arc { head, sister, left } = self.arcs[middle as usize];
        let tail = self.arcs[sister as usize].head;
        let least = self.least_to_root(tail, Side::Source, left);
        let least = self.least_to_root(head, Side::Sink, least);
        self.arcs[middle as usize].left -= least;
        self.arcs[sister as usize].left += least;
        self.push_to_root(tail, Side::Source, least);
        self.push_to_root(head, Side::Sink, least);
        self.flow += i128::from(least);
    }

    fn orphan(&mut self, v: u32) {
        let Node { level, side, .. } = self.nodes[v as usize];
        self.nodes[v as usize].parent = NO_ARC;
        let (tree, level) = (self.tree(side), level as usize);
        if tree.orphans.len() <= level {
            tree.orphans.resize_with(level + 1, Vec::new);
        }
        tree.orphans[level].push(v);
        tree.lowest = if tree.waiting == 0 { level } else { tree.lowest.min(level) };
        tree.waiting += 1;
    }

    /// Finds a parent for every orphan of a tree or sets it free.
    ///
    /// First those that find one on their level, the lowest level first: then no parent that is one level nearer is itself
    /// without one. The rest is hung up anew from what stands, again the lowest first, so that each moves once (as in
    /// Ramalingam & Reps, J. Algorithms 21 (1996) 267); in any other order nodes hang themselves on their own branches.
    fn adopt_all(&mut self, side: Side, growing: Side) {
        while self.tree(side).waiting > 0 {
            let tree = self.tree(side);
            match tree.orphans[tree.lowest].pop() {
                Some(v) => {
                    tree.waiting -= 1;
                    self.adopt(v, side);
                }
                None => tree.lowest += 1,
            }
        }
        if self.tree(side).lost.is_empty() {
            return;
        }
        // The tree that grows already holds nodes of the level after its own.
        let deepest = self.tree(side).level + u32::from(side == growing);
        let lost = std::mem::take(&mut self.tree(side).lost);
        let mut level = LOST;
        for &v in &lost {
            let near = self.arcs_of(v).filter(|a| self.inward(*a, side) > 0).map(|a| {
                let other = self.nodes[self.arcs[a as usize].head as usize];
                (if other.side == side { other.level } else { LOST }, a)
            });
            if let Some((above, arc)) = near.min().filter(|n| n.0 < deepest) {
                self.may_have(v, side, above + 1, arc);
                level = level.min(above + 1);
            }
        }
        while level <= deepest {
            let tree = self.tree(side);
            let Some((v, arc)) = tree.again.get_mut(level as usize).and_then(Vec::pop) else {
                level += 1;
                continue;
            };
            if self.nodes[v as usize].level == LOST {
                self.nodes[v as usize] = Node { parent: arc, level, next: self.first[v as usize], side };
                // What it reaches from there is looked at anew.
                let tree = self.tree(side);
                if level == tree.level {
                    tree.here.push(v);
                } else if level > tree.level {
                    tree.beyond.push(v);
                }
                for a in self.arcs_of(v) {
                    let arc = self.arcs[a as usize];
                    let other = self.nodes[arc.head as usize];
                    if level < deepest && other.side == side && other.level == LOST && self.outward(a, side) > 0 {
                        self.may_have(arc.head, side, level + 1, arc.sister);
                    }
                }
            }
        }
        for &v in &lost {
            if self.nodes[v as usize].level == LOST {
                self.nodes[v as usize] =
                    Node { parent: NO_ARC, level: 0, next: self.first[v as usize], side: Side::Free };
            }
        }
        let tree = self.tree(side);
        tree.lost = lost;
        tree.lost.clear();
    }

    /// Notes that a lost node may hang from `arc` on `level`.
    fn may_have(&mut self, v: u32, side: Side, level: u32, arc: u32) {
        let again = &mut self.tree(side).again;
        if again.len() <= level as usize {
            again.resize_with(level as usize + 1, Vec::new);
        }
        again[level as usize].push((v, arc));
    }

    /// Hangs an orphan from a neighbour one level nearer, or makes orphans of its children and gives it up for lost.
    fn adopt(&mut self, v: u32, side: Side) {
        let Node { level, next, .. } = self.nodes[v as usize];
        for a in next..self.first[v as usize + 1] {
            let other = self.nodes[self.arcs[a as usize].head as usize];
            if other.side == side && other.level + 1 == level && self.inward(a, side) > 0 {
                let node = &mut self.nodes[v as usize];
                (node.parent, node.next) = (a, a);
                return;
            }
        }
        for a in self.arcs_of(v) {
            let arc = self.arcs[a as usize];
            let other = self.nodes[arc.head as usize];
            if other.side == side && other.parent == arc.sister {
                self.orphan(arc.head);
            }
        }
        self.nodes[v as usize].level = LOST;
        self.tree(side).lost.push(v);
    }

    /// For each node, true where the source still reaches it.
    fn reached_by_source(&self) -> Vec<bool> {
        let mut reached: Vec<bool> = self.terminal.iter().map(|t| *t > 0).collect();
        let mut stack: Vec<u32> = (0..reached.len() as u32).filter(|v| reached[*v as usize]).collect();
        while let Some(v) = stack.pop() {
            for a in self.arcs_of(v) {
                let arc = self.arcs[a as usize];
                if arc.left > 0 && !reached[arc.head as usize] {
                    reached[arc.head as usize] = true;
                    stack.push(arc.head);
                }
            }
        }
        reached
    }
}
