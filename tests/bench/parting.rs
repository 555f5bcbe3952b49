//! The parting, from refinement to undercuts, and the proposed draw.

use glam::Vec3;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::draw::propose_draw;
use mouldbench::study::parting::labels::{Task, force_extremes, label};
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::visibility::Visibility;
use mouldbench::study::parting::{Leave, Wish, parting_of};
use std::sync::Arc;
use std::time::Instant;

/// A torus with ripples, which has undercuts whichever way it is drawn: 2·ring·tube triangles.
pub fn rippled(ring: u32, tube: u32) -> Mesh {
    let mut mesh = solids::torus(40.0, 15.0, ring, tube);
    for p in &mut mesh.positions {
        let wave = 1.0 + 0.03 * (p.x * 0.6).sin() * (p.z * 0.9).cos();
        *p *= wave;
    }
    mesh
}

/// Prints seconds for 10 thousand, 100 thousand, 500 thousand and 1 million triangles.
pub fn run() {
    println!("parting: seconds");
    println!("triangles  refined  surface  tree  visibility  cut  all but surface and tree  draw");
    for (ring, tube) in [(100, 50), (320, 160), (710, 355), (1000, 500)] {
        let mesh = rippled(ring, tube);
        let run = Run::new();
        let draw = Vec3::new(0.2, 0.1, 1.0).normalize();
        let clock = Instant::now();
        let surface = Arc::new(Surface::new(&mesh, &run).expect("not cancelled"));
        let surface_s = clock.elapsed().as_secs_f64();
        let clock = Instant::now();
        let tree = Tree::of(&mesh);
        let tree_s = clock.elapsed().as_secs_f64();
        let clock = Instant::now();
        let visibility = Visibility::of(&surface, &tree, draw, &run).expect("not cancelled");
        let visibility_s = clock.elapsed().as_secs_f64();
        let mut forced = vec![None; surface.len()];
        force_extremes(&surface, &visibility, draw, &mut forced);
        let clock = Instant::now();
        let task = Task { surface: &surface, visibility: &visibility, draw, shown: &[], forced: &forced };
        let halves = label(&task, &run).expect("not cancelled");
        let cut_s = clock.elapsed().as_secs_f64();
        std::hint::black_box(halves);
        let leave = Leave { island_mm2: 2.0, undercut_depth_mm: 0.1 };
        let clock = Instant::now();
        let facts = parting_of(&surface, &tree, &Wish::along(draw), leave, &run).expect("a parting");
        let all_s = clock.elapsed().as_secs_f64();
        std::hint::black_box(facts.energy_mm);
        let clock = Instant::now();
        std::hint::black_box(propose_draw(&[&mesh], Vec3::Z, &run).expect("not cancelled"));
        let draw_s = clock.elapsed().as_secs_f64();
        println!(
            "{:>9} {:>8} {surface_s:8.2} {tree_s:5.2} {visibility_s:11.2} {cut_s:4.2} {all_s:26.2} {draw_s:5.2}",
            mesh.triangles.len(),
            surface.len()
        );
    }
}
