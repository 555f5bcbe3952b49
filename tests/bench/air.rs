//! Trapped air: one tree, nine trees, and the walk over all of them after a vent has moved.

use glam::{DVec3, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::closed_surface::ClosedSurface;
use mouldbench::solve::run::Run;
use mouldbench::solve::surface_tree::SurfaceTree;
use mouldbench::study::air::{Air, Mouth, MouthOf, high_points, propose};
use std::sync::Arc;
use std::time::Instant;

/// A ball with bumps in two sizes and `rough` millimetres of noise, as a scan has it: a summit at every fourth vertex.
fn bumpy(level: u32, rough: f64) -> Mesh {
    let mut ball = solids::ball(Vec3::ZERO, 1.0, level);
    let mut chance = 0x9e37_79b9_7f4a_7c15u64;
    let mut noise = move || {
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        (chance >> 11) as f64 / (1u64 << 53) as f64 - 0.5
    };
    for p in &mut ball.positions {
        let q = p.as_dvec3();
        let wave = (9.0 * q.x + 1.0).sin() * (8.0 * q.y + 2.0).sin() + (11.0 * q.z - 1.0).sin() * (7.0 * q.x).cos();
        let fine = (61.0 * q.x).sin() * (57.0 * q.y).sin() * (63.0 * q.z).sin();
        *p = (q * (50.0 * (1.0 + 0.08 * wave + 0.004 * fine) + rough * noise())).as_vec3();
    }
    ball
}

fn best<T>(times: usize, mut work: impl FnMut() -> T) -> f64 {
    (0..times)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

/// Prints the table.
pub fn run() {
    println!("air: seconds, best of several");
    println!("triangles      prepare     one tree   nine trees   high points   drag (9 walks)   propose");
    let run = Run::new();
    for (level, rough) in [(5, 0.0), (6, 0.0), (7, 0.0), (8, 0.0), (6, 2.0), (7, 1.0)] {
        let mesh = Arc::new(bumpy(level, rough));
        let tree = Arc::new(Tree::of(&mesh));
        let up = DVec3::new(0.1, 0.2, 0.97).normalize();
        let prepare = best(3, || ClosedSurface::new(mesh.clone(), tree.clone(), &run));
        let surface = Arc::new(ClosedSurface::new(mesh.clone(), tree.clone(), &run).expect("closed"));
        let one = best(5, || SurfaceTree::new(&surface, up, &run));
        let nine = best(1, || Air::new(&mesh, &tree, up.as_vec3(), 2.0, &run));
        let air = Air::new(&mesh, &tree, up.as_vec3(), 2.0, &run).expect("nobody cancels");
        let points = best(3, || high_points::high_points(&air.level, 1.0));
        let found = high_points::high_points(&air.level, 1.0);
        let mut mouths: Vec<Mouth> = found
            .iter()
            .take(12)
            .enumerate()
            .map(|(i, p)| Mouth {
                of: MouthOf::Vent(i as u32),
                centre: p.position,
                normal: Vec3::ZERO,
                diameter_mm: 1.5,
            })
            .collect();
        let drag = best(10, || {
            mouths[0].centre.x += 0.01;
            (air.trapped(&mouths).total_mm3, air.worst_mm3(&mouths), air.needless(&mouths, 1.0))
        });
        let proposing = best(1, || propose::propose(&air, &[], 1.5, 20.0, &run));
        println!(
            "{:9} {prepare:12.4} {one:12.4} {nine:12.4} {points:13.5} {drag:16.5} {proposing:9.3}   {} high points, {} branches",
            mesh.triangles.len(),
            found.len(),
            air.level.tree().branches.len(),
        );
    }
    println!("triangles, open   nine trees on cells   each of cells");
    for level in [5, 7, 8] {
        let mut mesh = bumpy(level, 0.0);
        mesh.triangles.truncate(mesh.triangles.len() - 40);
        let (mesh, up) = (Arc::new(mesh), Vec3::new(0.1, 0.2, 0.97).normalize());
        let tree = Arc::new(Tree::of(&mesh));
        let nine = best(2, || Air::new(&mesh, &tree, up, 2.0, &run));
        println!("{:15} {nine:21.3}   {}", mesh.triangles.len(), mouldbench::study::air::air_tree::CELLS);
    }
}
