//! Ways over triangles against known shortest paths.

use glam::Vec3;
use mouldbench::mesh::refine::refine;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::Run;
use mouldbench::solve::straight::{Anywhere, Triangles, straighten};
use std::collections::{BTreeSet, HashMap};

fn nearest(mesh: &Mesh, p: Vec3) -> u32 {
    (0..mesh.positions.len())
        .min_by(|&a, &b| mesh.positions[a].distance(p).total_cmp(&mesh.positions[b].distance(p)))
        .expect("vertices") as u32
}

/// A sleeve of triangles from one vertex to another with fewest steps.
fn sleeve(mesh: &Mesh, across: &[[u32; 3]], from: u32, to: u32) -> Vec<u32> {
    let mut came: HashMap<u32, u32> = HashMap::new();
    let starts: Vec<u32> =
        (0..mesh.triangles.len() as u32).filter(|&t| mesh.triangles[t as usize].contains(&from)).collect();
    let mut queue: std::collections::VecDeque<u32> = starts.iter().copied().collect();
    let mut seen: BTreeSet<u32> = starts.iter().copied().collect();
    while let Some(t) = queue.pop_front() {
        if mesh.triangles[t as usize].contains(&to) {
            let mut way = vec![t];
            while let Some(&before) = came.get(&way[way.len() - 1]) {
                way.push(before);
            }
            way.reverse();
            return way;
        }
        for &g in across[t as usize].iter().filter(|&&g| g != Topology::NONE) {
            if seen.insert(g) {
                came.insert(g, t);
                queue.push_back(g);
            }
        }
    }
    panic!("no way");
}

fn length(mesh: &Mesh, from: Vec3, to: Vec3) -> f64 {
    let across = Topology::of(mesh).neighbours;
    let (from, to) = (nearest(mesh, from), nearest(mesh, to));
    let triangles = Triangles { positions: &mesh.positions, corners: &mesh.triangles, across: &across };
    let way = straighten(triangles, sleeve(mesh, &across, from, to), from, to, &Anywhere, &Run::new())
        .expect("not cancelled")
        .expect("a way");
    assert_eq!(way.crossings.len() + 1, way.sleeve.len());
    // The crossings add up to the length that is said.
    let mut at = mesh.positions[from as usize];
    let mut sum = 0.0;
    for c in &way.crossings {
        let t = mesh.triangles[c.triangle as usize];
        let (a, b) =
            (mesh.positions[t[c.edge as usize] as usize], mesh.positions[t[(c.edge as usize + 1) % 3] as usize]);
        let p = a + (b - a) * c.share;
        sum += at.as_dvec3().distance(p.as_dvec3());
        at = p;
    }
    sum += at.as_dvec3().distance(mesh.positions[to as usize].as_dvec3());
    assert!((sum - way.length).abs() < 1e-4 * sum, "{sum} {}", way.length);
    way.length
}

/// On a plane of small triangles: the straight line.
#[test]
fn straight_on_a_plane() {
    let square = Mesh {
        positions: vec![Vec3::ZERO, Vec3::X * 10.0, Vec3::new(10.0, 7.0, 0.0), Vec3::Y * 7.0],
        triangles: vec![[0, 1, 2], [0, 2, 3]],
    };
    let fine = refine(&square, 0.4, 10_000).mesh;
    for (a, b) in
        [(Vec3::new(1.0, 1.0, 0.0), Vec3::new(9.0, 6.0, 0.0)), (Vec3::new(0.3, 6.0, 0.0), Vec3::new(8.0, 0.4, 0.0))]
    {
        let (a, b) = (fine.positions[nearest(&fine, a) as usize], fine.positions[nearest(&fine, b) as usize]);
        assert!((length(&fine, a, b) - a.distance(b) as f64).abs() < 1e-5);
    }
}

/// Opposite corners of a unit cube are √5 apart over its faces, coarse and fine.
#[test]
fn corners_of_a_cube() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::ONE);
    for mesh in [cube.clone(), refine(&cube, 0.11, 20_000).mesh] {
        let got = length(&mesh, Vec3::ZERO, Vec3::ONE);
        // A locally shortest way may be the unfolding over another pair of faces, which on a cube is as long.
        assert!((got - 5f64.sqrt()).abs() < 1e-5, "{got}");
    }
}

/// The unrolled cylinder R = 10, a quarter turn and 20 along: √((5π)² + 20²) = 25.43108551.
#[test]
fn helix_on_a_cylinder() {
    let rod = refine(&solids::cylinder(Vec3::ZERO, Vec3::Z * 20.0, 10.0, 200), 1.5, 60_000).mesh;
    let got = length(&rod, Vec3::X * 10.0, Vec3::new(0.0, 10.0, 20.0));
    assert!((got - 25.43108551).abs() < 0.004, "{got}");
}

/// On a ball: the great circle, R · angle.
#[test]
fn great_circle_on_a_ball() {
    let ball = solids::ball(Vec3::ZERO, 10.0, 5);
    let got = length(&ball, Vec3::X * 10.0, Vec3::new(-0.6, 0.0, 0.8) * 10.0);
    let (a, b) = (
        ball.positions[nearest(&ball, Vec3::X * 10.0) as usize],
        ball.positions[nearest(&ball, Vec3::new(-6.0, 0.0, 8.0)) as usize],
    );
    let want = 10.0 * (a.dot(b) as f64 / 100.0).acos();
    assert!((got / want - 1.0).abs() < 1e-3, "{got} of {want}");
}
