//! The thickest section against closed forms.

use crate::solve::shapes::{any_turn, band, circle, moved, prism};
use crate::study::numbers::a_job::Job;
use glam::{DVec3, Vec2, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::job::largest_ball::largest;
use proptest::prelude::*;

#[track_caller]
fn thickest(mesh: &Mesh) -> f32 {
    largest(mesh, &Tree::of(mesh), &Run::new()).expect("not cancelled").expect("a ball").diameter_mm
}

#[track_caller]
fn near(got: f32, wanted: f32, share: f32) {
    assert!((got - wanted).abs() <= share * wanted, "{got} for {wanted}");
}

fn cuboid(x: f32, y: f32, z: f32) -> Mesh {
    solids::cuboid(Vec3::ZERO, Vec3::new(x, y, z))
}

/// An open box of `outer` by `outer`, `high`, with walls and floor of `wall`: a lid with a rim. Two triangles a wall.
fn lid(outer: f32, high: f32, wall: f32) -> Mesh {
    let mut mesh = Mesh::default();
    let (o, i) = (outer / 2.0, outer / 2.0 - wall);
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    // Outside low and high, inside high and low.
    for (half, z) in [(o, 0.0), (o, high), (i, high), (i, wall)] {
        mesh.positions.extend(corners.iter().map(|(x, y)| Vec3::new(x * half, y * half, z)));
    }
    for ring in 0..3u32 {
        for k in 0..4u32 {
            let (a, b) = (4 * ring + k, 4 * ring + (k + 1) % 4);
            mesh.triangles.extend([[a, b, b + 4], [a, b + 4, a + 4]]);
        }
    }
    mesh.triangles.extend([[0, 2, 1], [0, 3, 2], [12, 13, 14], [12, 14, 15]]);
    mesh
}

#[test]
fn plates_and_boxes_are_as_thick_as_their_least_side() {
    near(thickest(&cuboid(60.0, 40.0, 2.0)), 2.0, 0.001);
    near(thickest(&cuboid(20.0, 20.0, 20.0)), 20.0, 0.005);
    near(thickest(&cuboid(60.0, 40.0, 20.0)), 20.0, 0.005);
    near(thickest(&cuboid(250.0, 20.0, 20.0)), 20.0, 0.005);
}

#[test]
fn a_rim_is_as_thick_as_its_wall_however_tall() {
    // A ring of 2.5 mm, 30 high: between facets of 5°, 2.5·cos(2.5°).
    let wall = 2.5 * (std::f32::consts::PI / 72.0).cos();
    near(thickest(&band(&circle(40.0, 72), &circle(37.5, 72), 0.0, 30.0)), wall, 0.02);
    // Of a lid the corner where three walls of w meet is thicker: the ball that touches all three outside and the inner
    // corner has r = √3·(w − r), 2r = 3.170 for 2.5.
    let corner = 2.0 * 2.5 * 3f32.sqrt() / (1.0 + 3f32.sqrt());
    near(thickest(&lid(120.0, 30.0, 2.5)), corner, 0.01);
}

#[test]
fn round_bodies_coarse_and_fine() {
    // A cylinder of 48 sides whose area is that of the mesh's own circle: inside it the polygon's inner circle.
    near(
        thickest(&solids::cylinder(Vec3::ZERO, Vec3::Z * 50.0, 9.0, 48)),
        18.0 * (std::f32::consts::PI / 48.0).cos(),
        0.005,
    );
    near(
        thickest(&solids::cylinder(Vec3::ZERO, Vec3::Z * 50.0, 9.0, 6)),
        18.0 * (std::f32::consts::PI / 6.0).cos(),
        0.005,
    );
    // A ball of 5120 triangles, whose middles lie a little under the ball.
    near(thickest(&solids::ball(Vec3::ZERO, 7.0, 4)), 14.0, 0.005);
    near(thickest(&solids::torus(30.0, 4.0, 96, 48)), 8.0, 0.01);
    // Two thin feet, and a knob of 12 between them that is a fiftieth of the whole surface.
    let outline =
        [(0.0, 0.0), (200.0, 0.0), (200.0, 1.5), (106.0, 1.5), (106.0, 12.0), (94.0, 12.0), (94.0, 1.5), (0.0, 1.5)];
    let corners = outline.map(|(x, y)| Vec2::new(x, y));
    let fan = [[0, 6, 7], [0, 1, 6], [1, 3, 6], [1, 2, 3], [6, 3, 4], [6, 4, 5]];
    near(thickest(&prism(&corners, &fan, 0.0, 12.0)), 12.0, 0.01);
}

/// A wedge of two triangles a side, a coarse CAD wall that is thick nowhere in its middle: the incircle of its triangle.
#[test]
fn a_wedge_is_as_thick_as_the_circle_in_it() {
    let wedge = prism(&[(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)].map(|(x, y)| Vec2::new(x, y)), &[[0, 1, 2]], 0.0, 80.0);
    // r = (a + b − c)/2 of a right triangle: (40 + 30 − 50)/2.
    near(thickest(&wedge), 20.0, 0.005);
}

#[test]
fn what_is_open_or_empty_is_no_section() {
    let of = |mesh: &Mesh| largest(mesh, &Tree::of(mesh), &Run::new()).expect("done");
    assert_eq!(of(&Mesh::default()), None);
    // A box without its lid: no ball leaves it for the open.
    let mut open = cuboid(30.0, 20.0, 10.0);
    open.triangles.truncate(10);
    let found = of(&open).map_or(0.0, |b| b.diameter_mm);
    assert!(found <= 10.0 + 1e-3, "{found}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(5))]

    #[test]
    fn turned_and_far_off_it_is_the_same(turn in any_turn(), far in -500.0..500.0f64) {
        let by = DVec3::new(far, -far, 0.5 * far);
        for (mesh, wanted) in [
            (cuboid(60.0, 40.0, 20.0), 20.0),
            (lid(60.0, 25.0, 2.5), 2.0 * 2.5 * 3f32.sqrt() / (1.0 + 3f32.sqrt())),
            (solids::cylinder(Vec3::ZERO, Vec3::Z * 50.0, 9.0, 24), 18.0 * (std::f32::consts::PI / 24.0).cos()),
        ] {
            let got = thickest(&moved(&mesh, turn, by));
            prop_assert!((got - wanted).abs() < 0.01 * wanted, "{} {}", got, wanted);
        }
    }
}

#[test]
fn the_note_and_the_report_say_the_ball() {
    // 60 × 40 × 20, far off: 20, never 60.
    let far = Vec3::new(3000.0, -2000.0, 500.0);
    let job = Job::new(&solids::cuboid(far, far + Vec3::new(60.0, 40.0, 20.0)));
    let told = job.findings().into_iter().find(|f| f.code == "wall-thick").expect("told");
    assert!(told.message.contains("20.0 mm") && told.message.contains("8.0 mm"), "{}", told.message);
    let flow = job.report().flow;
    assert!((flow.thickest_mm.expect("a ball") - 20.0).abs() < 0.1 && flow.thickest_point_mm.is_some());
    // A lid with a rim of 2.5 and 30 high is thick nowhere.
    assert!(!Job::new(&lid(80.0, 30.0, 2.5)).codes().contains(&"wall-thick"));
    // Two bars that cross in one file: 12 where they do, not the 6 of each between walls inside.
    let mut cross = solids::cuboid(Vec3::new(-30.0, -6.0, -6.0), Vec3::new(30.0, 6.0, 6.0));
    let other = solids::cuboid(Vec3::new(-6.0, -30.0, -6.0), Vec3::new(6.0, 30.0, 6.0));
    let count = cross.positions.len() as u32;
    cross.positions.extend(&other.positions);
    cross.triangles.extend(other.triangles.iter().map(|t| t.map(|v| v + count)));
    let told = Job::new(&cross).findings().into_iter().find(|f| f.code == "wall-thick").expect("told");
    assert!(told.message.contains("12.0 mm"), "{}", told.message);
}
