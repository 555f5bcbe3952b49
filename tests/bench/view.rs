//! One frame of the software view, 1280 by 800: a bumpy torus of 70k, 500k and 1.7M triangles, smooth normals derived
//! beforehand as in the window.

use glam::{DVec2, DVec3};
use mouldbench::mesh::solids;
use mouldbench::view::camera::Camera;
use mouldbench::view::palette::Theme;
use mouldbench::view::prepared::Prepared;
use mouldbench::view::render::{Quality, Renderer};
use mouldbench::view::scene::{Paint, Scene, Surface};
use std::sync::Arc;
use std::time::Instant;

/// Prints the fastest and the middle of some frames, milliseconds.
pub fn run() {
    println!("view: frame 1280x800, ms (fastest / middle)");
    for (ring, tube) in [(264, 132), (720, 348), (1320, 644)] {
        let mut mesh = solids::torus(40.0, 18.0, ring, tube);
        for p in &mut mesh.positions {
            *p *= 1.0 + 0.01 * ((p.x * 0.9).sin() + (p.y * 1.1).sin() + (p.z * 0.7).cos());
        }
        let mesh = Arc::new(mesh);
        let start = Instant::now();
        let prepared = Arc::new(Prepared::new(&mesh, 30f32.to_radians()));
        let preparing = start.elapsed().as_secs_f64() * 1e3;
        let mut scene = Scene::new(Theme::LIGHT);
        scene.surfaces.push(Surface::new(mesh.clone(), Paint::Uniform(Theme::LIGHT.part)));
        let mut renderer = Renderer::new();
        renderer.adopt(&mesh, prepared);
        let mut camera = Camera::new(DVec2::new(1280.0, 800.0));
        camera.fit(&scene.bounds(), 0.05);
        let mut line = format!("{:>9} triangles: notes {preparing:.0}", mesh.triangles.len());
        for (name, quality, frames) in [("draft", Quality::Draft, 24), ("fine", Quality::Fine, 10)] {
            let mut times = Vec::new();
            for _ in 0..frames {
                camera.orbit(DVec2::new(7.0, 3.0), DVec3::ZERO);
                let start = Instant::now();
                renderer.render(&scene, &camera, quality);
                times.push(start.elapsed().as_secs_f64() * 1e3);
            }
            times.sort_by(f64::total_cmp);
            line += &format!(", {name} {:.1} / {:.1}", times[0], times[times.len() / 2]);
        }
        println!("{line}");
    }
}
