//! Counts, sums and bounds of meshes in this project against general-purpose libraries, and the awkward meshes against
//! answers worked by hand (`tests/assets/README.md`).

use super::reference_values::{MESHES, UNITED};
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::weld::weld;
use std::collections::HashSet;
use std::path::Path;

/// A mesh of the project about the file's own middle, which is given beside it, by another reader than our own.
fn read(path: &str) -> (Mesh, DVec3) {
    let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let stl = stl_io::read_stl(&mut std::io::BufReader::new(std::fs::File::open(full).unwrap())).unwrap();
    let corners: Vec<[Vec3; 3]> =
        stl.faces.iter().map(|f| f.vertices.map(|v| Vec3::from_array(stl.vertices[v].into()))).collect();
    let mesh = weld(&corners);
    // Whole millimetres, so that single precision loses nothing more than the file had lost.
    let middle = mesh.bounds().centre().round();
    let about: Vec<[Vec3; 3]> = corners.iter().map(|t| t.map(|p| p - middle)).collect();
    (weld(&about), middle.as_dvec3())
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
        // A text file far from the origin has lost decimals to single precision: half a unit in the last place
        // there is 4 µm, over every wall.
        let far = middle.length() > 1e4;
        let (rounding, volume_off, area_off) =
            if far { (8e-3, 8e-3 * wanted.area_mm2, 8e-3 * 200.0) } else { (2e-5, 1e-3, 1e-3) };
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
fn the_sum_over_bodies_counts_twice_what_the_union_counts_once() {
    // Overlap 5 x 6 x 6, twice the same cube, and cubes that only touch: worked by hand.
    let overlaps = [5.0 * 36.0, 0.0, 0.0, 0.0, 1000.0];
    for (&(path, united, _), overlap) in UNITED.iter().zip(overlaps) {
        let (mesh, _) = read(path);
        assert!((Measures::of(&mesh).volume_mm3 - united - overlap).abs() < 1e-3, "{path}");
    }
}
