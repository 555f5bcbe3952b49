//! Wall thickness on shapes whose walls are known.

use crate::solve::shapes::{any_turn, band, carried, circle, moved, prism};
use glam::{DQuat, DVec3, Vec2, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::{Cancelled, Run};
use mouldbench::study::job::thickness::Thickness;
use proptest::prelude::*;

fn measure(mesh: &Mesh) -> Thickness {
    Thickness::of(mesh, &Tree::of(mesh), &Topology::of(mesh), &Run::new()).expect("not cancelled")
}

/// All walls within `tolerance` of `mm`.
fn assert_all(thickness: &Thickness, mm: f32, tolerance: f32) {
    for wall in &thickness.walls {
        assert!((wall.thickness_mm - mm).abs() <= tolerance, "{wall:?}");
    }
}

#[test]
fn a_plate_of_two_triangles_a_side_is_as_thick_as_it_is_up_to_its_rim() {
    let thickness = measure(&solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 2.0)));
    // The rim's own walls are the length and the width of the plate.
    let (mut thin, mut rim) = (0.0, 0.0);
    for wall in &thickness.walls {
        if wall.position.z == 0.0 || wall.position.z == 2.0 {
            assert!((wall.thickness_mm - 2.0).abs() < 1e-3, "{wall:?}");
            assert!((wall.opposite.z - wall.position.z).abs() > 1.999);
            thin += wall.area_mm2;
        } else {
            assert!((wall.thickness_mm - 40.0).abs() < 0.05 || (wall.thickness_mm - 60.0).abs() < 0.05, "{wall:?}");
            rim += wall.area_mm2;
        }
    }
    assert!((thin - 4800.0).abs() < 5.0 && (rim - 400.0).abs() < 5.0, "{thin} {rim}");
    assert!((thickness.area_mm2 - 5200.0).abs() < 5.0);
    assert!((thickness.thinnest().expect("a wall").thickness_mm - 2.0).abs() < 1e-3);
    assert_eq!(thickness.of_triangle_mm.len(), 12);
    assert_eq!(thickness.of_triangle_mm.iter().filter(|t| (**t - 2.0).abs() < 1e-3).count(), 4);
}

#[test]
fn a_tube_has_the_wall_of_its_polygon() {
    // 64 sides in step inside and outside: the facets are parallel, (10 − 8)·cos(π/64) apart.
    let thickness = measure(&band(&circle(10.0, 64), &circle(8.0, 64), 0.0, 30.0));
    let wall = 2.0 * (std::f32::consts::PI / 64.0).cos();
    let round: Vec<_> = thickness.walls.iter().filter(|w| w.position.z > 0.0 && w.position.z < 30.0).collect();
    assert!(round.len() > 100_000);
    for w in round {
        assert!((w.thickness_mm - wall).abs() < 0.01, "{w:?}");
    }
    assert!((thickness.thinnest().expect("a wall").thickness_mm - wall).abs() < 0.005);
}

#[test]
fn a_wedge_is_twice_the_inscribed_circle_thick() {
    // Apex at the origin, half angle 5° about x: at distance s from the apex along a face the ball that touches both
    // faces has radius s·tan 5°.
    let half = 5f32.to_radians();
    let (s, c) = half.sin_cos();
    let corners = [Vec2::ZERO, Vec2::new(60.0 * c, -60.0 * s), Vec2::new(60.0 * c, 60.0 * s)];
    let thickness = measure(&prism(&corners, &[[0, 1, 2]], 0.0, 20.0));
    let faces: Vec<_> = thickness
        .walls
        .iter()
        .filter(|w| w.position.z > 0.0 && w.position.z < 20.0 && w.position.x < 59.9 * c)
        .collect();
    assert!(faces.len() > 50_000);
    for w in faces {
        let exact = 2.0 * w.position.truncate().length() * half.tan();
        assert!((w.thickness_mm - exact).abs() < 2e-3 * exact + 1e-3, "{w:?} for {exact}");
    }
    // Face to face at 40° there is no wall, only an edge.
    let blunt = [Vec2::ZERO, Vec2::new(10.0, -10.0 * 0.36397), Vec2::new(10.0, 10.0 * 0.36397)];
    let thickness = measure(&prism(&blunt, &[[0, 1, 2]], 0.0, 20.0));
    assert!(thickness.walls.iter().all(|w| w.position.z == 0.0 || w.position.z == 20.0), "only between the ends");
}

#[test]
fn a_ball_is_as_thick_as_its_diameter() {
    let thickness = measure(&solids::ball(Vec3::new(4.0, 5.0, 6.0), 10.0, 4));
    assert!(thickness.walls.len() > 100_000);
    // Facets at this level lie up to 0.05 inside the ball, and opposed ones are not quite parallel.
    assert_all(&thickness, 20.0, 0.3);
}

