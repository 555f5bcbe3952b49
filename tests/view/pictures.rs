//! Whole pictures: drawn, looked at by number, and written out as files when `MOULDBENCH_PICTURES` names a folder.

use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::view::camera::{Camera, Projection, StandardView};
use mouldbench::view::palette::{self, Theme};
use mouldbench::view::picture::Picture;
use mouldbench::view::render::{Quality, Renderer};
use mouldbench::view::scene::*;
use std::sync::Arc;

/// Writes a picture where a person can look at it.
pub(super) fn keep(picture: &Picture, name: &str) {
    let Ok(folder) = std::env::var("MOULDBENCH_PICTURES") else { return };
    let image = image::RgbaImage::from_raw(picture.width as u32, picture.height as u32, picture.rgba.clone());
    let path = std::path::Path::new(&folder).join(format!("{name}.png"));
    image.expect("four bytes a pixel").save(path).expect("a folder that can be written");
}

/// An open-topped tray: outer box, inner box turned inside out, joined by a rim. Walls of 3 mm.
fn tray() -> Mesh {
    let (w, d, h, t) = (60.0f32, 40.0, 24.0, 3.0);
    let ring =
        |x: f32, y: f32, z: f32| [Vec3::new(-x, -y, z), Vec3::new(x, -y, z), Vec3::new(x, y, z), Vec3::new(-x, y, z)];
    let mut mesh = Mesh::default();
    for r in [
        ring(w / 2.0, d / 2.0, 0.0),
        ring(w / 2.0, d / 2.0, h),
        ring(w / 2.0 - t, d / 2.0 - t, h),
        ring(w / 2.0 - t, d / 2.0 - t, t),
    ] {
        mesh.positions.extend(r);
    }
    for level in 0..3u32 {
        for i in 0..4u32 {
            let j = (i + 1) % 4;
            let (a, b) = (level * 4, level * 4 + 4);
            mesh.triangles.extend([[a + i, a + j, b + j], [a + i, b + j, b + i]]);
        }
    }
    mesh.triangles.extend([[0, 2, 1], [0, 3, 2], [12, 13, 14], [12, 14, 15]]);
    mesh
}

fn scene_of(theme: Theme) -> Scene {
    let mut scene = Scene::new(theme);
    let mut place = |mesh: Mesh, paint: Paint, at: DVec3| {
        let mut surface = Surface::new(Arc::new(mesh), paint);
        surface.world_from_mesh = glam::DAffine3::from_translation(at);
        surface.pick = Some(scene.surfaces.len() as u32 + 1);
        scene.surfaces.push(surface);
    };
    place(tray(), Paint::Uniform(theme.part), DVec3::ZERO);
    place(solids::torus(12.0, 4.0, 96, 48), Paint::Uniform(palette::HALF_1), DVec3::new(55.0, 0.0, 8.0));
    place(solids::ball(Vec3::ZERO, 10.0, 4), Paint::Uniform(palette::HALF_2), DVec3::new(-50.0, 0.0, 10.0));
    place(solids::cylinder(Vec3::ZERO, Vec3::Z * 18.0, 5.0, 64), Paint::Uniform(theme.part), DVec3::new(0.0, 0.0, 3.0));
    scene
}

#[test]
fn every_quality_and_ground_shows_the_parts() {
    let mut renderer = Renderer::new();
    for (name, theme) in [("light", Theme::LIGHT), ("dark", Theme::DARK)] {
        let scene = scene_of(theme);
        for (tail, quality) in [("draft", Quality::Draft), ("fine", Quality::Fine)] {
            let mut camera = Camera::new(DVec2::new(1280.0, 800.0));
            camera.fit(&scene.bounds(), 0.06);
            let picture = renderer.render(&scene, &camera, quality);
            keep(picture, &format!("{name}_{tail}"));
            let seen: Vec<u32> = scene
                .surfaces
                .iter()
                .filter_map(|s| camera.project(s.world_from_mesh.translation + DVec3::Z * 6.0))
                .filter_map(|p| picture.pick(p.pixel).map(|h| h.id))
                .collect();
            assert!(seen.contains(&3) && seen.contains(&1), "ball and tray are in sight, saw {seen:?}");
        }
    }
    let mut scene = scene_of(Theme::LIGHT);
    scene.section = Some(Plane { point: DVec3::ZERO, normal: DVec3::NEG_Y });
    let mut camera = Camera::new(DVec2::new(1280.0, 800.0));
    camera.projection = Projection::Parallel;
    camera.look_from(StandardView::Corner);
    camera.fit(&scene.bounds(), 0.06);
    let picture = renderer.render(&scene, &camera, Quality::Fine);
    keep(picture, "section");
    // The post is cut through its middle: its cut face is hit where the plane is, and it is no triangle.
    let middle = camera.project(DVec3::new(0.0, 0.0, 12.0)).expect("in front").pixel;
    let hit = picture.pick(middle).expect("the cut face of the post");
    assert_eq!((hit.id, hit.triangle), (4, None));
    assert!(hit.point.y.abs() < 1e-6, "on the plane, not {}", hit.point);
}

