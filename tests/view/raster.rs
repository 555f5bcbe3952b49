//! The rasteriser and picking against closed forms.

use glam::{DAffine3, DQuat, DVec2, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::view::camera::{Camera, Projection, StandardView};
use mouldbench::view::palette::Theme;
use mouldbench::view::picture::Picture;
use mouldbench::view::render::{Quality, Renderer};
use mouldbench::view::scene::{Opacity, Paint, Plane, Scene, Shape, Solid, Surface};
use std::sync::Arc;

fn scene_of(mesh: Mesh, world_from_mesh: DAffine3) -> Scene {
    let mut scene = Scene::new(Theme::LIGHT);
    let mut surface = Surface::new(Arc::new(mesh), Paint::Uniform(Theme::LIGHT.part));
    (surface.world_from_mesh, surface.pick) = (world_from_mesh, Some(9));
    scene.surfaces.push(surface);
    scene
}

fn parallel(along: DVec3, target: DVec3, size: f64, height_mm: f64) -> Camera {
    let mut camera = Camera::new(DVec2::splat(size));
    camera.projection = Projection::Parallel;
    camera.world_from_view = DQuat::from_rotation_arc(DVec3::Z, along.normalize());
    camera.target = target;
    camera.distance_mm = height_mm * 0.5 / (camera.field_of_view * 0.5).tan();
    camera
}

fn pixels(picture: &Picture) -> impl Iterator<Item = DVec2> + '_ {
    let n = picture.width;
    (0..picture.width * picture.height).map(move |i| DVec2::new((i % n) as f64 + 0.5, (i / n) as f64 + 0.5))
}

/// Area of the picture that is covered, mm².
fn shadow_mm2(scene: &Scene, camera: &Camera) -> f64 {
    let mut renderer = Renderer::new();
    let picture = renderer.render(scene, camera, Quality::Draft);
    let hits = pixels(picture).filter(|p| picture.pick(*p).is_some()).count();
    hits as f64 / camera.px_per_mm().powi(2)
}

/// Shadow areas: a cube a²·Σ|dᵢ|, a cylinder 2RL·sin φ + πR²·cos φ at φ to its axis, a torus 4πRr along and 4Rr + πr² across its axis
/// (Cauchy 1832 for the convex ones). A count of pixels is off by at most the pixels that the outline crosses; errors of
/// single pixels mostly cancel, so a tenth of outline length × pixel is allowed.
#[test]
fn shadows_have_the_areas_of_closed_forms() {
    let px = 1.0 / 6.0;
    let cube = solids::cuboid(Vec3::splat(-20.0), Vec3::splat(20.0));
    for d in [DVec3::ONE, DVec3::new(0.3, -0.5, 0.9), DVec3::new(-0.9, 0.1, -0.2)] {
        let expected = 1600.0 * d.normalize().abs().element_sum();
        let found = shadow_mm2(&scene_of(cube.clone(), DAffine3::IDENTITY), &parallel(d, DVec3::ZERO, 600.0, 100.0));
        assert!((found - expected).abs() < 0.1 * 6.0 * 40.0 * px, "cube along {d}: {found} for {expected}");
    }
    // 256 sides inscribed lose 2e-4 of the width at most: 0.02 mm of 20.
    let rod = solids::cylinder(Vec3::NEG_Z * 20.0, Vec3::Z * 20.0, 10.0, 256);
    let tilt = DVec3::new(0.5, 0.0, 0.75f64.sqrt());
    let found = shadow_mm2(&scene_of(rod, DAffine3::IDENTITY), &parallel(tilt, DVec3::ZERO, 600.0, 100.0));
    // R = 10, L = 40 at 30° to the axis: 2·10·40·½ + π·100·cos 30° = 672.0699.
    assert!((found - 672.0699).abs() < 0.1 * 125.0 * px + 0.2, "cylinder: {found}");
    let ring = solids::torus(30.0, 10.0, 256, 128);
    let along = shadow_mm2(&scene_of(ring.clone(), DAffine3::IDENTITY), &parallel(DVec3::Z, DVec3::ZERO, 600.0, 100.0));
    assert!((along - 3769.9112).abs() < 0.1 * 377.0 * px + 1.0, "torus along its axis: {along}");
    let across = shadow_mm2(&scene_of(ring, DAffine3::IDENTITY), &parallel(DVec3::X, DVec3::ZERO, 600.0, 100.0));
    assert!((across - 1514.1593).abs() < 0.1 * 183.0 * px + 1.0, "torus across its axis: {across}");
}