#[test]
fn a_thin_rib_on_a_thick_plate_is_found_and_placed() {
    // A T section: plate 30 × 4, rib 0.4 thick and 5 high in its middle, two triangles a wall.
    let corners =
        [(0.0, 0.0), (30.0, 0.0), (30.0, 4.0), (15.2, 4.0), (15.2, 9.0), (14.8, 9.0), (14.8, 4.0), (0.0, 4.0)]
            .map(|(x, y)| Vec2::new(x, y));
    let fan = [[3, 4, 5], [3, 5, 6], [0, 6, 7], [0, 3, 6], [0, 1, 3], [1, 2, 3]];
    for turn in [DQuat::IDENTITY, DQuat::from_euler(glam::EulerRot::XYZ, 0.4, 1.1, 2.0)] {
        let thickness = measure(&moved(&prism(&corners, &fan, 0.0, 40.0), turn, DVec3::ZERO));
        let thinnest = thickness.thinnest().expect("a wall");
        assert!((thinnest.thickness_mm - 0.4).abs() < 0.002, "{thinnest:?}");
        let place = carried(thinnest.position, turn.inverse(), DVec3::ZERO);
        assert!((place.x - 15.0).abs() < 0.21 && place.y > 4.0 && place.y < 9.0, "{place}");
        let below = thickness.below(1.0, 100.0, 5);
        assert_eq!(below.len(), 1);
        // Both sides of the rib, 5 × 40 each.
        assert!((below[0].area_mm2 - 400.0).abs() < 12.0, "{below:?}");
        assert!((thickness.quantile(0.5).expect("a wall").thickness_mm - 4.0).abs() < 0.01);
        assert!(thickness.below(0.3, 10.0, 5).is_empty());
    }
}

#[test]
fn a_step_does_not_thin_the_wall_beside_it() {
    // 5 thick, then 1 thick from x = 20 on: above the thick side the wall is 5 up to where
    // the step's corner comes to lie opposite.
    let corners =
        [(0.0, 0.0), (20.0, 0.0), (20.0, 4.0), (40.0, 4.0), (40.0, 5.0), (0.0, 5.0)].map(|(x, y)| Vec2::new(x, y));
    let thickness = measure(&prism(&corners, &[[0, 1, 2], [0, 2, 5], [2, 3, 4], [2, 4, 5]], 0.0, 30.0));
    for wall in thickness.walls.iter().filter(|w| w.position.y == 5.0 && (w.position.x - 20.0).abs() > 0.3) {
        let exact = if wall.position.x < 20.0 { 5.0 } else { 1.0 };
        assert!((wall.thickness_mm - exact).abs() < 0.01, "{wall:?}");
    }
}

#[test]
fn open_empty_and_cancelled() {
    assert!(measure(&Mesh::default()).walls.is_empty());
    // A box without its lid still has its side walls.
    let mut open = solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 1.0));
    open.triangles.truncate(10);
    let thickness = measure(&open);
    assert!(!thickness.walls.is_empty());
    let single = Mesh { positions: vec![Vec3::ZERO, Vec3::X, Vec3::Y], triangles: vec![[0, 1, 2], [0, 0, 1]] };
    let thickness = measure(&single);
    assert!(thickness.thinnest().is_none() && thickness.quantile(0.1).is_none());
    assert!(thickness.of_triangle_mm.iter().all(|t| t.is_nan()));
    let run = Run::new();
    run.cancel();
    let mesh = solids::ball(Vec3::ZERO, 5.0, 3);
    let cancelled = Thickness::of(&mesh, &Tree::of(&mesh), &Topology::of(&mesh), &run);
    assert_eq!(cancelled.err(), Some(Cancelled));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn attitude_and_place_change_nothing(turn in any_turn(), far in -500.0..500.0f64) {
        let mesh = moved(&band(&circle(10.0, 24), &circle(7.0, 24), 0.0, 2.5), turn, DVec3::new(far, -far, 0.5 * far));
        let thickness = measure(&mesh);
        let radial = 3.0 * (std::f32::consts::PI / 24.0).cos();
        // Between the flat ends 2.5, between the facets 3·cos(π/24).
        let thinnest = thickness.thinnest().expect("a wall").thickness_mm;
        prop_assert!((thinnest - 2.5).abs() < 0.003, "{}", thinnest);
        for w in &thickness.walls {
            let flat = (w.thickness_mm - 2.5).abs() < 0.003;
            prop_assert!(flat || (w.thickness_mm - radial).abs() < 0.05, "{:?}", w);
        }
    }
}
