//! The join tree of the superlevel sets of a scalar field: which components of {height ≥ s} there are at each level s,
//! and where two of them become one as s falls.
//!
//! Items (vertices, cells) are visited from high to low. An item without a visited neighbour starts a component, an
//! item between components joins them (Carr, Snoeyink & Axen, "Computing contour trees in all dimensions", 2003; the
//! union-find is Tarjan's). The sweep keeps one union-find element a branch, not an item, so its memory stays small.
//!
//! This file knows only the combinatorics. What an item is and how large a component is comes from
//! [`super::surface_tree`] and [`super::cell_tree`].

use std::ops::Range;

/// Joins less than this far apart in height are one, and a summit that stands less than this above its join is none.
///
/// One micrometre: below what a cast or a mesh in single precision can show, above the rounding of a level plane that
/// was turned.
pub const SAME_LEVEL_MM: f64 = 1e-3;

/// No item.
pub const NONE: u32 = u32::MAX;

/// One branch: a component of the superlevel sets followed from where it starts (a summit or a join) down to where it
/// is joined by another.
///
/// At level s with `bottom ≤ s ≤ top` the branch stands for one component of {height ≥ s}; everything in it above s
/// is the part above s of the branch and of all branches in `subtree`.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// Height where it starts: its summit, or the join of its children.
    pub top: f64,
    /// Height of the join below it, or the lowest height of its component for a root.
    pub bottom: f64,
    /// The branch that it runs into; none for a root.
    pub parent: Option<u32>,
    /// One past the last branch of its subtree: branches are stored so that the subtree of `b` is `b..end`.
    pub end: u32,
    /// Height of the highest item in its subtree.
    pub summit: f64,
    /// That item.
    pub summit_item: u32,
    /// Volume of its subtree above `bottom`, mm³; filled by whoever knows volumes.
    pub volume: f64,
}

/// A forest of branches, parents before children.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JoinTree {
    /// Branches in pre-order, so that a subtree is a range.
    pub branches: Vec<Branch>,
}

impl JoinTree {
    /// The branches without a parent.
    pub fn roots(&self) -> impl Iterator<Item = u32> + '_ {
        siblings(&self.branches, 0, self.branches.len() as u32)
    }

    /// The branches that meet at the top of `branch`; empty for a leaf.
    pub fn children(&self, branch: u32) -> impl Iterator<Item = u32> + '_ {
        siblings(&self.branches, branch + 1, self.branches[branch as usize].end)
    }

    /// `branch` and all branches above it.
    pub fn subtree(&self, branch: u32) -> Range<u32> {
        branch..self.branches[branch as usize].end
    }

    /// True where `branch` ends in a summit.
    pub fn is_leaf(&self, branch: u32) -> bool {
        self.branches[branch as usize].end == branch + 1
    }

    /// The branch that stands for the component of {height ≥ level} which holds a point of `branch` at or above
    /// `level`: the way down from `branch`.
    pub fn at_level(&self, branch: u32, level: f64) -> u32 {
        let mut at = branch;
        while let Some(parent) = self.branches[at as usize].parent {
            if level > self.branches[at as usize].bottom + SAME_LEVEL_MM {
                break;
            }
            at = parent;
        }
        at
    }

    /// The branches that level `level` cuts: one for each component of {height ≥ level}.
    pub fn cut(&self, level: f64) -> impl Iterator<Item = u32> + '_ {
        (0..self.branches.len() as u32).filter(move |&b| {
            let branch = &self.branches[b as usize];
            branch.top >= level && (branch.bottom < level || branch.parent.is_none())
        })
    }
}

fn siblings(branches: &[Branch], first: u32, end: u32) -> impl Iterator<Item = u32> + '_ {
    let mut next = first;
    std::iter::from_fn(move || {
        (next < end).then(|| {
            let this = next;
            next = branches[this as usize].end;
            this
        })
    })
}

/// The downward sweep. Visit every item once, from high to low, then [`Sweep::finish`].
#[derive(Debug)]
pub struct Sweep {
    branch_of_item: Vec<u32>,
    raw: Vec<Raw>,
    /// Union-find over raw branches.
    towards: Vec<u32>,
    met: Vec<u32>,
}

#[derive(Clone, Debug)]
struct Raw {
    top: f64,
    bottom: f64,
    item: u32,
    children: Vec<u32>,
    joined: bool,
}

impl Sweep {
    /// A sweep over `items` items.
    pub fn new(items: usize) -> Sweep {
        Sweep { branch_of_item: vec![NONE; items], raw: Vec::new(), towards: Vec::new(), met: Vec::new() }
    }

    fn find(&mut self, branch: u32) -> u32 {
        let mut b = branch as usize;
        while self.towards[b] as usize != b {
            self.towards[b] = self.towards[self.towards[b] as usize];
            b = self.towards[b] as usize;
        }
        b as u32
    }

