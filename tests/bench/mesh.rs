//! Meshes: reading with weld and digest, checking, measures, the tree, rays, nearest points, refinement, booleans.

use crate::shapes::best;
use glam::{DVec3, Vec3};
use mouldbench::mesh::boolean::{subtract, unite};
use mouldbench::mesh::check::MeshCheck;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::read_stl;
use mouldbench::mesh::refine::refine;
use mouldbench::mesh::solids::{ball, cylinder, torus};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::weld::{soup_of, weld};
use mouldbench::mesh::winding::Winding;
use mouldbench::mesh::{Mesh, write_stl};
use rayon::prelude::*;

/// A ring-shaped handle with bumps of two sizes, `2·ring·tube` triangles.
fn handle(ring: u32, tube: u32) -> Mesh {
    let mut mesh = torus(40.0, 12.0, ring, tube);
    for p in &mut mesh.positions {
        let q = *p;
        let wave = (q.x * 0.31).sin() * (q.y * 0.27).sin() + 0.2 * (q.x * 1.9).sin() * (q.z * 2.3).cos();
        *p = q * (1.0 + 0.02 * wave);
        p.z *= 0.7;
    }
    mesh
}

/// Points spread through the cube of half width 1 (Roberts 2018, the R3 sequence).
fn spread(i: usize) -> Vec3 {
    let at = |a: f64| ((0.5 + a * i as f64).fract() * 2.0 - 1.0) as f32;
    Vec3::new(at(0.819_172_513_396_164), at(0.671_043_606_703_789), at(0.549_700_477_901_969))
}

/// Prints the tables.
pub fn run() {
    println!("mesh: seconds, best of several");
    println!(
        "triangles   read+weld   weld   topology   check  measure   tree  1M rays: one thread, all   1M nearest, all   \
         100k winding, all   refine x4"
    );
    let folder = tempfile::tempdir().expect("a folder");
    for (ring, tube) in [(100, 50), (316, 158), (1000, 500), (1304, 652)] {
        let mesh = handle(ring, tube);
        let path = folder.path().join("part.stl");
        let mut file = std::fs::File::create(&path).expect("a file");
        write_stl::write(&mut file, &mesh, DVec3::ZERO).expect("written");
        drop(file);
        let times = if mesh.triangles.len() > 500_000 { 5 } else { 9 };
        let read = best(times, || read_stl::read(&path, 1.0));
        let soup = soup_of(&mesh);
        let welding = best(times, || weld(&soup));
        drop(soup);
        let topology = best(times, || Topology::of(&mesh));
        let known = Topology::of(&mesh);
        let check = best(times, || MeshCheck::with(&mesh, &known));
        let measure = best(times, || Measures::of(&mesh));
        let building = best(times, || Tree::of(&mesh));
        let tree = Tree::of(&mesh);
        let half = mesh.bounds().size() * 0.6;
        let ray = |i: usize| {
            let origin = spread(i) * half;
            tree.first_hit(origin, spread(i + 7_919) * half - origin, f32::INFINITY).map_or(0.0, |h| h.t)
        };
        const RAYS: usize = 1_000_000;
        let alone = best(3, || (0..RAYS).map(ray).fold(0.0, f32::max));
        let rays = best(3, || (0..RAYS).into_par_iter().map(ray).reduce(|| 0.0, f32::max));
        let near = |i: usize| tree.nearest(spread(i) * half).map_or(0.0, |n| n.distance);
        let nearest = best(2, || (0..RAYS).into_par_iter().map(near).reduce(|| 0.0, f32::max));
        let winding = Winding::of(&mesh);
        let turns = |i: usize| winding.at(spread(i) * half);
        let wound = best(2, || (0..RAYS / 10).into_par_iter().map(turns).reduce(|| 0.0, f64::max));
        let edge = mesh.corners(0)[0].distance(mesh.corners(0)[1]);
        let finer = best(1, || refine(&mesh, edge * 0.3, mesh.triangles.len() * 4));
        println!(
            "{:9} {read:10.4} {welding:7.4} {topology:9.4} {check:8.4} {measure:7.4} {building:7.4} {alone:17.3} \
             {rays:8.3} {nearest:15.3} {wound:17.3} {finer:12.3}",
            mesh.triangles.len()
        );
    }
    println!("triangles   ball minus eight cylinders   union with them");
    for level in [4, 6, 7] {
        let ball = ball(Vec3::ZERO, 50.0, level);
        let rods: Vec<Mesh> = (0..8)
            .map(|i| {
                let a = i as f32 * 0.785 + 0.1;
                let out = Vec3::new(a.cos(), a.sin(), 0.3).normalize();
                cylinder(out * 40.0, out * 60.0, 2.0, 24)
            })
            .collect();
        let rods: Vec<&Mesh> = rods.iter().collect();
        let cut = best(2, || subtract(&ball, &rods).expect("closed bodies"));
        let mut all = vec![&ball];
        all.extend(&rods);
        let joined = best(2, || unite(&all).expect("closed bodies"));
        println!("{:9} {cut:28.3} {joined:17.3}", ball.triangles.len());
    }
}
