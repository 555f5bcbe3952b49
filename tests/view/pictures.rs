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
fn keep(picture: &Picture, name: &str) {
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
