//! Join trees of graphs, against a textbook path and against components counted level by level.

use mouldbench::solve::join_tree::{JoinTree, SAME_LEVEL_MM, Sweep};
use proptest::prelude::*;

fn tree_of(heights: &[f64], edges: &[(usize, usize)]) -> (JoinTree, Vec<u32>) {
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|&a, &b| heights[b].total_cmp(&heights[a]).then(a.cmp(&b)));
    let mut visited = vec![false; heights.len()];
    let mut sweep = Sweep::new(heights.len());
    for v in order {
        let higher: Vec<u32> = edges
            .iter()
            .filter_map(|&(a, b)| if a == v { Some(b) } else { (b == v).then_some(a) })
            .filter(|&n| visited[n])
            .map(|n| n as u32)
            .collect();
        sweep.visit(v as u32, heights[v], higher);
        visited[v] = true;
    }
    sweep.finish()
}

/// (summit, height of the join where a higher summit takes over) of every branch that ends, elder rule.
fn pairs(tree: &JoinTree) -> Vec<(f64, f64)> {
    let mut pairs = Vec::new();
    for b in 0..tree.branches.len() as u32 {
        let mut meeting: Vec<f64> = tree.children(b).map(|c| tree.branches[c as usize].summit).collect();
        meeting.sort_by(f64::total_cmp);
        meeting.pop();
        pairs.extend(meeting.into_iter().map(|summit| (summit, tree.branches[b as usize].top)));
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    pairs
}

#[test]
fn the_textbook_path() {
    // Superlevel merge tree by the elder rule (Edelsbrunner & Harer, Computational Topology, 2010; the path is worked
    // by hand): 5 dies at 2, 6 at 3, 7 at 1, 8 never.
    let heights = [0.0, 5.0, 2.0, 7.0, 1.0, 6.0, 3.0, 8.0];
    let edges: Vec<(usize, usize)> = (1..8).map(|i| (i - 1, i)).collect();
    let (tree, branch_of_item) = tree_of(&heights, &edges);
    assert_eq!(pairs(&tree), [(5.0, 2.0), (6.0, 3.0), (7.0, 1.0)]);
    assert_eq!(tree.roots().count(), 1);
    assert_eq!((0..tree.branches.len() as u32).filter(|&b| tree.is_leaf(b)).count(), 4);
    let root = &tree.branches[0];
    assert_eq!((root.summit, root.summit_item, root.top, root.bottom), (8.0, 7, 1.0, 0.0));
    // From 5 down to level 1.5 stands the branch of {2, 5, 7}; at 0.5 the root.
    assert_eq!(tree.at_level(branch_of_item[1], 1.5), branch_of_item[2]);
    assert_eq!(tree.at_level(branch_of_item[1], 0.5), 0);
}

#[test]
fn joins_within_a_micrometre_are_one_and_low_bumps_are_none() {
    // Three summits meet at 1 and at 1 + 0.4 µm: one join of three. The bump of 0.5 µm on the first is none.
    let bump = 0.5 * SAME_LEVEL_MM;
    let heights = [5.0, 1.0 + 0.4 * SAME_LEVEL_MM, 4.0, 1.0, 3.0, 5.0 - bump, 5.0 - 0.2 * bump];
    let edges = [(0, 1), (1, 2), (2, 3), (3, 4), (0, 5), (5, 6)];
    let (tree, branch_of_item) = tree_of(&heights, &edges);
    assert_eq!(tree.children(0).count(), 3);
    assert_eq!(tree.branches.len(), 4);
    assert_eq!(branch_of_item[6], branch_of_item[0]);
    // A join a little further apart is one of its own.
    let mut apart = heights;
    apart[1] = 1.0 + 3.0 * SAME_LEVEL_MM;
    assert_eq!(tree_of(&apart, &edges).0.branches.len(), 5);
    // A level plain without any edge upwards, all ties: one leaf.
    let plain: Vec<(usize, usize)> = (1..9).map(|i| (i - 1, i)).collect();
    assert_eq!(tree_of(&[2.0; 9], &plain).0.branches.len(), 1);
}

#[test]
fn several_bodies_are_several_roots() {
    let (tree, branch_of_item) = tree_of(&[3.0, 1.0, 2.0, 0.0], &[(0, 1), (2, 3)]);
    assert_eq!(tree.roots().count(), 2);
    assert_ne!(branch_of_item[0], branch_of_item[2]);
    assert_eq!(tree_of(&[], &[]).0.branches.len(), 0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn components_of_chance_graphs_level_by_level(
        heights in prop::collection::vec(0u8..12, 1..24),
        links in prop::collection::vec((0usize..24, 0usize..24), 0..40),
    ) {
        let n = heights.len();
        let heights: Vec<f64> = heights.into_iter().map(f64::from).collect();
        let edges: Vec<(usize, usize)> = links.into_iter().filter(|&(a, b)| a < n && b < n && a != b).collect();
        let (tree, branch_of_item) = tree_of(&heights, &edges);
        for step in 0..24 {
            let level = step as f64 * 0.5;
            // Components by flooding.
            let mut component = vec![usize::MAX; n];
            let mut count = 0;
            for start in 0..n {
                if heights[start] < level || component[start] != usize::MAX {
                    continue;
                }
                let mut open = vec![start];
                component[start] = count;
                while let Some(v) = open.pop() {
                    for &(a, b) in &edges {
                        for (from, to) in [(a, b), (b, a)] {
                            if from == v && heights[to] >= level && component[to] == usize::MAX {
                                component[to] = count;
                                open.push(to);
                            }
                        }
                    }
                }
                count += 1;
            }
            let cut: Vec<u32> = tree.cut(level).collect();
            prop_assert_eq!(cut.len(), count, "level {}", level);
            for a in (0..n).filter(|&a| heights[a] >= level) {
                let at = tree.at_level(branch_of_item[a], level);
                prop_assert!(cut.contains(&at));
                for b in (0..n).filter(|&b| heights[b] >= level) {
                    let same = tree.at_level(branch_of_item[b], level) == at;
                    prop_assert_eq!(same, component[a] == component[b], "items {} and {} at {}", a, b, level);
                }
            }
        }
    }
}
