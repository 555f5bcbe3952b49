//! The planar triangulation and heights relaxed over it.

use glam::DVec2;
use mouldbench::solve::planar::{Planar, PlanarError, Point, side};
use mouldbench::solve::relax::{Height, relax};
use mouldbench::solve::run::Run;
use proptest::prelude::*;

/// Everything that makes it a Delaunay triangulation with kept edges: it fills the rectangle, neighbours agree, and no
/// corner across an edge that nobody asked for lies in the circle round a triangle.
fn check(planar: &Planar) {
    let p = |v: u32| planar.points()[v as usize];
    let mut area = 0;
    for (t, corners) in planar.triangles().iter().enumerate() {
        let twice = side(p(corners[0]), p(corners[1]), p(corners[2]));
        assert!(twice > 0, "triangle {t} is turned over");
        area += twice;
        for k in 0..3 {
            let over = planar.across()[t][k];
            if over == u32::MAX {
                continue;
            }
            let far = planar.triangles()[over as usize];
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            let j = (0..3).find(|&j| far[j] == b && far[(j + 1) % 3] == a).expect("neighbours share an edge");
            assert_eq!(planar.across()[over as usize][j], t as u32);
            assert_eq!(planar.kept()[over as usize][j], planar.kept()[t][k]);
            let tip = p(far[(j + 2) % 3]);
            let [x, y, z] = corners.map(p);
            assert!(planar.kept()[t][k] != 0 || !inside(x, y, z, tip), "edge {a} {b} is not Delaunay");
        }
    }
    let [low, high] = [planar.points()[0], planar.points()[2]];
    assert_eq!(area, 2 * (high[0] - low[0]) * (high[1] - low[1]));
}

/// In the circle, by its centre and radius in rationals over one denominator: another way than the determinant.
fn inside(a: Point, b: Point, c: Point, d: Point) -> bool {
    let [ax, ay, bx, by, cx, cy, dx, dy] = [a[0], a[1], b[0], b[1], c[0], c[1], d[0], d[1]].map(i128::from);
    let den = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by));
    let (sa, sb, sc) = (ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy);
    let ux = sa * (by - cy) + sb * (cy - ay) + sc * (ay - by);
    let uy = sa * (cx - bx) + sb * (ax - cx) + sc * (bx - ax);
    let far = |x: i128, y: i128| (den * x - ux).pow(2) + (den * y - uy).pow(2);
    far(dx, dy) < far(ax, ay)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Points on a small lattice, so that ties, lines of points and points on edges are the rule.
    #[test]
    fn any_points_and_edges(points in prop::collection::vec((0i64..14, 0i64..14), 4..60), pairs in prop::collection::vec((0usize..60, 0usize..60), 0..10)) {
        let mut planar = Planar::new([0, 0], [13, 13]).expect("a rectangle");
        let named: Vec<u32> = points.iter().map(|&(x, y)| planar.insert([x, y]).expect("inside")).collect();
        check(&planar);
        for &(i, j) in &pairs {
            let (a, b) = (named[i % named.len()], named[j % named.len()]);
            match planar.keep(a, b, 1) {
                Ok(()) if a == b => {}
                Ok(()) => {
                    let here = planar.points()[a as usize];
                    // Every piece of the way is an edge: walk it.
                    let to = planar.points()[b as usize];
                    let mut on: Vec<u32> = (0..planar.points().len() as u32)
                        .filter(|v| {
                            let q = planar.points()[*v as usize];
                            let dot = (q[0] - here[0]) * (to[0] - here[0]) + (q[1] - here[1]) * (to[1] - here[1]);
                            let most = (to[0] - here[0]).pow(2) + (to[1] - here[1]).pow(2);
                            side(here, to, q) == 0 && dot >= 0 && dot <= most
                        })
                        .collect();
                    on.sort_by_key(|v| {
                        let q = planar.points()[*v as usize];
                        (q[0] - here[0]).pow(2) + (q[1] - here[1]).pow(2)
                    });
                    for w in on.windows(2) {
                        let edge = planar.edge(w[0], w[1]).or_else(|| planar.edge(w[1], w[0]));
                        let (t, k) = edge.expect("an edge");
                        prop_assert_eq!(planar.kept()[t][k], 1);
                    }
                }
                Err(PlanarError::Crossing(r, l)) => {
                    let q = |v: u32| planar.points()[v as usize];
                    let (s, e) = (q(a), q(b));
                    prop_assert!(side(s, e, q(r)).signum() * side(s, e, q(l)).signum() < 0);
                }
                Err(other) => prop_assert!(false, "{}", other),
            }
            check(&planar);
        }
    }
}

