//! The line while it is dragged: the cheapest way along edges, held where it is held, on creases where it may be.

use super::shapes::cells;
use glam::Vec3;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::live::Ways;
use mouldbench::study::parting::surface::Surface;

fn ways(mesh: &Mesh) -> (Surface, Ways) {
    let surface = Surface::new(mesh, &Run::new()).expect("a surface");
    let ways = Ways::of(&surface, Vec3::Z);
    (surface, ways)
}

/// The least cost from one vertex to another by going through all edges until nothing gets cheaper (Bellman 1958).
fn by_relaxing(surface: &Surface, ways: &Ways, from: u32, to: u32, free: bool) -> f32 {
    let edges: Vec<(u32, u32, f32)> = surface
        .mesh
        .triangles
        .iter()
        .flat_map(|t| (0..3).map(|k| (t[k], t[(k + 1) % 3])))
        .flat_map(|(a, b)| [(a, b), (b, a)])
        .map(|(a, b)| (a, b, ways.cost_of(&[a, b], free).expect("an edge")))
        .collect();
    let mut cost = vec![f32::INFINITY; surface.mesh.positions.len()];
    cost[from as usize] = 0.0;
    loop {
        let mut better = false;
        for &(a, b, c) in &edges {
            if cost[a as usize] + c < cost[b as usize] {
                cost[b as usize] = cost[a as usize] + c;
                better = true;
            }
        }
        if !better {
            return cost[to as usize];
        }
    }
}

#[test]
fn no_way_is_cheaper() {
    // A step with convex and concave creases, one with overlapping coarse walls, a ball.
    let step = cells([3, 2, 2], 5.0, |x, _, z| z == 0 || x == 0);
    for mesh in [step, solids::ball(Vec3::splat(40.0), 10.0, 3)] {
        let (surface, mut ways) = ways(&mesh);
        let n = surface.mesh.positions.len() as u32;
        for (from, to) in [(0, n - 1), (n / 3, n / 2), (n - 1, n / 5)] {
            for free in [false, true] {
                let way = ways.path(from, to, free, &Run::new()).expect("not cancelled").expect("a way");
                assert_eq!((way[0], way[way.len() - 1]), (from, to));
                let cost = ways.cost_of(&way, free).expect("along edges");
                let least = by_relaxing(&surface, &ways, from, to, free);
                assert!((cost - least).abs() <= 1e-4 * least, "{cost} against {least}");
            }
        }
    }
}

#[test]
fn the_way_keeps_to_creases_unless_it_is_free() {
    // Between two corners of a face that lie across from each other: round along the rim, or straight over the face.
    let (surface, mut ways) = ways(&solids::cuboid(Vec3::ZERO, Vec3::new(20.0, 20.0, 20.0)));
    let corner = |x, y| ways.vertex_near(Vec3::new(x, y, 20.0)).expect("a vertex");
    let on_rim = |v: &u32| {
        let p = surface.mesh.positions[*v as usize];
        [p.x, p.y, p.z].iter().filter(|c| c.abs() < 1e-4 || (**c - 20.0).abs() < 1e-4).count() >= 2
    };
    let [near, far] = [corner(0.0, 0.0), corner(20.0, 20.0)];
    let kept = ways.path(near, far, false, &Run::new()).expect("runs").expect("a way");
    assert!(kept.iter().all(on_rim), "the way leaves the creases");
    // Two sides of 20 mm on creases cost 0.15 each millimetre, square to the draw.
    assert!((ways.cost_of(&kept, false).expect("edges") - 40.0 * 0.15).abs() < 1e-3);
    let free = ways.path(near, far, true, &Run::new()).expect("runs").expect("a way");
    assert!(!free.iter().all(on_rim));
    let length = ways.cost_of(&free, true).expect("edges");
    assert!(length >= 20.0 * 2f32.sqrt() - 1e-3 && length < 38.0, "{length} mm");
    assert!(
        ways.on_crease_near(Vec3::new(10.0, 1.0, 20.0), 1.5)
            .is_some_and(|p| p.distance(Vec3::new(10.0, 0.0, 20.0)) < 1e-4)
    );
    assert!(ways.on_crease_near(Vec3::new(10.0, 5.0, 20.0), 1.5).is_none());
}

#[test]
fn a_dragged_line_passes_the_hand_and_stays_at_what_holds_it() {
    let (_, mut ways) = ways(&solids::ball(Vec3::ZERO, 20.0, 5));
    let n = 360;
    let circle: Vec<Vec3> = (0..n)
        .map(|i| {
            let (s, c) = (std::f32::consts::TAU * i as f32 / n as f32).sin_cos();
            Vec3::new(20.0 * c, 20.0 * s, 0.0)
        })
        .collect();
    let hand = Vec3::new(20.0 * 0.3f32.cos(), 0.0, 20.0 * 0.3f32.sin());
    let held = [355, 8];
    let dragged = ways.dragged(&circle, true, &held, 0, hand, false, &Run::new()).expect("runs").expect("a way");
    assert!(dragged.points.iter().any(|p| p.distance(hand) < 1e-6), "the hand is not passed");
    for p in &circle[8..=355] {
        assert!(dragged.points.iter().any(|q| q.distance(*p) < 1e-6), "{p} moved");
    }
    assert!(!dragged.points.iter().any(|q| q.distance(circle[0]) < 0.5), "the line is still where it was taken");
    // Free ends: the far side does not move.
    let dragged = ways.dragged(&circle, true, &[], 0, hand, false, &Run::new()).expect("runs").expect("a way");
    assert!(circle[n / 2 - 40..n / 2 + 40].iter().all(|p| dragged.points.iter().any(|q| q.distance(*p) < 1e-6)));
    assert!(dragged.moved.len() < dragged.points.len());
}
