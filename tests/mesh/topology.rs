//! Neighbours, faults and bodies.

use super::awkward::zoo;
use glam::Vec3;
use mouldbench::mesh::Mesh;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::solids::{ball, cuboid, cylinder, torus};
use mouldbench::mesh::topology::{Topology, split_fans};
use mouldbench::mesh::weld::rewelded;
use std::collections::HashMap;

/// Triangles at each edge, by brute force.
fn edges(mesh: &Mesh) -> HashMap<[u32; 2], Vec<usize>> {
    let mut edges: HashMap<[u32; 2], Vec<usize>> = HashMap::new();
    // A triangle with two corners in one vertex has no edges.
    let whole = |&(_, t): &(usize, &[u32; 3])| t[0] != t[1] && t[1] != t[2] && t[2] != t[0];
    for (t, &[a, b, c]) in mesh.triangles.iter().enumerate().filter(whole) {
        for [p, q] in [[a, b], [b, c], [c, a]] {
            edges.entry([p.min(q), p.max(q)]).or_default().push(t);
        }
    }
    edges
}

#[test]
fn neighbours_and_counts_equal_brute_force() {
    for (name, mesh) in zoo().into_iter().flat_map(|(n, m)| [(n, rewelded(&m)), (n, m)]) {
        let topology = Topology::of(&mesh);
        let edges = edges(&mesh);
        let count = |wanted: fn(usize) -> bool| edges.values().filter(|t| wanted(t.len())).count() as u32;
        assert_eq!(topology.edges, edges.len() as u32, "{name}");
        assert_eq!(topology.open_edges, count(|n| n == 1), "{name}");
        assert_eq!(topology.non_manifold_edges, count(|n| n > 2), "{name}");
        for (t, &[a, b, c]) in mesh.triangles.iter().enumerate() {
            for (k, [p, q]) in [[a, b], [b, c], [c, a]].into_iter().enumerate() {
                let other = topology.neighbours[t][k];
                match edges.get(&[p.min(q), p.max(q)]).map(Vec::as_slice) {
                    Some(&[x, y]) if x == t || y == t => {
                        assert_eq!(other, (if x == t { y } else { x }) as u32, "{name}: {t} {k}")
                    }
                    Some(many) if many.len() > 2 && many.contains(&t) && other != Topology::NONE => {
                        // Paired with one that shares the edge, runs along it the other way and says the same.
                        assert!(many.contains(&(other as usize)) && other as usize != t, "{name}: {t} {k}");
                        let far = mesh.triangles[other as usize];
                        let j = (0..3).find(|&j| far[j] == q && far[(j + 1) % 3] == p).expect("runs the other way");
                        assert_eq!(topology.neighbours[other as usize][j], t as u32, "{name}: {t} {k}");
                    }
                    _ => assert_eq!(other, Topology::NONE, "{name}: {t} {k}"),
                }
            }
        }
    }
}

/// Bodies that touch along an edge are told apart by where the solid is, not by the order of their triangles.
#[test]
fn solids_round_a_common_edge_stay_apart() {
    // Wedges of 30° about one edge with air between them, then the same turned so that none starts at an axis.
    for (wedges, seed) in [(2u32, 0u64), (3, 1), (5, 2)] {
        let mut mesh = Mesh::default();
        for i in 0..wedges {
            let at = |deg: f32, z: f32| {
                let (s, c) = deg.to_radians().sin_cos();
                Vec3::new(10.0 * c, 10.0 * s, z)
            };
            let deg = 360.0 / wedges as f32 * i as f32 + 17.0;
            let mut wedge = Mesh {
                positions: vec![
                    Vec3::ZERO,
                    at(deg, 0.0),
                    at(deg + 30.0, 0.0),
                    Vec3::new(0.0, 0.0, 8.0),
                    at(deg, 8.0),
                    at(deg + 30.0, 8.0),
                ],
                triangles: vec![[0, 2, 1], [3, 4, 5], [1, 2, 5], [1, 5, 4], [0, 1, 4], [0, 4, 3], [2, 0, 3], [2, 3, 5]],
            };
            wedge.triangles.rotate_left((i as usize * 3) % 8);
            mesh.append(&wedge);
        }
        let welded = rewelded(&mesh);
        let turned = welded.transformed(&super::awkward::turn(seed));
        for mesh in [welded, turned] {
            let t = Topology::of(&mesh);
            assert_eq!((t.non_manifold_edges, t.bodies, t.is_watertight(), t.is_closed()), (1, wedges, true, false));
            let (split, _) = split_fans(&mesh, &t);
            assert!(Topology::of(&split).is_closed());
        }
    }
}

