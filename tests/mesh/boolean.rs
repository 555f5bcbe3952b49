//! Union and difference by volume, on tricky pairs.

use super::awkward::turn;
use glam::{DAffine3, DVec3, Vec3};
use mouldbench::mesh::boolean::{BooleanError, crosses_itself, part, subtract, unite, unite_bodies};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::solids::{ball, cuboid, cylinder};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::{Mesh, read_stl};
use std::path::Path;

fn volume(mesh: &Mesh) -> f64 {
    Measures::of(mesh).volume_mm3
}

fn cube(at: Vec3, edge: f32) -> Mesh {
    cuboid(at, at + Vec3::splat(edge))
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-4 * wanted.abs().max(1.0), "{found} / {wanted}");
}

#[test]
fn cubes_that_overlap_touch_or_are_the_same() {
    let a = cube(Vec3::ZERO, 10.0);
    for (b, wanted) in [
        (cube(Vec3::new(5.0, 5.0, 5.0), 10.0), 2000.0 - 125.0),
        (cube(Vec3::new(10.0, 0.0, 0.0), 10.0), 2000.0),
        (cube(Vec3::new(10.0, 10.0, 0.0), 10.0), 2000.0),
        (cube(Vec3::new(30.0, 0.0, 0.0), 10.0), 2000.0),
        (cube(Vec3::ZERO, 10.0), 1000.0),
        (cube(Vec3::splat(2.0), 3.0), 1000.0),
    ] {
        for place in [DAffine3::IDENTITY, turn(3), DAffine3::from_translation(DVec3::new(900.0, -700.0, 300.0))] {
            let (a, b) = (a.transformed(&place), b.transformed(&place));
            let one = unite(&[&a, &b]).expect("united");
            near(volume(&one), wanted);
            assert!(Topology::of(&one).is_closed());
            let mut both = a.clone();
            both.append(&b);
            near(volume(&unite_bodies(&both).expect("united")), wanted);
        }
    }
}

#[test]
fn a_drilled_plate() {
    let plate = cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 4.0));
    let drill = cylinder(Vec3::new(0.0, 0.0, -5.0), Vec3::new(0.0, 0.0, 9.0), 6.0, 48);
    let hole = 0.5 * 48.0 * 36.0 * (std::f64::consts::TAU / 48.0).sin() * 4.0;
    let drilled = subtract(&plate, &[&drill]).expect("drilled");
    near(volume(&drilled), 6400.0 - hole);
    // A drill that ends in the face of the plate, and one that only touches it.
    let flush = cylinder(Vec3::new(0.0, 0.0, 2.0), Vec3::new(0.0, 0.0, 4.0), 6.0, 48);
    near(volume(&subtract(&plate, &[&flush]).expect("drilled")), 6400.0 - hole / 2.0);
    let beside = cylinder(Vec3::new(0.0, 0.0, 4.0), Vec3::new(0.0, 0.0, 9.0), 6.0, 48);
    near(volume(&subtract(&plate, &[&beside]).expect("as it was")), 6400.0);
    assert_eq!(subtract(&drill, &[&cube(Vec3::splat(-50.0), 100.0)]), Err(BooleanError::Empty));
}

#[test]
fn a_ball_with_rods_keeps_its_volume_within_set_algebra() {
    let body = ball(Vec3::ZERO, 20.0, 4);
    let rods: Vec<Mesh> = (0..6)
        .map(|i| {
            let x = -10.0 + 4.0 * i as f32;
            cylinder(Vec3::new(x, 0.0, 0.0), Vec3::new(x, 0.0, 40.0), 0.75, 24)
        })
        .collect();
    let mut all: Vec<&Mesh> = vec![&body];
    all.extend(&rods);
    let one = unite(&all).expect("united");
    // What a rod adds is its length beyond the ball, between the heights of the sphere at its near and far side.
    let section = 0.5 * 24.0 * 0.75f64.powi(2) * (std::f64::consts::TAU / 24.0).sin();
    let added: f64 = (0..6).map(|i| section * (40.0 - (400.0 - (-10.0 + 4.0 * i as f64).powi(2)).sqrt())).sum();
    let found = volume(&one) - volume(&body);
    assert!((found - added).abs() < 0.01 * added, "{found} / {added}");
}

#[test]
fn answers_of_the_awkward_meshes() {
    for (name, wanted) in [
        ("overlapping_bodies", 2540.0),
        ("duplicated_part", 1000.0),
        ("touching_face", 2000.0),
        ("touching_edge", 2000.0),
        ("touching_vertex", 2000.0),
        ("inner_void", 7000.0),
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/assets/{name}.stl"));
        let mesh = read_stl::read(&path, 1.0).expect("read").mesh;
        near(volume(&unite_bodies(&mesh).unwrap_or_else(|e| panic!("{name}: {e}"))), wanted);
    }
}

#[test]
fn open_meshes_are_refused_and_crossings_seen() {
    let mut open = cube(Vec3::ZERO, 10.0);
    open.triangles.pop();
    let whole = cube(Vec3::ZERO, 10.0);
    assert!(matches!(unite(&[&whole, &open]), Err(BooleanError::NotClosed { open: 3, .. })));
    assert!(matches!(unite_bodies(&open), Err(BooleanError::NotClosed { .. })));
    assert_eq!(unite(&[]), Err(BooleanError::Nothing));
    assert_eq!(unite(&[&Mesh::default()]), Err(BooleanError::Nothing));
    let mut crossing = whole.clone();
    crossing.append(&cube(Vec3::splat(5.0), 10.0));
    assert!(crosses_itself(&crossing) && !crosses_itself(&whole));
}

#[test]
fn a_part_is_cut_into_what_is_left_and_what_is_taken() {
    let block = cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 10.0));
    // One half inside, one wholly inside, one that overlaps the first, one that misses.
    let cutters = [
        cuboid(Vec3::new(-5.0, 5.0, 2.0), Vec3::new(5.0, 10.0, 8.0)),
        cuboid(Vec3::new(20.0, 10.0, 4.0), Vec3::new(22.0, 13.0, 9.0)),
        cuboid(Vec3::new(3.0, 5.0, 2.0), Vec3::new(8.0, 10.0, 8.0)),
        cuboid(Vec3::new(80.0, 0.0, 0.0), Vec3::new(90.0, 5.0, 5.0)),
    ];
    for place in [DAffine3::IDENTITY, turn(5)] {
        let block = block.transformed(&place);
        let cutters: Vec<Mesh> = cutters.iter().map(|c| c.transformed(&place)).collect();
        let cutters: Vec<&Mesh> = cutters.iter().collect();
        let (rest, taken) = part(&block, &cutters).expect("parted");
        near(volume(&taken), 8.0 * 5.0 * 6.0 + 2.0 * 3.0 * 5.0);
        near(volume(&rest), 12_000.0 - volume(&taken));
        near(volume(&subtract(&block, &cutters).expect("cut")), volume(&rest));
        let (rest, taken) = part(&block, &cutters[3..]).expect("parted");
        assert!(taken.triangles.is_empty());
        near(volume(&rest), 12_000.0);
    }
    assert_eq!(part(&block, &[]).err(), Some(BooleanError::Nothing));
}
