//! Minimum cut: textbook networks, hand-worked graphs, brute force, and the conditions that prove a cut optimal.

use mouldbench::solve::min_cut::{Cut, Network};
use mouldbench::solve::run::Run;
use proptest::prelude::*;

/// A graph as plain lists, so that cuts can be priced without the network's own code.
#[derive(Clone, Debug)]
struct Plain {
    terminals: Vec<(i64, i64)>,
    edges: Vec<(u32, u32, i64, i64)>,
}

impl Plain {
    fn cut(&self) -> Cut {
        let mut network = Network::new(self.terminals.len());
        for (v, &(source, sink)) in self.terminals.iter().enumerate() {
            network.add_terminals(v as u32, source, sink);
        }
        for &(a, b, forth, back) in &self.edges {
            network.add_edge(a, b, forth, back);
        }
        network.minimum_cut(&Run::new()).expect("not cancelled")
    }

    fn price(&self, source_side: &[bool]) -> i128 {
        let mut sum = 0i128;
        for (v, &(source, sink)) in self.terminals.iter().enumerate() {
            sum += if source_side[v] { sink } else { source } as i128;
        }
        for &(a, b, forth, back) in &self.edges {
            match (source_side[a as usize], source_side[b as usize]) {
                (true, false) => sum += forth as i128,
                (false, true) => sum += back as i128,
                _ => {}
            }
        }
        sum
    }

    fn least_by_brute_force(&self) -> i128 {
        let n = self.terminals.len();
        (0..1u32 << n)
            .map(|bits| self.price(&(0..n).map(|v| bits >> v & 1 == 1).collect::<Vec<_>>()))
            .min()
            .expect("at least the empty choice")
    }
}

/// Cormen, Leiserson, Rivest & Stein, Introduction to Algorithms, section on the Ford-Fulkerson method: the trucking
/// network s, v1..v4, t; greatest flow 23, cut {s, v1, v2, v4} | {v3, t} (network and value from memory).
#[test]
fn textbook_network_carries_23() {
    let [v1, v2, v3, v4] = [0, 1, 2, 3];
    let plain = Plain {
        terminals: vec![(16, 0), (13, 0), (0, 20), (0, 4)],
        edges: vec![(v1, v3, 12, 0), (v2, v1, 4, 0), (v3, v2, 9, 0), (v2, v4, 14, 0), (v4, v3, 7, 0)],
    };
    let cut = plain.cut();
    assert_eq!(cut.flow, 23);
    assert_eq!(cut.source_side, [true, true, false, true]);
}

/// A chain is cut at its weakest link, and the one nearest to the source if there are several.
#[test]
fn chain_is_cut_at_its_weakest_link() {
    let chain = |caps: &[i64]| Plain {
        terminals: (0..=caps.len())
            .map(|v| (if v == 0 { 100 } else { 0 }, if v == caps.len() { 100 } else { 0 }))
            .collect(),
        edges: caps.iter().enumerate().map(|(v, &c)| (v as u32, v as u32 + 1, c, 0)).collect(),
    };
    let cut = chain(&[7, 3, 9, 3, 8]).cut();
    assert_eq!((cut.flow, cut.source_side), (3, vec![true, true, false, false, false, false]));
    assert_eq!(chain(&[500, 400]).cut().flow, 100, "the terminals themselves are the neck");
}

/// Arcs have a direction: nothing flows against it.
#[test]
fn one_way_arcs_do_not_carry_back() {
    let against = Plain { terminals: vec![(5, 0), (0, 5)], edges: vec![(1, 0, 9, 0)] };
    assert_eq!(against.cut(), Cut { flow: 0, source_side: vec![true, false] });
    let back = Plain { terminals: vec![(5, 0), (0, 5)], edges: vec![(1, 0, 9, 2)] };
    assert_eq!(back.cut().flow, 2);
}

/// What a node has from the source and to the sink in common goes straight through; repeated terminals add up.
#[test]
fn terminals_add_up() {
    let mut network = Network::new(1);
    network.add_terminals(0, 5, 3);
    network.add_terminals(0, 1, 7);
    let cut = network.minimum_cut(&Run::new()).expect("not cancelled");
    assert_eq!(cut, Cut { flow: 6, source_side: vec![false] });
    let none = Network::new(0).minimum_cut(&Run::new()).expect("not cancelled");
    assert_eq!(none, Cut { flow: 0, source_side: vec![] });
}