/// A pin-cushion of thin triangles over a square: every pixel inside must be covered.
#[test]
fn shared_edges_leave_no_gap() {
    let mut mesh = Mesh::default();
    let n = 60u32;
    for j in 0..=n {
        for i in 0..=n {
            // Uneven places, some rows squeezed to slivers; corners stay put.
            let f = |k: u32| (k as f32 / n as f32).powi(3) * 80.0 - 40.0;
            let wobble = if i % n == 0 || j % n == 0 { 0.0 } else { ((i * 7 + j * 13) % 11) as f32 * 1e-3 };
            mesh.positions.push(Vec3::new(f(i) + wobble, f(j) - wobble, ((i * 5 + j * 3) % 7) as f32 * 0.2));
        }
    }
    for j in 0..n {
        for i in 0..n {
            let a = j * (n + 1) + i;
            let (b, c, d) = (a + 1, a + n + 1, a + n + 2);
            mesh.triangles.extend(if (i + j) % 2 == 0 { [[a, b, d], [a, d, c]] } else { [[a, b, c], [b, d, c]] });
        }
    }
    let scene = scene_of(mesh, DAffine3::IDENTITY);
    let mut renderer = Renderer::new();
    for k in 0..12 {
        let turn = DQuat::from_rotation_z(k as f64 * 0.7) * DQuat::from_rotation_x(k as f64 * 0.03);
        let mut camera = parallel(turn * DVec3::Z, DVec3::ZERO, 300.0, 100.0);
        if k % 2 == 1 {
            camera.projection = Projection::Perspective;
        }
        let inside = |p: DVec2| {
            let ray = camera.ray_through(p);
            // Well inside: the square at every height of the waves.
            [0.0, 1.2].iter().all(|z| {
                let q = ray.origin + ray.direction * ((z - ray.origin.z) / ray.direction.z);
                q.x.abs() < 39.9 && q.y.abs() < 39.9
            })
        };
        let picture = renderer.render(&scene, &camera, Quality::Draft);
        let mut seen = 0;
        for p in pixels(picture).filter(|p| inside(*p)) {
            assert!(picture.pick(p).is_some(), "a gap at {p} in view {k}");
            seen += 1;
        }
        assert!(seen > 20_000, "the square is in the picture");
    }
}

/// A ball of R = 10 far from the origin: the point under each pixel lies on the faceted ball, so between R and R less the
/// sagitta. Icosahedron level 5: edges of 63.4°/32, circumradius of a face at most 1.3° → sagitta R(1 − cos 1.32°) =
/// 0.0027; facets seen at grazing angles are also within it, since the point is on the facet's plane inside it or less
/// than a sample's rounding (1/256 px ≈ 0.0003 mm) outside. Positions near 1e5 mm keep 0.008 mm in single precision when
/// they are stored there; here the mesh is at its own origin and moved in double precision.
#[test]
fn depth_of_a_ball_far_away_is_that_of_the_sphere() {
    let centre = DVec3::new(1.0e5, -7.3e4, 2.1e4);
    let scene = scene_of(solids::ball(Vec3::ZERO, 10.0, 5), DAffine3::from_translation(centre));
    let mut renderer = Renderer::new();
    for projection in [Projection::Perspective, Projection::Parallel] {
        let mut camera = parallel(DVec3::new(0.4, -0.7, 0.5), centre, 400.0, 24.0);
        camera.projection = projection;
        let picture = renderer.render(&scene, &camera, Quality::Draft);
        let mut seen = 0;
        for p in pixels(picture) {
            let Some(hit) = picture.pick(p) else { continue };
            let r = hit.point.distance(centre);
            assert!(r < 10.0 + 2e-3 && r > 10.0 - 0.0027 - 2e-3, "{projection:?}: r = {r} at {p}");
            // The pixel's own ray meets the sphere here.
            let ray = camera.ray_through(p);
            let to = centre - ray.origin;
            let along = to.dot(ray.direction);
            let miss = (to.length_squared() - along * along).max(0.0);
            assert!(miss <= 100.0 + 0.1, "a ray that misses the sphere hit at {p}");
            let exact = along - (100.0 - miss).max(0.0).sqrt();
            let found = (hit.point - ray.origin).dot(ray.direction);
            // A radial error e shows as e/cos along the ray; keep to where that is under 2.
            if miss < 75.0 {
                assert!((found - exact).abs() < 2.0 * (0.0027 + 2e-3), "depth {found} for {exact}");
            }
            seen += 1;
        }
        assert!(seen > 70_000, "the ball fills the picture, saw {seen}");
    }
}

