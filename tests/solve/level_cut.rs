//! Solids cut off at a level: areas of filled outlines, volumes of closed caps.

use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::closed_surface::{ClosedSurface, NotClosed};
use mouldbench::solve::level_cut::{fill, solid_above};
use mouldbench::solve::run::Run;
use mouldbench::solve::surface_tree::SurfaceTree;
use std::sync::Arc;

fn surface(mesh: &Mesh) -> Result<Arc<ClosedSurface>, NotClosed> {
    let tree = Arc::new(Tree::of(mesh));
    ClosedSurface::new(Arc::new(mesh.clone()), tree, &Run::new()).map(Arc::new)
}

fn tree(mesh: &Mesh, up: DVec3) -> SurfaceTree {
    SurfaceTree::new(&surface(mesh).expect("closed"), up, &Run::new()).expect("outward")
}

fn ring(points: &[(f64, f64)]) -> Vec<[DVec2; 2]> {
    (0..points.len()).map(|i| [points[i], points[(i + 1) % points.len()]].map(|(x, y)| DVec2::new(x, y))).collect()
}

fn area(segments: &[[DVec2; 2]]) -> f64 {
    fill(segments)
        .iter()
        .map(|[a, b, c]| {
            let double = (*b - *a).perp_dot(*c - *a);
            assert!(double >= 0.0, "triangles are counter-clockwise");
            0.5 * double
        })
        .sum()
}

#[test]
fn outlines_with_holes_and_islands_are_filled() {
    let square = ring(&[(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)]);
    let hole = ring(&[(1.0, 1.0), (1.0, 5.0), (5.0, 5.0), (5.0, 1.0)]);
    let island = ring(&[(2.0, 3.0), (3.0, 2.0), (4.0, 3.0), (3.0, 4.0)]);
    assert!((area(&square) - 36.0).abs() < 1e-12);
    assert!((area(&[square.clone(), hole.clone()].concat()) - 20.0).abs() < 1e-12);
    assert!((area(&[square.clone(), hole, island].concat()) - 22.0).abs() < 1e-12);
    // A segment there and back adds nothing; a spiral and its tie in height do no harm.
    let there = [DVec2::new(1.0, 1.0), DVec2::new(4.0, 5.0)];
    assert!((area(&[square, vec![there, [there[1], there[0]]]].concat()) - 36.0).abs() < 1e-12);
    let comb = ring(&[(0.0, 0.0), (5.0, 0.0), (5.0, 3.0), (4.0, 3.0), (4.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)]);
    assert!((area(&comb) - (5.0 + 4.0)).abs() < 1e-12);
    assert!(fill(&[]).is_empty());
}

#[test]
fn the_cap_closes_the_solid_and_holds_the_stated_volume() {
    let mut hollow = solids::ball(Vec3::ZERO, 10.0, 3);
    let mut void = solids::ball(Vec3::new(1.0, 2.0, 1.0), 4.0, 2);
    for t in &mut void.triangles {
        t.swap(0, 1);
    }
    hollow.append(&void);
    let shapes = [solids::torus(8.0, 3.0, 24, 12), solids::cuboid(Vec3::splat(-3.0), Vec3::new(5.0, 6.0, 7.0)), hollow];
    for mesh in &shapes {
        for up in [DVec3::Z, DVec3::X, DVec3::new(0.3, -0.4, 0.8), DVec3::new(-1.0, 0.2, 0.1)] {
            let tree = tree(mesh, up);
            for share in [0.05, 0.3, 0.5, 0.77] {
                let (low, high) = (tree.tree.branches[0].bottom, tree.tree.branches[0].summit);
                let level = low + share * (high - low);
                for branch in tree.tree.cut(level) {
                    let stated = tree.volume_above(branch, level);
                    let shape = solid_above(&tree, branch, level);
                    let measured = Measures::of(&shape).volume_mm3;
                    assert!((measured - stated).abs() < 1e-4 * stated.max(1.0), "{measured} for {stated}");
                    // A surface that is not closed has another volume about another origin.
                    let mut moved = shape.clone();
                    for p in &mut moved.positions {
                        *p += Vec3::new(64.0, -32.0, 128.0);
                    }
                    let moved = about_zero(&moved);
                    assert!((moved - stated).abs() < 2e-3 * stated.max(1.0), "{moved} for {stated}");
                    assert!(shape.positions.iter().all(|p| p.as_dvec3().dot(tree.up) > level - 1e-4));
                }
            }
        }
    }
}

/// Volume by tetrahedra from the origin, no local centre taken.
fn about_zero(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len()).map(|t| mesh.corners_f64(t)).map(|[a, b, c]| a.dot(b.cross(c)) / 6.0).sum()
}

#[test]
fn meshes_that_bound_nothing_are_refused_with_a_place() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::splat(2.0));
    let mut open = cube.clone();
    open.triangles.pop();
    assert!(matches!(surface(&open), Err(NotClosed::Edge { at }) if at.x == 2.0));
    let mut wound = cube.clone();
    wound.triangles[3].swap(0, 1);
    assert!(matches!(surface(&wound), Err(NotClosed::Edge { .. })));
    assert_eq!(surface(&Mesh::default()).map(|_| ()), Err(NotClosed::Empty));
    let mut inside_out = cube.clone();
    for t in &mut inside_out.triangles {
        t.swap(0, 1);
    }
    let surface = surface(&inside_out).expect("its edges pair");
    let error = SurfaceTree::new(&surface, DVec3::Z, &Run::new()).map(|_| ());
    assert!(matches!(error, Err(NotClosed::NothingAbove { at }) if at.z == 2.0), "{error:?}");
    let stopped = Run::new();
    stopped.cancel();
    assert!(matches!(SurfaceTree::new(&surface, DVec3::Z, &stopped), Err(NotClosed::Cancelled(_))));
}

#[test]
fn vertices_where_the_surface_touches_itself_are_taken_apart() {
    // Two cubes that share one corner, and two that share one edge.
    let (a, b) = (Vec3::ZERO, Vec3::splat(2.0));
    let pair = |shift: Vec3| {
        let mut mesh = solids::cuboid(a, b);
        mesh.append(&solids::cuboid(a + shift, b + shift));
        mouldbench::mesh::weld::weld(&mouldbench::mesh::weld::soup_of(&mesh))
    };
    for (shift, shared) in [(Vec3::splat(2.0), 1), (Vec3::new(2.0, 2.0, 0.0), 2)] {
        let mesh = pair(shift);
        assert_eq!(mesh.positions.len(), 16 - shared);
        let surface = surface(&mesh).expect("closed");
        assert_eq!(surface.vertices(), 16);
        let tree = SurfaceTree::new(&surface, DVec3::Z, &Run::new()).expect("outward");
        let volumes: Vec<f64> = tree.tree.roots().map(|r| tree.tree.branches[r as usize].volume).collect();
        assert_eq!(volumes.len(), 2);
        assert!(volumes.iter().all(|v| (v - 8.0).abs() < 1e-9), "{volumes:?}");
    }
}
