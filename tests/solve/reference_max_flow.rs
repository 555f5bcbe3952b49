//! Maximum flow of random networks, printed by `tests/peers/solve_values.py`: scipy 1.17.1
//! (`csgraph.maximum_flow`) and igraph 1.0.0 (`maxflow_value`) agree on every one.

/// Seed, nodes, edges, bound of the capacities, greatest flow.
pub const FLOWS: &[(u64, usize, usize, u64, i128)] = &[
    (1, 2, 3, 10, 2),
    (2, 12, 20, 5, 26),
    (3, 60, 200, 100, 2820),
    (4, 60, 200, 2, 27),
    (5, 400, 900, 1000, 195421),
    (6, 400, 3000, 50, 9714),
    (7, 3000, 9000, 10000, 15029469),
    (8, 3000, 20000, 7, 9008),
];