    /// Visits `item` at `height`, not above any item visited before, with those of its neighbours that were visited.
    pub fn visit(&mut self, item: u32, height: f64, higher: impl IntoIterator<Item = u32>) {
        let mut met = std::mem::take(&mut self.met);
        met.clear();
        let mut last = NONE;
        for neighbour in higher {
            let branch = self.branch_of_item[neighbour as usize];
            if branch == last {
                continue;
            }
            last = branch;
            let component = self.find(branch);
            if !met.contains(&component) {
                met.push(component);
            }
        }
        let branch = match met[..] {
            [one] => {
                self.raw[one as usize].bottom = height;
                one
            }
            _ => {
                let new = self.raw.len() as u32;
                for &child in &met {
                    self.towards[child as usize] = new;
                    self.raw[child as usize].bottom = height;
                    self.raw[child as usize].joined = true;
                }
                self.raw.push(Raw { top: height, bottom: height, item, children: met.clone(), joined: false });
                self.towards.push(new);
                new
            }
        };
        self.branch_of_item[item as usize] = branch;
        self.met = met;
    }

    /// The tree with joins closer than [`SAME_LEVEL_MM`] made one and summits lower than that left out, and the branch
    /// of every item. Volumes are still zero.
    pub fn finish(self) -> (JoinTree, Vec<u32>) {
        let Sweep { mut branch_of_item, raw, .. } = self;
        let count = raw.len();
        // `same[r]` is the raw branch that r becomes part of, itself where it stays. Children come before parents.
        let mut same: Vec<u32> = (0..count as u32).collect();
        let mut summit: Vec<(f64, u32)> = raw.iter().map(|r| (r.top, r.item)).collect();
        let mut top: Vec<f64> = raw.iter().map(|r| r.top).collect();
        let mut bottom: Vec<f64> = raw.iter().map(|r| r.bottom).collect();
        let mut kept: Vec<Vec<u32>> = vec![Vec::new(); count];
        for r in 0..count {
            let level = raw[r].top;
            let mut children: Vec<u32> = Vec::new();
            for &c in &raw[r].children {
                let c = same[c as usize] as usize;
                if better(summit[c], summit[r]) {
                    summit[r] = summit[c];
                }
                let low = |x: f64| x - level <= SAME_LEVEL_MM;
                if low(summit[c].0) {
                    // All of it stands lower than a micrometre over the join.
                    // (It has no kept children: those would stand higher.)
                    same[c] = r as u32;
                } else if !kept[c].is_empty() && low(top[c]) {
                    same[c] = r as u32;
                    let lifted = std::mem::take(&mut kept[c]);
                    children.extend(lifted);
                } else {
                    children.push(c as u32);
                }
            }
            match children[..] {
                [] => {
                    top[r] = summit[r].0;
                }
                [one] => {
                    // No join after all: the one child runs on downwards.
                    let one = one as usize;
                    same[r] = one as u32;
                    bottom[one] = bottom[r];
                    summit[one] = summit[r];
                }
                _ => {
                    for &c in &children {
                        bottom[c as usize] = level;
                    }
                    kept[r] = children;
                }
            }
        }
        // `same` may point through several; later entries are nearer to the truth, so resolve by following.
        let resolve = |mut r: u32| {
            while same[r as usize] != r {
                r = same[r as usize];
            }
            r
        };
        let mut roots: Vec<u32> = (0..count as u32).filter(|&r| !raw[r as usize].joined).map(resolve).collect();
        let by_summit = |list: &mut Vec<u32>| {
            list.sort_by(|&a, &b| {
                let (a, b) = (summit[a as usize], summit[b as usize]);
                b.0.total_cmp(&a.0).then(a.1.cmp(&b.1))
            });
        };
        by_summit(&mut roots);
        let mut branches: Vec<Branch> = Vec::new();
        let mut number = vec![NONE; count];
        let mut stack: Vec<(u32, Option<u32>)> = roots.iter().rev().map(|&r| (r, None)).collect();
        while let Some((r, parent)) = stack.pop() {
            let new = branches.len() as u32;
            number[r as usize] = new;
            branches.push(Branch {
                top: top[r as usize],
                bottom: bottom[r as usize],
                parent,
                end: new + 1,
                summit: summit[r as usize].0,
                summit_item: summit[r as usize].1,
                volume: 0.0,
            });
            let mut children = kept[r as usize].clone();
            by_summit(&mut children);
            stack.extend(children.iter().rev().map(|&c| (c, Some(new))));
        }
        for b in (0..branches.len()).rev() {
            if let Some(parent) = branches[b].parent {
                let end = branches[b].end;
                let parent = &mut branches[parent as usize];
                parent.end = parent.end.max(end);
            }
        }
        let final_of_raw: Vec<u32> = (0..count as u32).map(|r| number[resolve(r) as usize]).collect();
        for b in &mut branch_of_item {
            if *b != NONE {
                *b = final_of_raw[*b as usize];
            }
        }
        (JoinTree { branches }, branch_of_item)
    }
}

/// The higher of two items, the lower number where they tie.
fn better(a: (f64, u32), b: (f64, u32)) -> bool {
    a.0 > b.0 || (a.0 == b.0 && a.1 < b.1)
}
