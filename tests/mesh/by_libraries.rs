//! Counts, sums and bounds of meshes in this project against general-purpose libraries, and the awkward meshes against
//! answers worked by hand (`tests/assets/README.md`).

use super::reference_values::{MESHES, UNITED};
use glam::DVec3;
use mouldbench::mesh::Mesh;
use mouldbench::mesh::boolean::unite;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::read_stl;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::weld::{soup_of, weld};
use std::collections::HashSet;
use std::path::Path;

/// A mesh of the project about its own centre, which is given beside it.
fn read(path: &str) -> (Mesh, DVec3) {
    let reading = read_stl::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join(path), 1.0).unwrap();
    (reading.mesh, reading.centre)
}

fn edges(mesh: &Mesh) -> usize {
    let ends = mesh.triangles.iter().flat_map(|t| [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]);
    ends.map(|(a, b)| (a.min(b), a.max(b))).collect::<HashSet<_>>().len()
}

#[test]
fn counts_sums_and_bounds_are_those_of_a_library() {
    for wanted in MESHES {
        let (mesh, middle) = read(wanted.path);
        let topology = Topology::of(&mesh);
        let measures = Measures::of(&mesh);
        assert_eq!(mesh.triangles.len(), wanted.triangles, "{}", wanted.path);
        assert_eq!(mesh.positions.len(), wanted.vertices, "{}", wanted.path);
        let euler = mesh.positions.len() as i64 - edges(&mesh) as i64 + mesh.triangles.len() as i64;
        assert_eq!(euler, wanted.euler, "{}", wanted.path);
        assert_eq!(topology.bodies, wanted.bodies, "{}", wanted.path);
        assert_eq!(topology.is_closed(), wanted.closed, "{}", wanted.path);
        // The table has six decimals, positions about the centre single precision: 2 µm at most on parts of 120 mm.
        let (rounding, volume_off, area_off) = (1e-5, 1e-2, 1e-2);
        assert!((measures.volume_mm3 - wanted.volume_mm3).abs() < volume_off, "{} {measures:?}", wanted.path);
        assert!((measures.area_mm2 - wanted.area_mm2).abs() < area_off, "{} {measures:?}", wanted.path);
        let centroid = measures.centroid_mm + middle;
        assert!((centroid - DVec3::from_array(wanted.centroid_mm)).length() < rounding, "{} {centroid}", wanted.path);
        let bounds = mesh.bounds();
        for (ours, theirs) in [(bounds.min, wanted.low_mm), (bounds.max, wanted.high_mm)] {
            let off = (ours.as_dvec3() + middle - DVec3::from_array(theirs)).abs().max_element();
            assert!(off < rounding, "{} {ours} {theirs:?}", wanted.path);
        }
    }
}

/// File, bodies, open edges, crowded edges, edges run along twice in one direction, triangles without area.
const FAULTS: &[(&str, u32, u32, u32, u32, u32)] = &[
    ("overlapping_bodies", 2, 0, 0, 0, 0),
    ("touching_face", 2, 0, 5, 0, 0),
    ("touching_edge", 2, 0, 1, 0, 0),
    ("touching_vertex", 2, 0, 0, 0, 0),
    ("open_box", 1, 4, 0, 0, 0),
    ("flipped_body", 2, 0, 0, 0, 0),
    ("inner_void", 2, 0, 0, 0, 0),
    ("plate_with_hole", 1, 0, 0, 0, 0),
    ("tied_towers", 1, 0, 0, 0, 0),
    ("moebius", 1, 48, 0, 1, 0),
    ("mixed_winding", 1, 0, 0, 3, 0),
    ("split_edge_box", 1, 0, 0, 0, 1),
];

#[test]
fn faults_of_the_awkward_meshes() {
    for &(name, bodies, open, crowded, inconsistent, degenerate) in FAULTS {
        let (mesh, _) = read(&format!("tests/assets/{name}.stl"));
        let topology = Topology::of(&mesh);
        let found = (
            topology.bodies,
            topology.open_edges,
            topology.non_manifold_edges,
            topology.inconsistent_edges,
            topology.degenerate_triangles,
        );
        assert_eq!(found, (bodies, open, crowded, inconsistent, degenerate), "{name}");
    }
    let (fin, _) = read("tests/assets/finned_cube.stl");
    let topology = Topology::of(&fin);
    assert_eq!((topology.open_edges, topology.non_manifold_edges), (2, 1));
    assert!(!topology.is_closed());
    // Every edge of a part that lies on itself is shared by four triangles.
    let (twice, _) = read("tests/assets/duplicated_part.stl");
    assert_eq!(Topology::of(&twice).non_manifold_edges, 18);
}

#[test]
fn the_plate_with_a_hole_has_the_volume_of_its_polygon() {
    // A regular polygon of n corners on a circle of radius r has n/2 r² sin(2π/n).
    let hole = 12.0 * 25.0 * (std::f64::consts::TAU / 24.0).sin();
    let wanted = 5.0 * (40.0 * 30.0 - hole);
    let (mesh, _) = read("tests/assets/plate_with_hole.stl");
    assert!((Measures::of(&mesh).volume_mm3 - wanted).abs() < 1e-3);
}

#[test]
fn united_bodies_have_the_volume_and_surface_of_a_library() {
    // Overlap 5 x 6 x 6, twice the same cube, and cubes that only touch: worked by hand.
    let overlaps = [5.0 * 36.0, 0.0, 0.0, 0.0, 1000.0];
    for (&(path, volume, area), overlap) in UNITED.iter().zip(overlaps) {
        let (mesh, _) = read(path);
        assert!((Measures::of(&mesh).volume_mm3 - volume - overlap).abs() < 1e-2, "{path}");
        // Each file holds two bodies of the same count, one after the other.
        let soup = soup_of(&mesh);
        let (first, second) = soup.split_at(soup.len() / 2);
        let (first, second) = (weld(first), weld(second));
        let united = Measures::of(&unite(&[&first, &second]).unwrap());
        assert!((united.volume_mm3 - volume).abs() < 1e-2, "{path}: {united:?}");
        assert!((united.area_mm2 - area).abs() < 1e-2, "{path}: {united:?}");
    }
}
