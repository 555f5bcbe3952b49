//! Meshes made fit for readers that join equal places in single precision.

use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::sound::sound;
use mouldbench::mesh::{Mesh, boolean, read_stl, solids};
use std::collections::HashMap;
use std::path::Path;

/// What a strict reader finds in loose triangles: each directed edge between two places, by the bits of their coordinates, is
/// run along exactly once, and once the other way; each triangle has an area in single precision. Gives the volume, mm³.
pub fn strict(name: &str, soup: &[[Vec3; 3]]) -> f64 {
    let bits = |p: Vec3| p.to_array().map(|x| (x + 0.0).to_bits());
    let mut uses: HashMap<([u32; 3], [u32; 3]), u32> = HashMap::new();
    let mut volume = 0.0;
    for (i, t) in soup.iter().enumerate() {
        assert!((t[1] - t[0]).cross(t[2] - t[0]).length() > 0.0, "{name}: triangle {i} has no area: {t:?}");
        for k in 0..3 {
            let (a, b) = (bits(t[k]), bits(t[(k + 1) % 3]));
            assert_ne!(a, b, "{name}: triangle {i} has collapsed: {t:?}");
            *uses.entry((a, b)).or_default() += 1;
        }
        let [a, b, c] = t.map(|p| p.as_dvec3());
        volume += a.dot(b.cross(c)) / 6.0;
    }
    for ((a, b), count) in &uses {
        let back = uses.get(&(*b, *a)).copied().unwrap_or(0);
        let place = a.map(f32::from_bits);
        assert_eq!(
            (*count, back),
            (1, 1),
            "{name}: an edge at {place:?} is run along {count} times, back {back} times"
        );
    }
    volume
}

fn soup(mesh: &Mesh) -> Vec<[Vec3; 3]> {
    (0..mesh.triangles.len()).map(|t| mesh.corners(t)).collect()
}

fn asset(name: &str) -> Mesh {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/assets").join(name);
    read_stl::read(&path, 1.0).expect("readable").mesh
}

/// Two bodies that touch along an edge have four faces there, two that touch along a face have six and eight: parted, their
/// volumes stay what they were. A face that is common is no wall: the two become one.
#[test]
fn what_touches_is_parted_and_what_has_no_thickness_goes() {
    for name in ["touching_edge.stl", "touching_face.stl", "touching_vertex.stl", "overlapping_bodies.stl"] {
        let mesh = asset(name);
        let before = Measures::of(&mesh).volume_mm3;
        let after = strict(name, &soup(&sound(&mesh).unwrap_or_else(|e| panic!("{name}: {e}"))));
        assert!((after / before - 1.0).abs() < 1e-5, "{name}: {after} of {before} mm³");
    }
}

/// A corner in line with an edge, on it or a few units in the last place off it, makes a triangle without area.
#[test]
fn triangles_in_line_are_flipped_away() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 10.0));
    for (name, share, off) in [("in the middle", 0.5, 0.0), ("near an end", 1e-6, 0.0), ("a hair off", 0.3, 2e-6)] {
        let mut mesh = cube.clone();
        // One of the twelve gets a corner on its edge from a to b, and the edge a triangle of no height.
        let [a, b, c] = mesh.triangles[0];
        let at = mesh.positions[a as usize].lerp(mesh.positions[b as usize], share);
        let m = mesh.positions.len() as u32;
        mesh.positions.push(at + Vec3::splat(off));
        mesh.triangles[0] = [a, m, c];
        mesh.triangles.extend([[m, b, c], [a, b, m]]);
        let made = sound(&mesh).unwrap_or_else(|e| panic!("{name}: {e}"));
        let volume = strict(name, &soup(&made));
        assert!((volume / 6000.0 - 1.0).abs() < 1e-5, "{name}: {volume} mm³");
    }
}

/// A slit and a film of a thousandth of what single precision tells apart at a metre: gone, and the rest is what it was.
#[test]
fn slits_and_films_below_single_precision_go_or_are_told() {
    let block = solids::cuboid(Vec3::splat(-10.0), Vec3::splat(10.0));
    let far = DAffine3::from_rotation_translation(DQuat::from_rotation_y(0.4), DVec3::new(900.0, -500.0, 200.0));
    // As wide as a cut that severs is written, and so thin that single precision knows nothing of it there.
    for (thick, must) in [(0.02, true), (5e-6, false)] {
        let slit = solids::cuboid(Vec3::new(-4.0, -4.0, 0.0), Vec3::new(4.0, 15.0, thick));
        let made = boolean::subtract(&block, &[&slit]).expect("slit");
        match sound(&made.transformed(&far)) {
            Ok(made) => {
                let volume = strict("slit", &soup(&made));
                assert!((volume / 8000.0 - 1.0).abs() < 5e-4, "{volume} mm³");
            }
            Err(told) => assert!(!must && told.edges + told.triangles > 0, "{thick}: {told:?}"),
        }
    }
}

/// What is open stays open and is told, and nothing at all is no body.
#[test]
fn an_open_mesh_is_told() {
    let mut ball = solids::ball(Vec3::ZERO, 10.0, 2);
    ball.triangles.pop();
    assert_eq!(sound(&ball).expect_err("open").edges, 3);
    assert!(sound(&Mesh::default()).is_err());
}