#[test]
fn euler_characteristic_is_that_of_the_shape() {
    // V − E + F = 2 − 2g for each closed shell.
    let mut hollow = cuboid(Vec3::splat(-5.0), Vec3::splat(5.0));
    hollow.append(&ball(Vec3::ZERO, 3.0, 1));
    for (mesh, expected, bodies) in [
        (ball(Vec3::ZERO, 1.0, 3), 2, 1),
        (cylinder(Vec3::ZERO, Vec3::Z, 1.0, 17), 2, 1),
        (torus(3.0, 1.0, 12, 8), 0, 1),
        (hollow, 4, 2),
    ] {
        let topology = Topology::of(&mesh);
        let euler = mesh.positions.len() as i64 - i64::from(topology.edges) + mesh.triangles.len() as i64;
        assert_eq!((euler, topology.bodies), (expected, bodies));
        assert!(topology.is_watertight() && topology.is_closed());
        assert_eq!(3 * mesh.triangles.len(), 2 * topology.edges as usize);
    }
}

#[test]
fn each_fault_is_told_apart() {
    let cube = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let mut open = cube.clone();
    open.triangles.pop();
    let t = Topology::of(&open);
    assert_eq!((t.open_edges, t.is_closed(), t.is_watertight()), (3, false, false));

    let mut turned = cube.clone();
    turned.triangles[0].swap(0, 1);
    let t = Topology::of(&turned);
    assert_eq!((t.open_edges, t.inconsistent_edges, t.is_watertight(), t.bodies), (0, 3, false, 1));

    let mut pair = cube.clone();
    pair.append(&cuboid(Vec3::new(10.0, 10.0, 0.0), Vec3::new(20.0, 20.0, 10.0)));
    let t = Topology::of(&rewelded(&pair));
    // Closed, two bodies, and one edge with four triangles.
    assert_eq!((t.non_manifold_edges, t.is_watertight(), t.is_closed(), t.bodies), (1, true, false, 2));

    let mut degenerate = cube.clone();
    degenerate.positions.push(Vec3::new(5.0, 0.0, 0.0));
    degenerate.triangles.extend([[0, 1, 8], [2, 2, 3]]);
    assert_eq!(Topology::of(&degenerate).degenerate_triangles, 2);
    assert_eq!(Topology::of(&Mesh::default()), Topology::default());
}

/// Number of fans at each vertex, by brute force over linked neighbours.
fn fans(mesh: &Mesh) -> HashMap<u32, usize> {
    let topology = Topology::of(mesh);
    let linked = |t: usize, u: usize| topology.neighbours[t].contains(&(u as u32));
    let edges = edges(mesh);
    let mut at: HashMap<u32, Vec<usize>> = HashMap::new();
    for (t, c) in mesh.triangles.iter().enumerate() {
        c.iter().for_each(|&v| at.entry(v).or_default().push(t));
    }
    at.into_iter()
        .map(|(v, mut left)| {
            let mut count = 0;
            while let Some(seed) = left.pop() {
                count += 1;
                let mut stack = vec![seed];
                while let Some(t) = stack.pop() {
                    let (joined, rest): (Vec<usize>, Vec<usize>) = left.iter().partition(|&&u| {
                        mesh.triangles[u].iter().filter(|&&w| w != v).any(|&w| {
                            let pair = edges.get(&[v.min(w), v.max(w)]);
                            pair.is_some_and(|p| p.contains(&t) && p.contains(&u) && linked(t, u))
                        })
                    });
                    stack.extend(joined);
                    left = rest;
                }
            }
            (v, count)
        })
        .collect()
}

#[test]
fn touching_points_are_split_into_fans() {
    // Two cubes that share one corner, two that share one edge, and a pinched tube: two cones tip to tip.
    let mut corner = cuboid(Vec3::ZERO, Vec3::ONE);
    corner.append(&cuboid(Vec3::ONE, Vec3::splat(2.0)));
    let mut edge = cuboid(Vec3::ZERO, Vec3::ONE);
    edge.append(&cuboid(Vec3::new(1.0, 1.0, 0.0), Vec3::new(2.0, 2.0, 1.0)));
    for (mesh, welded_vertices) in [(corner, 15), (edge, 14)] {
        let welded = rewelded(&mesh);
        assert_eq!(welded.positions.len(), welded_vertices);
        let (split, original) = split_fans(&welded, &Topology::of(&welded));
        assert_eq!(split.positions.len(), 16);
        assert!(Topology::of(&split).is_closed());
        assert_eq!(Measures::of(&split), Measures::of(&welded));
        for (v, &o) in original.iter().enumerate() {
            assert_eq!(split.positions[v], welded.positions[o as usize]);
            assert!(v >= welded_vertices || o as usize == v);
        }
    }
}

#[test]
fn after_the_split_every_vertex_has_one_fan() {
    for (name, mesh) in zoo().into_iter().map(|(n, m)| (n, rewelded(&m))) {
        let (split, _) = split_fans(&mesh, &Topology::of(&mesh));
        let wanted: usize = fans(&mesh).values().sum();
        let used: std::collections::HashSet<u32> = split.triangles.iter().flatten().copied().collect();
        assert_eq!(used.len(), wanted, "{name}");
        for t in 0..mesh.triangles.len() {
            assert_eq!(split.corners(t), mesh.corners(t), "{name}");
        }
    }
}