/// The tray in its block with everything that can be placed.
fn job(theme: Theme, glass: bool) -> Scene {
    let mut scene = Scene::new(theme);
    let mesh = Arc::new(tray());
    let labels: Vec<u8> = (0..mesh.triangles.len()).map(|t| u8::from(mesh.unit_normal(t).z < -0.1)).collect();
    let colours = vec![palette::HALF_1, palette::HALF_2];
    let mut part = Surface::new(mesh.clone(), Paint::PerTriangle { labels: Arc::new(labels), colours });
    part.pick = Some(1);
    part.world_from_mesh = glam::DAffine3::from_translation(DVec3::Z * 20.0);
    if glass {
        part.opacity = Opacity::Glass(0.22);
    }
    let walls: Vec<bool> = (0..mesh.triangles.len()).map(|t| mesh.unit_normal(t).y < -0.9).collect();
    let front = Some(Arc::new(walls));
    part.marks.push(Mark {
        triangles: front,
        beyond: vec![Plane { point: DVec3::new(0.0, 0.0, 34.0), normal: DVec3::new(0.6, 0.0, 0.8) }],
        pattern: Pattern::Hatch,
        colour: palette::LINE_DARK,
        strength: 0.8,
    });
    let right: Vec<bool> = (0..mesh.triangles.len()).map(|t| mesh.unit_normal(t).x > 0.9).collect();
    part.marks.push(Mark {
        triangles: Some(Arc::new(right)),
        beyond: Vec::new(),
        pattern: Pattern::Stipple,
        colour: palette::VERMILION,
        strength: 0.9,
    });
    scene.surfaces.push(part);
    let corner = |x: f32, y: f32, z: f32| Vec3::new(30.0 * x, 20.0 * y, 20.0 + z);
    let mut parting = Line::new(
        vec![corner(-1.0, -1.0, 12.0), corner(1.0, -1.0, 12.0), corner(1.0, 1.0, 12.0), corner(-1.0, 1.0, 12.0)],
        LineStyle::Double,
        LinePaint::Uniform(palette::LINE_LIGHT),
        4.4,
    );
    (parting.closed, parting.pick) = (true, Some(50));
    scene.lines.push(parting);
    let circle = (0..48).map(|i| glam::Vec2::from_angle(i as f32 / 48.0 * std::f32::consts::TAU) * 7.0);
    let mut shut_off = Line::new(
        circle.map(|p| Vec3::new(p.x - 14.0, p.y, 23.0)).collect(),
        LineStyle::Double,
        LinePaint::Uniform(palette::LINE_LIGHT),
        4.0,
    );
    (shut_off.closed, shut_off.dash_pt) = (true, Some((9.0, 5.0)));
    scene.lines.push(shut_off);
    let path: Vec<Vec3> = (0..40)
        .map(|i| i as f32 / 39.0)
        .map(|t| Vec3::new(-24.0 + 50.0 * t, 18.5, 24.0 + 16.0 * (t * 6.0).sin().abs()))
        .collect();
    let colours = (0..40).map(|i| palette::ramp(i as f32 / 39.0)).collect();
    scene.lines.push(Line::new(path, LineStyle::Tube, LinePaint::PerPoint(colours), 6.0));
    let rod = |x: f32, y: f32, r: f32| Shape::Rod {
        from: Vec3::new(x, y, 44.0),
        to: Vec3::new(x, y, 64.0),
        radius_from_mm: r,
        radius_to_mm: r,
    };
    let gate = Shape::Rod {
        from: Vec3::new(0.0, 0.0, 23.0),
        to: Vec3::new(0.0, 0.0, 64.0),
        radius_from_mm: 2.5,
        radius_to_mm: 4.5,
    };
    let mut number = 0;
    let mut put = |scene: &mut Scene, shape: Shape, colour, kind, foot: Vec3, text: &str| {
        number += 1;
        let mut solid = Solid::new(shape, colour);
        solid.pick = Some(100 + number);
        scene.solids.push(solid);
        scene.tags.push(Tag { foot, kind, text: text.into(), colour, chosen: number == 2, pick: Some(100 + number) });
    };
    put(&mut scene, gate, palette::FEED, TagKind::Gate, Vec3::new(0.0, 0.0, 50.0), "1");
    for (i, (x, y)) in [(-28.5, -18.5), (28.5, -18.5), (28.5, 18.5), (-28.5, 18.5)].into_iter().enumerate() {
        let text = format!("{}", i + 1);
        put(&mut scene, rod(x, y, 1.2), palette::VENT, TagKind::Vent, Vec3::new(x, y, 44.0), &text);
    }
    let insert = Arc::new(solids::cylinder(Vec3::new(12.0, 8.0, 19.0), Vec3::new(12.0, 8.0, 31.0), 3.0, 6));
    let insert = Shape::Mesh { mesh: insert, world_from_mesh: glam::DAffine3::IDENTITY };
    put(&mut scene, insert, palette::INSERT, TagKind::Insert, Vec3::new(12.0, 8.0, 31.0), "2");
    let ring = Shape::Ring { centre: Vec3::new(-20.0, 12.0, 24.0), axis: Vec3::Z, radius_mm: 3.0, tube_mm: 0.8 };
    put(&mut scene, ring, palette::TRAPPED_AIR, TagKind::HighPoint, Vec3::new(-20.0, 12.0, 24.0), "12");
    scene.tags.push(Tag {
        foot: Vec3::new(30.0, 0.0, 30.0),
        kind: TagKind::Finding,
        text: "3".into(),
        colour: palette::BLUE,
        chosen: false,
        pick: None,
    });
    scene.boxes.push(GlassBox {
        bounds: mouldbench::mesh::Bounds { min: Vec3::new(-45.0, -35.0, 0.0), max: Vec3::new(45.0, 35.0, 64.0) },
        world_from_box: glam::DAffine3::IDENTITY,
        grid_mm: Some(10.0),
        glass: 0.07,
    });
    scene.axes = Some(Axes { up: DVec3::Z, frame: [DVec3::X, DVec3::Y, DVec3::Z] });
    scene.scale_bar = true;
    scene
}

