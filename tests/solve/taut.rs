//! Threads pulled taut against closed forms, in free spaces that are formulas.

use glam::Vec3;
use mouldbench::solve::run::{Cancelled, Run};
use mouldbench::solve::taut::{ROUNDS, length, pull};

/// Distance of the origin's axis z from the straight line a–b, seen along z.
fn clearance(a: Vec3, b: Vec3) -> f32 {
    let (a, b) = (a.truncate(), b.truncate());
    let leg = b - a;
    let t = if leg.length_squared() > 0.0 { (-a.dot(leg) / leg.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    (a + leg * t).length()
}

#[test]
fn round_a_post() {
    // 2√3 + π/3 round the unit disc from (−2, 0) to (2, 0) (tangents and an arc).
    let rough: Vec<Vec3> = [(-2., 0.), (-2., 1.5), (-1., 1.8), (0., 1.5), (1., 2.5), (2., 1.5), (2., 0.)]
        .map(|(x, y)| Vec3::new(x, y, 0.3))
        .into();
    let taut = pull(&rough, 0.02, ROUNDS, |a, b| clearance(a, b) >= 1.0, &Run::new()).expect("not cancelled");
    assert_eq!((taut[0], taut[taut.len() - 1]), (rough[0], rough[6]));
    assert!(taut.windows(2).all(|w| clearance(w[0], w[1]) >= 1.0 - 1e-5));
    let exact = 2.0 * 3f64.sqrt() + std::f64::consts::PI / 3.0;
    let got = length(&taut);
    assert!(got >= exact - 1e-6 && got < exact * 1.002, "{got} for {exact}");
}

#[test]
fn round_a_sharp_edge_in_space() {
    // A half plane x > 0 in y = 0 stands in the way; its edge is the z axis. From (1, −1, 0) to (1, 2, 3) the shortest
    // way unfolds to a straight line: √((√2 + √5)² + 3²).
    let free = |a: Vec3, b: Vec3| {
        if (a.y > 0.0) == (b.y > 0.0) {
            return true;
        }
        let t = a.y / (a.y - b.y);
        a.x + (b.x - a.x) * t <= 0.0
    };
    let rough = [Vec3::new(1., -1., 0.), Vec3::new(-2., -1., 0.), Vec3::new(-2., 2., 3.), Vec3::new(1., 2., 3.)];
    let taut = pull(&rough, 0.02, ROUNDS, free, &Run::new()).expect("not cancelled");
    let exact = ((2f64.sqrt() + 5f64.sqrt()).powi(2) + 9.0).sqrt();
    let got = length(&taut);
    assert!(got >= exact - 1e-6 && got < exact * 1.002, "{got} for {exact}");
}

#[test]
fn free_space_gives_a_straight_line_and_nothing_gives_nothing() {
    let rough = [Vec3::ZERO, Vec3::new(5.0, 3.0, 1.0), Vec3::new(-2.0, 9.0, 4.0), Vec3::X];
    assert_eq!(pull(&rough, 0.1, ROUNDS, |_, _| true, &Run::new()).expect("not cancelled"), vec![Vec3::ZERO, Vec3::X]);
    assert_eq!(pull(&[], 0.1, ROUNDS, |_, _| true, &Run::new()).expect("not cancelled"), Vec::<Vec3>::new());
    assert_eq!(pull(&[Vec3::Y], 0.1, ROUNDS, |_, _| true, &Run::new()).expect("not cancelled"), vec![Vec3::Y]);
    let run = Run::new();
    run.cancel();
    assert_eq!(pull(&rough, 0.1, ROUNDS, |_, _| true, &run), Err(Cancelled));
}
