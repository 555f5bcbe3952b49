//! Line drawings against shapes whose outline is known.

use glam::{DMat3, DQuat, DVec2, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::outline::{Drawn, Fineness, Outline, Projection, thinned};
use mouldbench::solve::run::Run;
use std::f64::consts::{PI, TAU};

const TOP: Projection = Projection { right: DVec3::X, up: DVec3::Y };
const FRONT: Projection = Projection { right: DVec3::X, up: DVec3::Z };

fn draw(mesh: &Mesh, view: &Projection) -> Outline {
    let fineness = Fineness { tolerance_mm: 0.02, hidden: true, ..Fineness::default() };
    Drawn::new(mesh, fineness.crease, &Run::new())
        .and_then(|d| d.view(view, &fineness, &[], &Run::new()))
        .expect("not cancelled")
}

fn length(chains: &[Vec<DVec2>]) -> f64 {
    chains.iter().flat_map(|c| c.windows(2)).map(|w| w[0].distance(w[1])).sum()
}

/// Length of the lines inside an upright rectangle.
fn length_within(chains: &[Vec<DVec2>], low: DVec2, high: DVec2) -> f64 {
    chains
        .iter()
        .flat_map(|c| c.windows(2))
        .map(|w| {
            let n = 400;
            (0..n)
                .filter(|i| {
                    let p = w[0].lerp(w[1], (*i as f64 + 0.5) / f64::from(n));
                    p.cmpge(low).all() && p.cmple(high).all()
                })
                .count() as f64
                / f64::from(n)
                * w[0].distance(w[1])
        })
        .sum()
}

fn close(a: f64, b: f64, by: f64) -> bool {
    (a - b).abs() <= by
}

/// The mesh turned, and the view turned with it: the picture must not change.
fn turned(mesh: &Mesh, view: &Projection, turn: DQuat, shift: DVec3) -> (Mesh, Projection) {
    let moved = mesh.transformed(&glam::DAffine3::from_rotation_translation(turn, shift));
    (moved, Projection { right: turn * view.right, up: turn * view.up })
}

#[test]
fn a_ball_is_a_circle() {
    let r = 20.0;
    for level in [3, 5] {
        let ball = solids::ball(Vec3::new(3.0, -4.0, 5.0), r as f32, level);
        // An edge of the subdivided icosahedron spans at most about 1.3 rad / 2^level; its sagitta bounds the polygon.
        let sagitta = r * (1.0 - (0.65 / f64::from(1 << level)).cos());
        let view = Projection::seen_from(DVec3::new(0.3, -0.8, 0.4), DVec3::Z).expect("a view");
        let centre = view.flat(DVec3::new(3.0, -4.0, 5.0));
        let outline = draw(&ball, &view);
        for p in outline.visible.iter().flatten() {
            let from = p.distance(centre);
            assert!(from <= r + 1e-3 && from >= r - 2.0 * sagitta - 0.02, "level {level}: {from}");
        }
        let around = length(&outline.visible);
        assert!(around <= TAU * r + 0.1 && around >= TAU * (r - 2.0 * sagitta) - 0.1, "level {level}: {around}");
        assert!(length(&outline.hidden) < 1e-9);
    }
}

#[test]
fn a_frustum_is_a_trapezium_and_two_circles() {
    let (low, high, tall, sides) = (15.0, 9.0, 30.0, 96);
    let mesh = solids::frustum(Vec3::ZERO, Vec3::Z * tall as f32, low as f32, high as f32, sides);
    let front = draw(&mesh, &FRONT);
    // With 96 sides two corners of each rim lie on the X axis: the trapezium is exact.
    let flank = f64::hypot(low - high, tall);
    let trapezium = 2.0 * low + 2.0 * high + 2.0 * flank;
    assert!(close(length(&front.visible), trapezium, 0.15), "{} {trapezium}", length(&front.visible));
    for corner in [(-low, 0.0), (low, 0.0), (-high, tall), (high, tall)] {
        let corner = DVec2::from(corner);
        let near = front.visible.iter().flatten().map(|p| p.distance(corner)).fold(f64::MAX, f64::min);
        assert!(near < 0.05, "corner {corner}: {near}");
    }
    let polygon = |r: f64| 2.0 * f64::from(sides) * r * (PI / f64::from(sides)).sin();
    let top = draw(&mesh, &TOP);
    assert!(close(length(&top.visible), polygon(low) + polygon(high), 0.1));
    // From below, the upper rim is hidden.
    let below = Projection { right: DVec3::X, up: DVec3::NEG_Y };
    let from_below = draw(&mesh, &below);
    assert!(close(length(&from_below.visible), polygon(low), 0.1));
    assert!(close(length(&from_below.hidden), polygon(high), 0.1));
}

#[test]
fn a_box_is_a_rectangle_and_a_corner_view_shows_nine_edges() {
    let mesh = solids::cuboid(Vec3::new(-5.0, -3.0, 0.0), Vec3::new(5.0, 3.0, 8.0));
    let front = draw(&mesh, &FRONT);
    assert!(close(length(&front.visible), 2.0 * (10.0 + 8.0), 1e-6), "{}", length(&front.visible));
    let view = Projection::seen_from(DVec3::new(1.0, -1.3, 0.9), DVec3::Z).expect("a view");
    let corner = draw(&mesh, &view);
    let edge = |e: DVec3| view.flat(e).length();
    let all = 4.0 * (edge(DVec3::X * 10.0) + edge(DVec3::Y * 6.0) + edge(DVec3::Z * 8.0));
    assert!(close(length(&corner.visible), 0.75 * all, 0.02), "{} of {all}", length(&corner.visible));
    assert!(close(length(&corner.hidden), 0.25 * all, 0.02), "{} of {all}", length(&corner.hidden));
}

/// An L: a plate of 40 × 20 × 5 with a wall of 5 × 20 × 30 on its right end, as one closed mesh.
fn bracket() -> Mesh {
    let profile = [(0.0, 0.0), (40.0, 0.0), (40.0, 35.0), (35.0, 35.0), (35.0, 5.0), (0.0, 5.0)];
    let mut mesh = Mesh::default();
    for y in [0.0, 20.0] {
        mesh.positions.extend(profile.iter().map(|&(x, z)| Vec3::new(x, y, z)));
    }
    // The two caps, fanned by hand: (0 1 4 5) and (1 2 3 4).
    for [a, b, c] in [[0, 1, 4], [0, 4, 5], [1, 2, 3], [1, 3, 4]] {
        mesh.triangles.push([a, b, c]);
        mesh.triangles.push([a + 6, c + 6, b + 6]);
    }
    for i in 0..6u32 {
        let j = (i + 1) % 6;
        mesh.triangles.extend([[i, i + 6, j + 6], [i, j + 6, j]]);
    }
    mesh
}

#[test]
fn a_bracket_hides_its_inner_corner_from_behind_the_wall() {
    let mesh = bracket();
    let seen_from_right = Projection { right: DVec3::Y, up: DVec3::Z };
    for (turn, shift) in [
        (DQuat::IDENTITY, DVec3::ZERO),
        (DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3), DVec3::new(40.0, -25.0, 10.0)),
    ] {
        // From the right: one rectangle of 20 × 35; the plate's edge at 5 mm height lies behind the wall.
        let (m, v) = turned(&mesh, &seen_from_right, turn, shift);
        let o = v.flat(shift);
        let right = draw(&m, &v);
        assert!(close(length(&right.visible), 2.0 * (20.0 + 35.0), 0.05), "{}", length(&right.visible));
        let band = |y0: f64, y1: f64| (o + DVec2::new(1.0, y0), o + DVec2::new(19.0, y1));
        let (low, high) = band(4.9, 5.1);
        assert!(length_within(&right.visible, low, high) < 0.1);
        assert!(close(length_within(&right.hidden, low, high), 18.0, 0.3));
        // From the left the same edge is in sight: the rectangle and a line of 20.
        let left = Projection { right: DVec3::NEG_Y, up: DVec3::Z };
        let (m, v) = turned(&mesh, &left, turn, shift);
        let left = draw(&m, &v);
        assert!(close(length(&left.visible), 2.0 * (20.0 + 35.0) + 20.0, 0.05), "{}", length(&left.visible));
    }
}