/// Parallel edges add, loops change nothing, and sums of large capacities do not overflow.
#[test]
fn large_and_repeated_capacities() {
    let huge = 1 << 61;
    let plain = Plain {
        terminals: vec![(huge, 0), (huge, 0), (huge, 0), (0, huge), (0, huge), (0, huge)],
        edges: vec![(0, 3, huge, huge), (1, 4, huge, huge), (2, 5, huge, 0), (2, 2, 9, 9)],
    };
    assert_eq!(plain.cut().flow, 3 * (huge as i128));
    let twice = Plain { terminals: vec![(9, 0), (0, 9)], edges: vec![(0, 1, 2, 0), (1, 0, 0, 3)] };
    assert_eq!(twice.cut().flow, 5);
}

/// Four faces in a chain, cost of label A 1, 2, 4, 6 and of label B 6, 3, 2, 1, and a price for each change of label: 2
/// gives AABB at 8, 6 ties AABB with BBBB at 12, 10 gives BBBB at 12 (worked by hand; the construction is that of
/// Kolmogorov & Zabih, IEEE Trans. Pattern Anal. Mach. Intell. 26 (2004) 147).
#[test]
fn chain_of_four_faces_is_labelled() {
    let at = |price: i64| {
        Plain {
            terminals: vec![(6, 1), (3, 2), (2, 4), (1, 6)],
            edges: (0..3).map(|v| (v, v + 1, price, price)).collect(),
        }
        .cut()
    };
    assert_eq!(at(2), Cut { flow: 8, source_side: vec![true, true, false, false] });
    assert_eq!(at(6).flow, 12);
    assert_eq!(at(10), Cut { flow: 12, source_side: vec![false; 4] });
}

/// Source on the left column of a grid, sink on the right one, edges of 2 but for one column of 1 in every row: that
/// column is the cut, and the flow is the number of rows (Ford & Fulkerson 1956).
#[test]
fn grid_is_cut_along_its_weak_column() {
    let (w, h) = (60u32, 40u32);
    let mut plain = Plain { terminals: vec![(0, 0); (w * h) as usize], edges: vec![] };
    for y in 0..h {
        plain.terminals[(y * w) as usize] = (1000, 0);
        plain.terminals[(y * w + w - 1) as usize] = (0, 1000);
        for x in 0..w {
            if x + 1 < w {
                let c = if x == 41 { 1 } else { 2 };
                plain.edges.push((y * w + x, y * w + x + 1, c, c));
            }
            if y + 1 < h {
                plain.edges.push((y * w + x, y * w + x + w, 2, 2));
            }
        }
    }
    let cut = plain.cut();
    assert_eq!(cut.flow, h as i128);
    assert!((0..w * h).all(|v| cut.source_side[v as usize] == (v % w <= 41)));
}

/// A run that was cancelled gives no cut.
#[test]
fn cancelled_run_stops() {
    let run = Run::new();
    run.cancel();
    assert!(Network::new(3).minimum_cut(&run).is_err());
}

fn graphs(nodes: std::ops::Range<usize>, edges: usize, capacity: i64) -> impl Strategy<Value = Plain> {
    nodes.prop_flat_map(move |n| {
        let terminal = (0..capacity, 0..capacity, 0..3u8).prop_map(|(s, t, keep)| match keep {
            0 => (s, 0),
            1 => (0, t),
            _ => (0, 0),
        });
        let edge = (0..n as u32, 0..n as u32, 0..capacity, 0..capacity);
        (prop::collection::vec(terminal, n), prop::collection::vec(edge, 0..edges))
            .prop_map(|(terminals, edges)| Plain { terminals, edges })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// On graphs small enough to try every cut: the flow, and the price of the cut returned, are the least.
    #[test]
    fn equals_brute_force(plain in graphs(1..11, 40, 12)) {
        let cut = plain.cut();
        let least = plain.least_by_brute_force();
        prop_assert_eq!(cut.flow, least);
        prop_assert_eq!(plain.price(&cut.source_side), least);
        prop_assert_eq!(plain.cut(), cut);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// On larger graphs the price of the cut equals the flow, no single node or edge end wants to change sides, and the
    /// same graph turned round (source for sink) carries the same.
    #[test]
    fn price_equals_flow_on_larger_graphs(plain in graphs(200..400, 1600, 1000)) {
        let cut = plain.cut();
        prop_assert_eq!(plain.price(&cut.source_side), cut.flow);
        let turned = Plain {
            terminals: plain.terminals.iter().map(|&(s, t)| (t, s)).collect(),
            edges: plain.edges.iter().map(|&(a, b, f, k)| (b, a, f, k)).collect(),
        };
        prop_assert_eq!(turned.cut().flow, cut.flow);
        for v in (0..plain.terminals.len()).step_by(17) {
            let mut other = cut.source_side.clone();
            other[v] = !other[v];
            prop_assert!(plain.price(&other) >= cut.flow);
        }
    }
}
