//! Minimum cut between a source and a sink in a sparse graph with integer capacities.
//!
//! Two search trees, one from the source and one from the sink, grow until they touch; the path found is filled, and
//! the nodes that lose their parent are adopted by a neighbour of the same tree or set free. The trees are kept from
//! one path to the next, which is what makes the method fast on graphs of low degree such as the dual of a mesh
//! (Boykov & Kolmogorov, IEEE Trans. Pattern Anal. Mach. Intell. 26 (2004) 1124).
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
        let source_side =
            (0..self.terminal.len()).map(|v| search.tree[v].parent != FREE && !search.tree[v].sink).collect();
        Ok(Cut { flow: self.through + search.flow, source_side })
    }
}

/// Not in a tree.
const FREE: u32 = u32::MAX;
/// Hangs from the source or the sink itself.
const ROOT: u32 = u32::MAX - 1;
/// Lost its parent and waits to be adopted.
const ORPHAN: u32 = u32::MAX - 2;

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
struct Tree {
    /// Arc to the parent, or `FREE`, `ROOT`, `ORPHAN`.
    parent: u32,
    /// Time at which `distance` was known to be right.
    stamp: u32,
    /// Arcs to the root of the tree, one more for the arc to the terminal.
    distance: u32,
    sink: bool,
    active: bool,
}

