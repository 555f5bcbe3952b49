//! Against values from general-purpose libraries; each table names library and version, the scripts that printed them
//! are in `tests/peers`.

use super::reference_distance::{DISTANCES, SOURCE_MM};
use super::reference_max_flow::FLOWS;
use super::reference_persistence::{CELL_MM, GRIDS, LEAST_MM, PARTS, Pair};
use super::sequence::Sequence;
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::weld::weld;
use mouldbench::solve::cells::Cells;
use mouldbench::solve::closed_surface::ClosedSurface;
use mouldbench::solve::join_tree::{JoinTree, Sweep};
use mouldbench::solve::march::{March, start_ball};
use mouldbench::solve::min_cut::Network;
use mouldbench::solve::run::Run;
use mouldbench::solve::surface_tree::SurfaceTree;
use std::path::Path;
use std::sync::Arc;

/// A mesh of the project, by another reader than our own.
fn read(path: &str) -> Mesh {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let stl = stl_io::read_stl(&mut std::io::BufReader::new(std::fs::File::open(path).unwrap())).unwrap();
    let soup: Vec<[Vec3; 3]> =
        stl.faces.iter().map(|f| f.vertices.map(|v| Vec3::from_array(stl.vertices[v].into()))).collect();
    weld(&soup)
}

#[test]
fn greatest_flow_of_random_networks() {
    for &(seed, nodes, edges, most, flow) in FLOWS {
        let mut numbers = Sequence(seed);
        let mut network = Network::new(nodes);
        for _ in 0..edges {
            let (a, b) = (numbers.below(nodes as u64) as u32, numbers.below(nodes as u64) as u32);
            let (forth, back) = (numbers.below(most) as i64, numbers.below(most) as i64);
            network.add_edge(a, b, forth, back);
        }
        for node in 0..nodes as u32 {
            let from_source = numbers.below(most) as i64;
            network.add_terminals(node, from_source, numbers.below(most) as i64);
        }
        assert_eq!(network.minimum_cut(&Run::new()).unwrap().flow, flow, "seed {seed}");
    }
}

/// Summit and join of every component by the rule that the one with the higher summit lives on.
fn pairs_of(tree: &JoinTree) -> Vec<Pair> {
    let summit = |b: u32| tree.branches[b as usize].summit;
    let mut pairs: Vec<Pair> = tree.roots().map(|root| (summit(root), None)).collect();
    for b in 0..tree.branches.len() as u32 {
        let mut meet: Vec<f64> = tree.children(b).map(summit).collect();
        meet.sort_by(|x, y| y.total_cmp(x));
        pairs.extend(meet.iter().skip(1).map(|&s| (s, Some(tree.branches[b as usize].top))));
    }
    pairs
}

#[test]
fn components_of_random_heights_on_cells() {
    for &(seed, shape, levels, outside, wanted) in GRIDS {
        let mut numbers = Sequence(seed);
        let count = shape.iter().product::<usize>();
        let cells: Vec<Option<u64>> = (0..count)
            .map(|_| {
                let inside = numbers.below(10) >= outside;
                let height = numbers.below(levels);
                inside.then_some(height)
            })
            .collect();
        // Last axis fastest.
        let neighbours = |i: usize| {
            let at = [i / (shape[1] * shape[2]), i / shape[2] % shape[1], i % shape[2]];
            let step = [shape[1] * shape[2], shape[2], 1];
            (0..3).flat_map(move |k| {
                [(at[k] > 0).then(|| i - step[k]), (at[k] + 1 < shape[k]).then(|| i + step[k])].into_iter().flatten()
            })
        };
        let mut order: Vec<usize> = (0..count).filter(|&i| cells[i].is_some()).collect();
        order.sort_by_key(|&i| std::cmp::Reverse(cells[i]));
        let mut sweep = Sweep::new(count);
        let mut visited = vec![false; count];
        for i in order {
            let higher: Vec<u32> = neighbours(i).filter(|&j| visited[j]).map(|j| j as u32).collect();
            sweep.visit(i as u32, cells[i].unwrap() as f64, higher);
            visited[i] = true;
        }
        let mut pairs: Vec<(u64, Option<u64>)> =
            pairs_of(&sweep.finish().0).into_iter().map(|(s, j)| (s as u64, j.map(|j| j as u64))).collect();
        let mut wanted = wanted.to_vec();
        pairs.sort();
        wanted.sort();
        assert_eq!(pairs, wanted, "seed {seed}");
    }
}

/// True where the two may be the same component, seen to within `near`.
fn alike(a: Pair, b: Pair, near: f64) -> bool {
    let joins = match (a.1, b.1) {
        (Some(a), Some(b)) => (a - b).abs() <= near,
        (a, b) => a == b,
    };
    joins && (a.0 - b.0).abs() <= near
}

/// Gives `from[i]` a partner in `to` of its own, moving earlier ones aside where that helps (Kuhn's assignment).
fn assign(i: usize, from: &[Pair], to: &[Pair], near: f64, partner: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    for j in 0..to.len() {
        if !seen[j] && alike(from[i], to[j], near) {
            seen[j] = true;
            if partner[j].is_none_or(|other| assign(other, from, to, near, partner, seen)) {
                partner[j] = Some(i);
                return true;
            }
        }
    }
    false
}

#[test]
fn high_points_of_the_demo_parts_are_those_of_cells() {
    // Two cells: half a cell of rounding, and a summit or a neck that is narrower than a cell.
    let near = 2.0 * CELL_MM;
    for &(path, up, wanted) in PARTS {
        let mesh = Arc::new(read(path));
        let tree = Arc::new(Tree::of(&mesh));
        let surface = Arc::new(ClosedSurface::new(mesh, tree, &Run::new()).unwrap());
        let exact = pairs_of(&SurfaceTree::new(&surface, DVec3::from_array(up), &Run::new()).unwrap().tree);
        let sure = |p: &Pair| p.1.is_none_or(|join| p.0 - join >= LEAST_MM + near);
        for (from, to, who) in [(wanted, &exact[..], "missing"), (&exact[..], wanted, "too much")] {
            let from: Vec<Pair> = from.iter().copied().filter(sure).collect();
            let mut partner = vec![None; to.len()];
            for i in 0..from.len() {
                let found = assign(i, &from, to, near, &mut partner, &mut vec![false; to.len()]);
                assert!(found, "{path} up {up:?}: {who} {:?}\n{exact:?}\n{wanted:?}", from[i]);
            }
        }
    }
}

#[test]
fn distances_inside_the_demo_handle() {
    let mesh = read("assets/demo/handle.stl");
    let cells = Cells::fill(&mesh, 0.4, &Run::new()).unwrap();
    let source = Vec3::from_array(SOURCE_MM);
    let mut march = March::new(&cells);
    // The ball stays inside the wall, 2 mm thick.
    march.run(&start_ball(&cells, source, 0.0, 2, |_| true), &Run::new()).unwrap();
    for &(name, at, wanted) in DISTANCES {
        let (found, _) = march.at(Vec3::from_array(at), |_| true).unwrap();
        let off = found as f64 / wanted - 1.0;
        // Both march on cells, four to seven across a wall, laid differently.
        assert!(off.abs() < 0.03, "{name}: {found} mm, library {wanted} mm");
    }
}