#[test]
fn what_does_not_fit_is_refused() {
    assert!(Planar::new([0, 0], [0, 5]).is_err());
    assert!(Planar::new([-(1 << 30), 0], [5, 5]).is_err());
    let mut planar = Planar::new([0, 0], [10, 10]).expect("a rectangle");
    assert_eq!(planar.insert([11, 5]), Err(PlanarError::Outside));
    assert_eq!(planar.insert([10, 10]), Ok(2));
}

/// A square of `n` by `n` cells, every second row shifted so that no diagonal is a tie.
fn square(n: i64) -> (Vec<DVec2>, Vec<[u32; 3]>) {
    let mut planar = Planar::new([0, 0], [n * 4, n * 4]).expect("a square");
    for y in 0..=n {
        for x in 0..=n {
            let shift = if y % 2 == 1 && x > 0 && x < n { 1 } else { 0 };
            planar.insert([4 * x + shift, 4 * y]).expect("inside");
        }
    }
    let scale = 1.0 / (4 * n) as f64;
    let points = planar.points().iter().map(|p| DVec2::new(p[0] as f64 * scale, p[1] as f64 * scale)).collect();
    (points, planar.triangles().to_vec())
}

#[test]
fn harmonic_heights_match_closed_forms() {
    let (points, triangles) = square(24);
    let free = Height::Free { floor: f64::NEG_INFINITY, ceiling: f64::INFINITY };
    let start = vec![0.0; points.len()];
    // One side at 1, three at 0: 1/4 in the middle by symmetry of the four such problems.
    let held: Vec<Height> = points
        .iter()
        .map(|p| match p {
            p if p.y == 1.0 && p.x > 0.0 && p.x < 1.0 => Height::Held(1.0),
            p if p.y == 1.0 => Height::Held(0.5),
            p if p.x == 0.0 || p.x == 1.0 || p.y == 0.0 => Height::Held(0.0),
            _ => free,
        })
        .collect();
    let z = relax(&points, &triangles, &held, &start, 1e-10, &Run::new()).expect("relaxed");
    let middle = points.iter().position(|p| p.distance(DVec2::splat(0.5)) < 1e-9).expect("a middle");
    assert!((z[middle] - 0.25).abs() < 2e-3, "{}", z[middle]);
    // Two sides held, the others free: a plane, exactly.
    let held: Vec<Height> = points
        .iter()
        .map(|p| {
            if p.x == 0.0 {
                Height::Held(-1.0)
            } else if p.x == 1.0 {
                Height::Held(3.0)
            } else {
                free
            }
        })
        .collect();
    let z = relax(&points, &triangles, &held, &start, 1e-11, &Run::new()).expect("relaxed");
    assert!(points.iter().zip(&z).all(|(p, z)| (z - (4.0 * p.x - 1.0)).abs() < 1e-6));
}

#[test]
fn an_obstacle_is_passed_over_on_two_straight_flanks() {
    let (points, triangles) = square(32);
    // Held at 0 on two sides, a floor of 1 along the middle line: a roof of two planes.
    let heights: Vec<Height> = points
        .iter()
        .map(|p| match p {
            p if p.x == 0.0 || p.x == 1.0 => Height::Held(0.0),
            p if (p.x - 0.5).abs() < 0.02 => Height::Free { floor: 1.0, ceiling: 5.0 },
            _ => Height::Free { floor: f64::NEG_INFINITY, ceiling: 5.0 },
        })
        .collect();
    let z = relax(&points, &triangles, &heights, &vec![0.0; points.len()], 1e-10, &Run::new()).expect("relaxed");
    for (p, z) in points.iter().zip(&z) {
        let roof = 2.0 * p.x.min(1.0 - p.x);
        assert!((z - roof).abs() < 0.05, "{z} at {p}, roof {roof}");
    }
}
