//! Trapped air: one tree, nine trees, and the walk over all of them after a vent has moved.

use crate::shapes::{best, bumpy};
use glam::{DVec3, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::solve::closed_surface::ClosedSurface;
use mouldbench::solve::run::Run;
use mouldbench::solve::surface_tree::SurfaceTree;
use mouldbench::study::air::{Air, Mouth, MouthOf, high_points, propose};
use std::sync::Arc;

/// Prints the table.
pub fn run() {
    println!("air: seconds, best of several");
    println!("triangles      prepare     one tree   nine trees   high points   drag (9 walks)   propose");
    let run = Run::new();
    for (level, rough) in [(5, 0.0), (6, 0.0), (7, 0.0), (8, 0.0), (6, 2.0), (7, 1.0)] {
        let mesh = Arc::new(bumpy(level, Some(rough)));
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
        let mut mesh = bumpy(level, Some(0.0));
        mesh.triangles.truncate(mesh.triangles.len() - 40);
        let (mesh, up) = (Arc::new(mesh), Vec3::new(0.1, 0.2, 0.97).normalize());
        let tree = Arc::new(Tree::of(&mesh));
        let nine = best(2, || Air::new(&mesh, &tree, up, 2.0, &run));
        println!("{:15} {nine:21.3}   {}", mesh.triangles.len(), mouldbench::study::air::air_tree::CELLS);
    }
}
