//! Values in cells, read on the wall.

use super::shapes::{carried, moved};
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::solve::cell_field::CellField;
use mouldbench::solve::cells::Cells;
use mouldbench::solve::run::Run;
use std::sync::Arc;

/// Linear values come back as they are half a cell inside the wall, in the middle of triangles that are far larger than
/// cells; where half of what is near has no value there is none.
#[test]
fn linear_values_are_read_on_large_triangles() {
    for (turn, by) in [
        (DQuat::IDENTITY, DVec3::ZERO),
        (DQuat::from_xyzw(0.31, -0.22, 0.47, 0.79).normalize(), DVec3::new(2000.0, -300.0, 50.0)),
    ] {
        let mesh = moved(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 6.0)), turn, by);
        let cells = Arc::new(Cells::fill(&mesh, 0.7, &Run::new()).expect("closed"));
        let along = |p: Vec3| ((turn.inverse() * (p.as_dvec3() - by)).x) as f32;
        let known = |c: u32| if along(cells.centre(c)) < 25.0 { along(cells.centre(c)) } else { f32::INFINITY };
        let field = CellField::new(cells.clone(), (0..cells.len() as u32).map(known).collect());
        let into = (turn * DVec3::NEG_Z).as_vec3();
        for x in [3.3f32, 11.0, 17.9, 23.1] {
            let read = field.on_wall(carried(Vec3::new(x, 14.2, 6.0), turn, by), into);
            // Where cells are missing outside the wall what is left is not quite even: a fifth of a cell.
            let near = if turn == DQuat::IDENTITY { 2e-3 } else { 0.14 };
            assert!((read - x).abs() < near, "{read} {x}");
        }
        // Half of what is near is known one cell before the last.
        assert!(field.on_wall(carried(Vec3::new(24.3, 14.2, 6.0), turn, by), into).is_finite());
        assert!(field.on_wall(carried(Vec3::new(26.0, 14.2, 6.0), turn, by), into).is_infinite());
        assert!(field.on_wall(carried(Vec3::new(10.0, 14.2, 16.0), turn, by), into).is_infinite());
        let doubled = field.map(|v| 2.0 * v);
        assert_eq!(doubled.values()[0], 2.0 * field.values()[0]);
    }
}