#[test]
fn picking_names_the_triangle_that_the_ray_meets() {
    let pose = DAffine3::from_rotation_translation(DQuat::from_rotation_x(0.7), DVec3::new(-300.0, 20.0, 5.0));
    let scene = scene_of(solids::torus(30.0, 10.0, 40, 24), pose);
    let mesh = scene.surfaces[0].mesh.clone();
    let mut renderer = Renderer::new();
    for (k, quality) in [Quality::Draft, Quality::Fine, Quality::Draft, Quality::Fine].into_iter().enumerate() {
        let mut camera = Camera::new(DVec2::new(240.0, 180.0));
        camera.fit(&scene.bounds(), 0.05);
        camera.orbit(DVec2::new(97.0 * k as f64, 31.0 * k as f64), camera.target);
        if k == 2 {
            camera.projection = Projection::Parallel;
        }
        if k == 3 {
            // So near that the near plane cuts through the ring.
            camera.zoom_about(pose.transform_point3(DVec3::new(30.0, 0.0, 10.0)), 12.0);
        }
        let picture = renderer.render(&scene, &camera, quality);
        // Rays go through the middles of samples.
        let offset = if quality == Quality::Fine { DVec2::splat(0.25) } else { DVec2::ZERO };
        let (mut seen, mut same) = (0, 0);
        for p in pixels(picture).map(|p| p - offset).step_by(7) {
            let ray = camera.ray_through(p);
            let nearest = nearest_hit(&mesh, &pose, ray.origin, ray.direction, camera.near_mm());
            let Some(hit) = picture.pick(p) else { continue };
            let t = hit.triangle.expect("no section here");
            let [a, b, c] = mesh.corners_f64(t).map(|q| pose.transform_point3(q));
            let n = (b - a).cross(c - a).normalize();
            assert!((hit.point - a).dot(n).abs() < 1e-6, "the point is in the triangle's plane");
            assert!(hit.normal.distance(n) < 1e-9);
            seen += 1;
            // Rounding to 1/256 sample can move a ray at an edge into the neighbour.
            same += usize::from(nearest == Some(t));
        }
        assert!(seen > 200, "view {k} shows the ring, {seen} samples");
        assert!(same as f64 > 0.985 * seen as f64, "view {k}: {same} of {seen} name the ray's own triangle");
    }
}

/// Möller & Trumbore (1997), all triangles, nearest beyond the near plane.
fn nearest_hit(mesh: &Mesh, pose: &DAffine3, origin: DVec3, direction: DVec3, near: f64) -> Option<usize> {
    let mut best: Option<(f64, usize)> = None;
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners_f64(t).map(|q| pose.transform_point3(q));
        let (e, f) = (b - a, c - a);
        let p = direction.cross(f);
        let det = e.dot(p);
        if det.abs() < 1e-15 {
            continue;
        }
        let s = origin - a;
        let (u, v) = (s.dot(p) / det, direction.dot(s.cross(e)) / det);
        let along = f.dot(s.cross(e)) / det;
        if u >= 0.0 && v >= 0.0 && u + v <= 1.0 && along > near && best.is_none_or(|b| along < b.0) {
            best = Some((along, t));
        }
    }
    best.map(|b| b.1)
}