struct Search {
    first: Vec<u32>,
    arcs: Vec<Arc>,
    tree: Vec<Tree>,
    /// What is left to the source (positive) or to the sink (negative).
    terminal: Vec<i64>,
    /// Nodes whose arcs may still reach further.
    queue: std::collections::VecDeque<u32>,
    orphans: std::collections::VecDeque<u32>,
    time: u32,
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
        let free = Tree { parent: FREE, stamp: 0, distance: 0, sink: false, active: false };
        let mut search = Search {
            first,
            arcs,
            tree: vec![free; n],
            terminal: network.terminal.clone(),
            queue: std::collections::VecDeque::new(),
            orphans: std::collections::VecDeque::new(),
            time: 0,
            flow: 0,
        };
        for v in 0..n as u32 {
            let t = search.terminal[v as usize];
            if t != 0 {
                let node = &mut search.tree[v as usize];
                (node.parent, node.distance, node.sink) = (ROOT, 1, t < 0);
                search.activate(v);
            }
        }
        search
    }

    #[inline]
    fn activate(&mut self, v: u32) {
        let node = &mut self.tree[v as usize];
        if !node.active {
            node.active = true;
            self.queue.push_back(v);
        }
    }

    #[inline]
    fn arcs_of(&self, v: u32) -> std::ops::Range<usize> {
        self.first[v as usize] as usize..self.first[v as usize + 1] as usize
    }

    fn fill(&mut self, run: &Run) -> Result<(), Cancelled> {
        let mut steps = 0u32;
        while let Some(&v) = self.queue.front() {
            steps = steps.wrapping_add(1);
            if steps.is_multiple_of(4096) {
                run.check()?;
            }
            // The node stays at the head of the queue while paths are still found from it.
            let found = if self.tree[v as usize].parent == FREE { None } else { self.grow(v) };
            self.time += 1;
            match found {
                Some(arc) => {
                    self.augment(arc);
                    while let Some(orphan) = self.orphans.pop_front() {
                        self.adopt(orphan);
                    }
                }
                None => {
                    self.queue.pop_front();
                    self.tree[v as usize].active = false;
                }
            }
        }
        Ok(())
    }

    /// Takes free neighbours of `v` into its tree; returns the arc from the source tree to the sink tree once the
    /// other tree is met.
    fn grow(&mut self, v: u32) -> Option<u32> {
        let me = self.tree[v as usize];
        for a in self.arcs_of(v) {
            let arc = self.arcs[a];
            let open = if me.sink { self.arcs[arc.sister as usize].left } else { arc.left };
            if open == 0 {
                continue;
            }
            let other = &mut self.tree[arc.head as usize];
            if other.parent == FREE {
                (other.parent, other.sink) = (arc.sister, me.sink);
                (other.stamp, other.distance) = (me.stamp, me.distance + 1);
                self.activate(arc.head);
            } else if other.sink != me.sink {
                return Some(if me.sink { arc.sister } else { a as u32 });
            } else if other.stamp <= me.stamp && other.distance > me.distance {
                // A shorter way to the root; only a shortcut, the tree stays right without it.
                (other.parent, other.stamp, other.distance) = (arc.sister, me.stamp, me.distance + 1);
            }
        }
        None
    }

    /// Fills the path through the arc `middle` from the source tree to the sink tree.
    fn augment(&mut self, middle: u32) {
        let tail = self.arcs[self.arcs[middle as usize].sister as usize].head;
        let head = self.arcs[middle as usize].head;
        let mut least = self.arcs[middle as usize].left;
        let mut v = tail;
        loop {
            let p = self.tree[v as usize].parent;
            if p == ROOT {
                break;
            }
            let arc = self.arcs[p as usize];
            least = least.min(self.arcs[arc.sister as usize].left);
            v = arc.head;
        }
        least = least.min(self.terminal[v as usize]);
        v = head;
        loop {
            let p = self.tree[v as usize].parent;
            if p == ROOT {
                break;
            }
            let arc = self.arcs[p as usize];
            least = least.min(arc.left);
            v = arc.head;
        }
        least = least.min(-self.terminal[v as usize]);

        let sister = self.arcs[middle as usize].sister;
        self.arcs[middle as usize].left -= least;
        self.arcs[sister as usize].left += least;
        v = tail;
        loop {
            let p = self.tree[v as usize].parent;
            if p == ROOT {
                self.terminal[v as usize] -= least;
                if self.terminal[v as usize] == 0 {
                    self.orphan_first(v);
                }
                break;
            }
            let arc = self.arcs[p as usize];
            self.arcs[p as usize].left += least;
            let down = &mut self.arcs[arc.sister as usize].left;
            *down -= least;
            if *down == 0 {
                self.orphan_first(v);
            }
            v = arc.head;
        }
        v = head;
        loop {
            let p = self.tree[v as usize].parent;
            if p == ROOT {
                self.terminal[v as usize] += least;
                if self.terminal[v as usize] == 0 {
                    self.orphan_first(v);
                }
                break;
            }
            let arc = self.arcs[p as usize];
            self.arcs[arc.sister as usize].left += least;
            let down = &mut self.arcs[p as usize].left;
            *down -= least;
            if *down == 0 {
                self.orphan_first(v);
            }
            v = arc.head;
        }
        self.flow += least as i128;
    }

    #[inline]
    fn orphan_first(&mut self, v: u32) {
        self.tree[v as usize].parent = ORPHAN;
        self.orphans.push_front(v);
    }

    /// Finds the nearest new parent for the orphan `v`, or sets it free and orphans its children.
    fn adopt(&mut self, v: u32) {
        let sink = self.tree[v as usize].sink;
        let mut best = FREE;
        let mut best_distance = u32::MAX;
        for a in self.arcs_of(v) {
            let arc = self.arcs[a];
            let open = if sink { arc.left } else { self.arcs[arc.sister as usize].left };
            let other = self.tree[arc.head as usize];
            if open == 0 || other.sink != sink || other.parent == FREE {
                continue;
            }
            let distance = self.distance_to_root(arc.head);
            if distance == u32::MAX {
                continue;
            }
            if distance < best_distance {
                (best, best_distance) = (a as u32, distance);
            }
            // Everything on the way to the root is now known to be right.
            let (mut u, mut d) = (arc.head, distance);
            while self.tree[u as usize].stamp != self.time {
                let node = &mut self.tree[u as usize];
                (node.stamp, node.distance) = (self.time, d);
                d -= 1;
                u = self.arcs[node.parent as usize].head;
            }
        }
        if best != FREE {
            let node = &mut self.tree[v as usize];
            (node.parent, node.stamp, node.distance) = (best, self.time, best_distance + 1);
            return;
        }
        self.tree[v as usize].parent = FREE;
        for a in self.arcs_of(v) {
            let arc = self.arcs[a];
            let other = self.tree[arc.head as usize];
            if other.sink != sink || other.parent == FREE {
                continue;
            }
            let open = if sink { arc.left } else { self.arcs[arc.sister as usize].left };
            if open > 0 {
                self.activate(arc.head);
            }
            if other.parent == arc.sister {
                self.tree[arc.head as usize].parent = ORPHAN;
                self.orphans.push_back(arc.head);
            }
        }
    }

    /// Arcs from `v` to the terminal of its tree, or `u32::MAX` where the way up ends in an orphan.
    fn distance_to_root(&mut self, v: u32) -> u32 {
        let (mut u, mut d) = (v, 0);
        loop {
            let node = self.tree[u as usize];
            if node.stamp == self.time && node.parent != ORPHAN {
                return d + node.distance;
            }
            d += 1;
            match node.parent {
                ROOT => {
                    let node = &mut self.tree[u as usize];
                    (node.stamp, node.distance) = (self.time, 1);
                    return d;
                }
                ORPHAN | FREE => return u32::MAX,
                p => u = self.arcs[p as usize].head,
            }
        }
    }
}