#[test]
fn a_body_in_front_cuts_the_lines_behind_it() {
    // A slab of 30 × 20 behind, a bar of 4 wide and 60 tall in front of its middle, another bar behind it.
    let mut mesh = solids::cuboid(Vec3::new(-15.0, 10.0, -10.0), Vec3::new(15.0, 12.0, 10.0));
    mesh.append(&solids::cuboid(Vec3::new(-2.0, 0.0, -30.0), Vec3::new(2.0, 1.0, 30.0)));
    mesh.append(&solids::cuboid(Vec3::new(-1.0, 20.0, -40.0), Vec3::new(1.0, 21.0, 40.0)));
    let front = draw(&mesh, &FRONT);
    // Slab: 100 round it, less 4 above and below where the bar hides it. Bar: 128. Bar behind: two lines of 10 and one of
    // 2 at either end.
    let wanted = (100.0 - 8.0) + 128.0 + 2.0 * (2.0 * 10.0 + 2.0);
    assert!(close(length(&front.visible), wanted, 0.1), "{} {wanted}", length(&front.visible));
    // From behind, the far bar hides two of the slab's 100 above and below and the slab hides the near one.
    let back = Projection { right: DVec3::NEG_X, up: DVec3::Z };
    let back = draw(&mesh, &back);
    // Far bar whole: 164. Slab: 100 − 4. Near bar: beyond ±10, where the far bar covers the middle 2 of its ends' 4.
    let wanted = 164.0 + 96.0 + 2.0 * (2.0 * 20.0 + 2.0);
    assert!(close(length(&back.visible), wanted, 0.1), "{} {wanted}", length(&back.visible));
}