/// A tube R = 20, r = 12 cut through its axis: two faces of 8 by 30; square to it: π(20² − 12²)·(polygon ratio).
#[test]
fn the_face_of_a_section_has_the_right_area() {
    let n = 128u32;
    let mut tube = Mesh::default();
    for (r, z) in [(20.0f32, 0.0f32), (20.0, 30.0), (12.0, 30.0), (12.0, 0.0)] {
        for i in 0..n {
            let a = std::f32::consts::TAU * i as f32 / n as f32;
            tube.positions.push(Vec3::new(r * a.cos(), r * a.sin(), z));
        }
    }
    for k in 0..4u32 {
        for i in 0..n {
            let (a, b, j) = (k * n, (k + 1) % 4 * n, (i + 1) % n);
            tube.triangles.extend([[a + i, a + j, b + j], [a + i, b + j, b + i]]);
        }
    }
    let mut renderer = Renderer::new();
    let ratio = n as f64 / std::f64::consts::TAU * (std::f64::consts::TAU / n as f64).sin();
    let cases = [
        (DVec3::NEG_Y, DVec3::ZERO, 2.0 * 8.0 * 30.0, 2.0 * 76.0),
        (DVec3::Z, DVec3::Z * 11.0, std::f64::consts::PI * (400.0 - 144.0) * ratio, std::f64::consts::TAU * 32.0),
    ];
    for (normal, point, area, rim) in cases {
        let mut scene = scene_of(tube.clone(), DAffine3::IDENTITY);
        scene.section = Some(Plane { point, normal });
        for lean in [DVec3::ZERO, DVec3::new(0.35, 0.2, 0.3)] {
            let along = (normal + lean).normalize();
            let camera = parallel(along, DVec3::Z * 15.0, 600.0, 80.0);
            let picture = renderer.render(&scene, &camera, Quality::Draft);
            let mut face = 0usize;
            for hit in pixels(picture).filter_map(|p| picture.pick(p)).filter(|h| h.triangle.is_none()) {
                assert!((hit.point - point).dot(normal).abs() < 1e-6 && hit.normal == normal);
                face += 1;
            }
            let found = face as f64 / camera.px_per_mm().powi(2) / along.dot(normal);
            let px = 1.0 / camera.px_per_mm();
            assert!((found - area).abs() < 0.15 * rim * px / along.dot(normal), "{found} mm² for {area}");
        }
        // From behind nothing of the face is seen.
        let picture = renderer.render(&scene, &parallel(-normal, DVec3::Z * 15.0, 300.0, 80.0), Quality::Draft);
        assert!(pixels(picture).filter_map(|p| picture.pick(p)).all(|h| h.triangle.is_some()));
    }
}

#[test]
fn the_picture_does_not_depend_on_the_number_of_threads() {
    let mut scene = scene_of(solids::torus(30.0, 10.0, 160, 80), DAffine3::IDENTITY);
    let rod = Shape::Rod { from: Vec3::ZERO, to: Vec3::new(30.0, 0.0, 30.0), radius_from_mm: 2.0, radius_to_mm: 4.0 };
    scene.solids.push(Solid::new(rod, Theme::LIGHT.ink));
    let mut glass = scene.surfaces[0].clone();
    (glass.opacity, glass.world_from_mesh) = (Opacity::Glass(0.3), DAffine3::from_rotation_x(1.5));
    scene.surfaces.push(glass);
    let mut camera = Camera::new(DVec2::new(333.0, 217.0));
    camera.fit(&scene.bounds(), 0.02);
    let drawn = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| {
            let mut renderer = Renderer::new();
            renderer.render(&scene, &camera, Quality::Draft);
            renderer.render(&scene, &camera, Quality::Fine).rgba.clone()
        })
    };
    let one = drawn(1);
    assert!(one == drawn(2) && one == drawn(5), "pictures differ");
    // And a renderer that has drawn something else before draws the same.
    let mut used = Renderer::new();
    let mut other = camera;
    other.resize(DVec2::new(500.0, 400.0));
    other.look_from(StandardView::Top);
    used.render(&scene, &other, Quality::Fine);
    assert!(used.render(&scene, &camera, Quality::Fine).rgba == one);
}

#[test]
fn empty_and_absurd_sizes_give_a_picture_that_answers_nothing() {
    let scene = scene_of(Mesh::default(), DAffine3::IDENTITY);
    let mut renderer = Renderer::new();
    for (w, h) in [(0.0, 0.0), (1.0, 1.0), (3.0, 70.0), (1e9, 2.0), (f64::NAN, 5.0)] {
        let mut camera = Camera::new(DVec2::new(64.0, 48.0));
        camera.size_px = DVec2::new(w, h);
        let picture = renderer.render(&scene, &camera, Quality::Fine);
        assert_eq!(picture.rgba.len(), picture.width * picture.height * 4);
        assert!(picture.pick(DVec2::ZERO).is_none() && picture.pick_solid(DVec2::NAN).is_none());
    }
}