#[test]
fn a_whole_job_is_drawn_with_everything_that_is_placed() {
    let mut renderer = Renderer::new();
    for (name, theme, glass, dense) in [
        ("job_light", Theme::LIGHT, false, false),
        ("job_glass", Theme::LIGHT, true, false),
        ("job_dark", Theme::DARK, false, false),
        ("job_dense", Theme::LIGHT, false, true),
    ] {
        let mut scene = job(theme, glass);
        let scale = if dense { 2.0 } else { 1.0 };
        scene.px_per_point = scale as f32;
        let mut camera = Camera::new(DVec2::new(1280.0, 800.0) * scale);
        camera.orbit(DVec2::new(60.0, 40.0) * scale, DVec3::ZERO);
        camera.fit(&scene.bounds(), 0.04);
        if glass {
            camera.projection = Projection::Parallel;
        }
        let picture = renderer.render(&scene, &camera, Quality::Fine);
        keep(picture, name);
        assert!(picture.tags.iter().all(|t| t.shown), "there is room for {} tags", picture.tags.len());
        for (tag, placed) in scene.tags.iter().zip(&picture.tags) {
            assert_eq!(picture.pick_tag(placed.centre_px.as_dvec2()), tag.pick);
        }
        let on_line = camera.project(DVec3::new(0.0, -20.0, 32.0)).expect("in front").pixel;
        assert_eq!(picture.pick_line(on_line, 3.0), Some(50));
        let on_wall = camera.project(DVec3::new(-10.0, -20.0, 28.0)).expect("in front").pixel;
        let hit = picture.pick(on_wall).expect("the front wall");
        assert_eq!(hit.id, 1);
        assert!((hit.point.y + 20.0).abs() < 1e-4 && hit.normal.y < -0.999, "{hit:?}");
    }
}