#[test]
fn bodies_that_run_through_one_another_hide_each_other() {
    // A bar along X through a cube, both without union: the bar's inside part is not seen from the front.
    let mut mesh = solids::cuboid(Vec3::splat(-10.0), Vec3::splat(10.0));
    mesh.append(&solids::cuboid(Vec3::new(-30.0, -3.0, -2.0), Vec3::new(30.0, 3.0, 2.0)));
    let front = draw(&mesh, &FRONT);
    // Cube 80; bar: two lines of 20 and one of 4 at either end.
    let wanted = 80.0 + 2.0 * (2.0 * 20.0 + 4.0);
    assert!(close(length(&front.visible), wanted, 0.15), "{} {wanted}", length(&front.visible));
}

#[test]
fn an_open_sheet_shows_its_rim_from_both_sides() {
    let mut mesh = Mesh::default();
    for i in 0..=4 {
        for y in [0.0, 10.0] {
            mesh.positions.push(Vec3::new(i as f32 * 5.0, y, 0.0));
        }
    }
    for i in 0..4u32 {
        mesh.triangles.extend([[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]);
    }
    for view in [TOP, Projection { right: DVec3::X, up: DVec3::NEG_Y }] {
        assert!(close(length(&draw(&mesh, &view).visible), 60.0, 1e-6));
    }
}

#[test]
fn a_sliver_between_two_faces_draws_no_line() {
    // A square of two triangles with a flat sliver along the diagonal.
    let mesh = Mesh {
        positions: [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (5.0, 5.0)]
            .map(|(x, y)| Vec3::new(x, y, 0.0))
            .to_vec(),
        triangles: vec![[0, 1, 2], [0, 2, 4], [0, 4, 3], [4, 2, 3]],
    };
    assert!(close(length(&draw(&mesh, &TOP).visible), 40.0, 1e-6));
}

#[test]
fn lines_on_the_surface_are_seen_only_in_front() {
    let r = 10.0;
    let ball = solids::ball(Vec3::ZERO, r, 5);
    let circle: Vec<DVec3> = (0..=720)
        .map(|i| {
            let (s, c) = (TAU * f64::from(i) / 720.0).sin_cos();
            DVec3::new(f64::from(r) * c, f64::from(r) * s, 0.0)
        })
        .collect();
    let fineness = Fineness { tolerance_mm: 0.05, ..Fineness::default() };
    let view = Projection::seen_from(DVec3::new(0.0, -1.0, 1.0), DVec3::Z).expect("a view");
    let outline = Drawn::new(&ball, fineness.crease, &Run::new())
        .and_then(|d| d.view(&view, &fineness, &[circle], &Run::new()))
        .expect("not cancelled");
    // The equator seen from 45° is an ellipse with half axes r and r/√2; half of it is in front. Its perimeter by
    // Ramanujan's second formula (1914).
    let (a, b) = (f64::from(r), f64::from(r) / 2f64.sqrt());
    let h = ((a - b) / (a + b)).powi(2);
    let around = PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
    let seen = length(&outline.seen[0]);
    assert!(close(seen, around / 2.0, 0.02 * around), "{seen} {around}");
    // A line is hidden once the places a fifth of the tolerance aside are covered: φ²r/2 > 0.01 mm plus the facets' inset, φ < 0.1 rad.
    assert!(outline.seen[0].iter().flatten().all(|p| p.y < b * 0.1), "the far half is behind the ball");
}

#[test]
fn the_axes_of_a_view_are_square() {
    let view = Projection::seen_from(DVec3::new(1.0, -2.0, 0.5), DVec3::Z).expect("a view");
    let m = DMat3::from_cols(view.right, view.up, view.toward());
    assert!((m.determinant() - 1.0).abs() < 1e-12);
    assert!(view.toward().dot(DVec3::new(1.0, -2.0, 0.5)) > 0.0 && view.up.z > 0.0 && view.right.z.abs() < 1e-12);
    assert_eq!(Projection::seen_from(DVec3::Z, DVec3::Z), None);
    assert_eq!(Projection::seen_from(DVec3::ZERO, DVec3::Z), None);
}

#[test]
fn thinning_keeps_within_its_tolerance() {
    let arc: Vec<DVec2> = (0..=1000).map(|i| DVec2::from_angle(f64::from(i) / 1000.0 * PI) * 50.0).collect();
    let thin = thinned(&arc, 0.01);
    assert!(thin.len() < 160 && thin.len() > 20, "{}", thin.len());
    for p in &arc {
        let near = thin
            .windows(2)
            .map(|w| {
                let d = w[1] - w[0];
                let t = ((*p - w[0]).dot(d) / d.length_squared()).clamp(0.0, 1.0);
                p.distance(w[0] + d * t)
            })
            .fold(f64::MAX, f64::min);
        assert!(near <= 0.0101);
    }
}

#[test]
fn a_cancelled_drawing_stops() {
    let run = Run::new();
    run.cancel();
    assert!(Drawn::new(&solids::ball(Vec3::ZERO, 1.0, 3), 0.4, &run).is_err());
}
