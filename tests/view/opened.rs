//! The opened block: both halves drawn apart along the draw.

use super::pictures::keep;
use glam::{DAffine3, DVec2, DVec3};
use mouldbench::mesh::Mesh;
use mouldbench::plan::file;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::view::camera::Camera;
use mouldbench::view::palette::{self, Theme};
use mouldbench::view::picture::Picture;
use mouldbench::view::render::{Quality, Renderer};
use mouldbench::view::scene::*;
use std::path::Path;
use std::sync::Arc;

/// Half 2 as it stands and half 1 drawn off and turned over beside it, as they lie on the bench.
fn opened(halves: &[Arc<Mesh>; 2], work_up: DAffine3, apart: f64) -> Picture {
    let mut scene = Scene::new(Theme::LIGHT);
    let colours = [palette::HALF_1, palette::HALF_2];
    for (i, half) in halves.iter().enumerate() {
        let mut surface = Surface::new(half.clone(), Paint::Uniform(colours[i]));
        let lay = if i == 0 {
            DAffine3::from_translation(DVec3::X * apart) * DAffine3::from_rotation_y(std::f64::consts::PI)
        } else {
            DAffine3::IDENTITY
        };
        surface.world_from_mesh = lay * work_up;
        surface.pick = Some(i as u32 + 1);
        scene.surfaces.push(surface);
    }
    let mut camera = Camera::new(DVec2::new(1280.0, 800.0));
    camera.fit(&scene.bounds(), 0.04);
    Renderer::new().render(&scene, &camera, Quality::Fine).clone()
}

#[test]
#[ignore = "long"]
fn long_both_halves_of_the_demo_parts_show_their_cavity() {
    let mut jobs = vec!["cap"];
    if std::env::var("MOULDBENCH_PICTURES").is_ok() {
        jobs.push("handle");
    }
    for job in jobs {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("projects/{job}.ron"));
        let plan = file::read(&path).expect("a plan");
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(path.parent());
        let run = Run::new();
        let setting = bench.setting(&plan).expect("a setting");
        let body = bench.body(&plan, &setting, &run).expect("a body");
        let halves = match bench.halves(&plan, &setting, &body, &run) {
            Ok(halves) => halves,
            Err(e) => panic!("{job}: {e}"),
        };
        let draw = bench.parting(&plan, &setting, &body, &run).expect("a parting").draw.as_dvec3();
        let up = DAffine3::from_quat(glam::DQuat::from_rotation_arc(draw, DVec3::Z));
        let picture = opened(&halves, up, 1.3 * setting.block.size_mm.max_element());
        keep(&picture, &format!("opened_{job}"));
        let seen = |id: u32| {
            let pixels = (0..picture.width * picture.height).step_by(97);
            pixels
                .filter(|i| {
                    let at = DVec2::new((i % picture.width) as f64, (i / picture.width) as f64);
                    picture.pick(at).is_some_and(|h| h.id == id)
                })
                .count()
        };
        assert!(seen(1) > 500 && seen(2) > 500, "{job}: {} and {} of both", seen(1), seen(2));
    }
}
