//! Cells where the cavity is not closed: the same answers within the error that they state.

use super::shapes::*;
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::winding::Winding;
use mouldbench::solve::closed_surface::NotClosed;
use mouldbench::solve::run::Run;
use mouldbench::study::air::{AirTree, high_points, walk};
use std::sync::Arc;

fn cells(mesh: &Mesh, up: DVec3) -> AirTree {
    AirTree::on_cells(&Arc::new(mesh.clone()), &Arc::new(Tree::of(mesh)), &Winding::of(mesh), up, 40_000, &Run::new())
        .expect("nobody cancels")
}

#[test]
fn an_open_mesh_is_done_on_cells_and_says_so() {
    let mut mesh = two_towers();
    let removed = mesh.triangles.iter().position(|t| t.iter().all(|&v| mesh.positions[v as usize].z == 0.0));
    mesh.triangles.remove(removed.expect("a floor"));
    let air = air_or_cells(&mesh, Vec3::Z, 0.0);
    assert!(matches!(air.on_cells, Some(NotClosed::Edge { at }) if at.z == 0.0));
    let points = high_points::high_points(&air.level, 20.0);
    assert_eq!(points.len(), 2);
    assert!(points[0].position.distance(Vec3::new(12.0, 3.0, 12.0)) < 0.5, "{}", points[0].position);
    let trapped = air.trapped(&[vent(1, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)]);
    let error: f64 = trapped.pieces.iter().map(|p| air.level.error_mm3(p)).sum();
    assert!((trapped.total_mm3 - 240.0).abs() <= error, "{} ± {error}", trapped.total_mm3);
    assert!(error > 0.0 && error < 60.0, "{error}");
}

#[test]
fn closed_shapes_on_cells_agree_with_the_exact_tree() {
    let mut dice = Dice(3);
    for (name, mesh) in gallery() {
        for up in [DVec3::Z, dice.direction()] {
            let exact = air(&mesh, up.as_vec3(), 0.0);
            let cells = cells(&mesh, up);
            let points = high_points::high_points(&exact.level, 30.0);
            let top = points[0].position;
            let mouths = [vent(1, top, Vec3::ZERO, 1.5)];
            let on_cells = walk::trapped(&cells, &mouths);
            let exact = exact.trapped(&mouths);
            let error: f64 = on_cells.pieces.iter().map(|p| cells.error_mm3(p)).sum();
            let whole = walk::trapped(&cells, &[]);
            // Side pockets of a few cells are not seen, and the mouth reaches a cell further.
            let allowed = error + 5.0;
            assert!(
                (on_cells.total_mm3 - exact.total_mm3).abs() <= allowed,
                "{name} up {up:?}: {} on cells, {} exact, ± {error}",
                on_cells.total_mm3,
                exact.total_mm3
            );
            let exact_whole = mouldbench::mesh::measure::Measures::of(&mesh).volume_mm3;
            assert!((whole.total_mm3 - exact_whole).abs() <= cells.error_mm3(&whole.pieces[0]), "{name}");
        }
    }
}

#[test]
fn the_shape_on_cells_holds_its_volume() {
    let cells = cells(&two_towers(), DVec3::Z);
    for piece in walk::trapped(&cells, &[vent(1, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)]).pieces {
        let measured = mouldbench::mesh::measure::Measures::of(&cells.shape(&piece)).volume_mm3;
        assert!((measured - piece.volume_mm3).abs() < 1e-3 * piece.volume_mm3, "{measured} {}", piece.volume_mm3);
    }
}
