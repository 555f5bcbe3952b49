//! Trapped air on the awkward meshes of `tests/assets`: what they are is said there.

use super::shapes::{air_or_cells, vent};
use glam::Vec3;
use mouldbench::mesh::Mesh;
use mouldbench::mesh::weld::weld;
use mouldbench::study::air::high_points;
use std::path::Path;

fn asset(name: &str) -> Mesh {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/assets").join(name);
    let mut file = std::fs::File::open(&path).expect("the mesh");
    let read = stl_io::read_stl(&mut file).expect("a binary file");
    let corner = |v: usize| Vec3::from(read.vertices[v].0);
    weld(&read.faces.iter().map(|f| f.vertices.map(corner)).collect::<Vec<_>>())
}

#[test]
fn tied_towers_are_two_high_points() {
    // Towers 8 x 8 from the plate's top at Z = 4 to Z = 14, both.
    let air = air_or_cells(&asset("tied_towers.stl"), Vec3::Z, 2.0);
    assert_eq!(air.on_cells, None);
    let points = high_points::high_points(&air.level, 1.0);
    assert_eq!(points.len(), 2);
    for p in &points {
        assert_eq!((p.height, p.sill), (14.0, Some(4.0)));
        assert!((p.pocket_mm3 - 640.0).abs() < 1e-6, "{}", p.pocket_mm3);
    }
    let both: Vec<_> = points.iter().map(|p| vent(1, p.position, Vec3::Z, 1.0)).collect();
    assert!((air.trapped(&both[..1]).total_mm3 - 640.0).abs() < 1e-6);
    assert_eq!(air.trapped(&both).total_mm3, 0.0);
    assert!(air.worst_mm3(&both) > 1.0);
}

#[test]
fn closed_meshes_are_exact_however_they_touch() {
    for (name, bodies) in [
        ("touching_edge.stl", &[1000.0, 1000.0][..]),
        ("touching_vertex.stl", &[1000.0, 1000.0]),
        ("inner_void.stl", &[7000.0]),
        ("split_edge_box.stl", &[1000.0]),
        ("plate_with_hole.stl", &[5611.771]),
    ] {
        let mesh = asset(name);
        for up in [Vec3::Z, -Vec3::X, Vec3::new(0.3, -0.2, 0.5)] {
            let air = air_or_cells(&mesh, up, 0.0);
            assert_eq!(air.on_cells, None, "{name}");
            let points = high_points::high_points(&air.level, 1.0);
            let pockets: Vec<f64> = points.iter().map(|p| p.pocket_mm3).collect();
            assert_eq!(pockets.len(), bodies.len(), "{name} up {up}: {pockets:?}");
            for (pocket, body) in pockets.iter().zip(bodies) {
                assert!((pocket - body).abs() < 1e-6 * body, "{name} up {up}: {pocket} for {body}");
            }
            assert!(points.iter().all(|p| p.sill.is_none()));
        }
    }
}

#[test]
fn open_and_broken_meshes_go_to_cells_and_say_why() {
    for (name, whole_mm3) in [
        ("open_box.stl", None),
        ("moebius.stl", None),
        ("mixed_winding.stl", None),
        // The body that is inside out counts for nothing by winding number, the other for all of its 1000.
        ("flipped_body.stl", Some(1000.0)),
        ("finned_cube.stl", Some(1000.0)),
    ] {
        let air = air_or_cells(&asset(name), Vec3::new(0.1, 0.2, 1.0), 0.0);
        let why = air.on_cells.unwrap_or_else(|| panic!("{name} is not closed"));
        assert!(why.to_string().contains("closed") || why.to_string().contains("open"), "{why}");
        if let Some(whole) = whole_mm3 {
            let trapped = air.trapped(&[]);
            let error: f64 = trapped.pieces.iter().map(|p| air.level.error_mm3(p)).sum();
            let off = (trapped.total_mm3 - whole).abs();
            assert!(off <= error && error < 0.1 * whole, "{name}: {} ± {error}", trapped.total_mm3);
        }
    }
}
