//! The camera's arithmetic, by its own geometry.

use glam::{DQuat, DVec2, DVec3, Vec3};
use mouldbench::mesh::Bounds;
use mouldbench::view::camera::{Camera, CameraDrag, DragKind, Flight, Projection, StandardView, orientation};
use proptest::prelude::*;

fn any_vector(reach: f64) -> impl Strategy<Value = DVec3> {
    (-reach..reach, -reach..reach, -reach..reach).prop_map(|(x, y, z)| DVec3::new(x, y, z))
}

/// Cameras near and far from the origin, turned at random, of both kinds.
fn any_camera() -> impl Strategy<Value = Camera> {
    (any_vector(1e5), any_vector(1.0), 0.0..6.3f64, 1.0..5e3f64, any::<bool>(), 200.0..3000.0f64, 200.0..2000.0f64)
        .prop_map(|(target, axis, angle, distance_mm, parallel, w, h)| {
            let mut camera = Camera::new(DVec2::new(w, h));
            camera.target = target;
            camera.world_from_view = DQuat::from_axis_angle(axis.normalize_or(DVec3::X), angle);
            camera.distance_mm = distance_mm;
            camera.projection = if parallel { Projection::Parallel } else { Projection::Perspective };
            camera
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn a_point_on_the_ray_through_a_pixel_lands_on_that_pixel(
        camera in any_camera(), x in 0.0..1.0f64, y in 0.0..1.0f64, far in 0.05..4.0f64,
    ) {
        let pixel = DVec2::new(x, y) * camera.size_px;
        let ray = camera.ray_through(pixel);
        prop_assert!((ray.direction.length() - 1.0).abs() < 1e-12);
        let seen = camera.project(ray.origin + ray.direction * far * camera.distance_mm).expect("in front of the eye");
        // Positions to 1e5 mm keep 1e-11 mm; seen from 1 mm at 3000 px a radian that is under 1e-6 px.
        prop_assert!(seen.pixel.distance(pixel) < 1e-5, "{} against {}", seen.pixel, pixel);
        let back = camera.unproject(pixel, seen.depth_mm);
        prop_assert!(back.distance(ray.origin + ray.direction * far * camera.distance_mm) < 1e-8 * camera.distance_mm + 1e-9);
    }

    #[test]
    fn orbiting_keeps_the_pivot_in_its_place(
        camera in any_camera(), offset in any_vector(0.3), dx in -900.0..900.0f64, dy in -900.0..900.0f64,
    ) {
        let pivot = camera.target + offset * camera.distance_mm;
        let before = camera.project(pivot).expect("in front");
        let mut turned = camera;
        prop_assert!(turned.orbit(DVec2::new(dx, dy), pivot));
        let after = turned.project(pivot).expect("in front");
        prop_assert!(after.pixel.distance(before.pixel) < 1e-4, "{} became {}", before.pixel, after.pixel);
        prop_assert!((after.depth_mm - before.depth_mm).abs() < 1e-8 * camera.distance_mm + 1e-9);
        // And it truly turned: another point moved.
        let moved = turned.world_from_view.angle_between(camera.world_from_view);
        prop_assert!(moved > 1e-4 || dx.abs() + dy.abs() < 5.0);
    }

    #[test]
    fn zooming_keeps_the_anchor_in_its_place(
        camera in any_camera(), offset in any_vector(0.3), factor in 0.2..5.0f64,
    ) {
        let anchor = camera.target + offset * camera.distance_mm;
        let before = camera.project(anchor).expect("in front").pixel;
        let scale = camera.px_per_mm_at(anchor);
        let mut zoomed = camera;
        prop_assert!(zoomed.zoom_about(anchor, factor));
        prop_assert!(zoomed.project(anchor).expect("in front").pixel.distance(before) < 1e-4);
        prop_assert!((zoomed.px_per_mm_at(anchor) / scale / factor - 1.0).abs() < 1e-6);
    }

    #[test]
    fn panning_carries_the_point_with_the_cursor(
        camera in any_camera(), offset in any_vector(0.3), dx in -400.0..400.0f64, dy in -400.0..400.0f64,
    ) {
        let at = camera.target + offset * camera.distance_mm;
        let before = camera.project(at).expect("in front").pixel;
        let mut drag = CameraDrag::start(DragKind::Pan, &camera, before, Some(at));
        let mut panned = camera;
        for share in [0.3, 0.7, 1.0] {
            drag.follow(&mut panned, before + DVec2::new(dx, dy) * share);
        }
        let after = panned.project(at).expect("in front").pixel;
        prop_assert!(after.distance(before + DVec2::new(dx, dy)) < 1e-4);
    }

    #[test]
    fn a_fitted_box_lies_in_the_picture_and_fills_it(
        camera in any_camera(), centre in any_vector(1e4), size in (1.0..200.0f32, 1.0..200.0f32, 1.0..200.0f32),
        margin in 0.0..0.2f64,
    ) {
        let half = Vec3::new(size.0, size.1, size.2);
        let bounds = Bounds { min: centre.as_vec3() - half, max: centre.as_vec3() + half };
        let mut fitted = camera;
        fitted.fit(&bounds, margin);
        let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        for i in 0..8 {
            let pick = |bit: usize, a: f32, b: f32| if i & bit == 0 { a } else { b };
            let p = Vec3::new(
                pick(1, bounds.min.x, bounds.max.x), pick(2, bounds.min.y, bounds.max.y), pick(4, bounds.min.z, bounds.max.z),
            );
            let seen = fitted.project(p.as_dvec3()).expect("in front").pixel / fitted.size_px;
            (low, high) = (low.min(seen), high.max(seen));
        }
        prop_assert!(low.min_element() >= margin - 1e-6 && high.max_element() <= 1.0 - margin + 1e-6, "{low} {high}");
        let filled = (high - low).max_element();
        prop_assert!(filled > (1.0 - 2.0 * margin) * 0.999, "fills {filled}");
    }
}

#[test]
fn standard_views_look_along_the_given_up_and_axes() {
    let x = |view, up| orientation(view, up) * DVec3::X;
    let top = |view, up| orientation(view, up) * DVec3::Y;
    let back = |view, up| orientation(view, up) * DVec3::Z;
    let near = |a: DVec3, b: DVec3| assert!(a.distance(b) < 1e-12, "{a} is not {b}");
    // With Z up: the front view looks along +Y and has +X to the right; the top view has +Y upright.
    near(x(StandardView::Front, DVec3::Z), DVec3::X);
    near(back(StandardView::Front, DVec3::Z), DVec3::NEG_Y);
    near(back(StandardView::Back, DVec3::Z), DVec3::Y);
    near(back(StandardView::Left, DVec3::Z), DVec3::NEG_X);
    near(back(StandardView::Right, DVec3::Z), DVec3::X);
    near(back(StandardView::Top, DVec3::Z), DVec3::Z);
    near(top(StandardView::Top, DVec3::Z), DVec3::Y);
    near(back(StandardView::Bottom, DVec3::Z), DVec3::NEG_Z);
    near(x(StandardView::Bottom, DVec3::Z), DVec3::X);
    // The corner view sees three faces of a cube alike: cos = 1/√3 to each.
    for axis in [DVec3::X, DVec3::NEG_Y, DVec3::Z] {
        assert!((back(StandardView::Corner, DVec3::Z).dot(axis) - 1.0 / 3f64.sqrt()).abs() < 1e-12);
    }
    for up in [DVec3::Z, DVec3::X, DVec3::NEG_Y, DVec3::new(0.6, 0.0, 0.8), DVec3::new(-0.48, 0.6, 0.64)] {
        for view in StandardView::ALL {
            let turn = orientation(view, up);
            assert!(turn.is_normalized());
            match view {
                StandardView::Top | StandardView::Bottom => assert!((turn * DVec3::Z).dot(up).abs() > 1.0 - 1e-12),
                StandardView::Corner => assert!((turn * DVec3::Y).dot(up) > 0.8),
                _ => near(turn * DVec3::Y, up),
            }
            // A camera turned there shows it.
            let mut camera = Camera::new(DVec2::new(400.0, 300.0));
            camera.up = up;
            camera.look_from(view);
            assert!(!camera.look_from(view), "looking twice changes nothing");
        }
    }
}

#[test]
fn orbiting_stops_straight_above_and_below_and_keeps_up_upright() {
    let mut camera = Camera::new(DVec2::new(800.0, 600.0));
    camera.up = DVec3::new(0.0, 0.6, 0.8);
    camera.look_from(StandardView::Corner);
    for travel in [5000.0, -10_000.0] {
        camera.orbit(DVec2::new(123.0, travel), DVec3::ZERO);
        assert!(camera.backward().dot(camera.up).abs() > 1.0 - 1e-9, "straight above or below");
        assert!(camera.right().dot(camera.up).abs() < 1e-9, "the horizon stays level");
    }
    let before = camera;
    assert!(!camera.orbit(DVec2::ZERO, DVec3::ZERO));
    assert!(!camera.orbit(DVec2::new(f64::NAN, 0.0), DVec3::ZERO));
    assert!(!camera.zoom_to(DVec2::ZERO, 0.0));
    assert!(!camera.zoom_to(DVec2::ZERO, f64::INFINITY));
    assert!(!camera.pan(DVec2::ZERO, DVec3::ZERO));
    assert!(!camera.fit(&Bounds::EMPTY, 0.1));
    assert!(!camera.resize(before.size_px));
    assert_eq!(camera, before);
}

#[test]
fn changing_the_projection_keeps_the_scale_at_the_target() {
    let mut camera = Camera::new(DVec2::new(800.0, 600.0));
    let side = camera.target + camera.right() * 13.0;
    let before = camera.project(side).expect("in front").pixel;
    camera.projection = Projection::Parallel;
    assert!(camera.project(side).expect("always").pixel.distance(before) < 1e-9);
}

#[test]
fn a_flight_starts_and_ends_where_it_should_and_goes_smoothly() {
    let from = Camera::new(DVec2::new(800.0, 600.0));
    let mut to = from;
    to.look_from(StandardView::Bottom);
    to.target = DVec3::new(100.0, -20.0, 3.0);
    to.distance_mm = 25.0;
    let flight = Flight { from, to, seconds: 0.4 };
    assert_eq!(flight.at(0.0), (from, true));
    assert_eq!(flight.at(0.4), (to, false));
    assert_eq!(Flight { seconds: 0.0, ..flight }.at(0.0), (to, false));
    let half = flight.at(0.2).0;
    assert!((half.distance_mm - (400.0f64 * 25.0).sqrt()).abs() < 1e-9, "half way by equal ratios");
    let whole = from.world_from_view.angle_between(to.world_from_view);
    assert!((half.world_from_view.angle_between(from.world_from_view) - whole / 2.0).abs() < 1e-9);
    let mut last = from;
    for i in 1..=100 {
        let here = flight.at(0.4 * i as f64 / 100.0).0;
        // Soft start and stop: speed at most 1.5 times the mean.
        assert!(here.target.distance(last.target) <= 1.5 * to.target.length() / 100.0 + 1e-9);
        last = here;
    }
}
