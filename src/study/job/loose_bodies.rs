//! Bodies of one mesh file that lie loose beside each other, each as a mesh of its own.

use super::fresh_id::fresh_id;
use super::mesh_store::LoadedMesh;
use crate::mesh::Mesh;
use crate::mesh::check::MeshCheck;
use crate::mesh::topology::Topology;
use crate::plan::bodies::BodyAt;
use crate::plan::{Bodies, Plan, Spot};
use glam::{DVec3, Vec3};
use std::sync::Arc;

impl LoadedMesh {
    /// How many parts the file may hold: groups of bodies that hang together.
    pub fn loose(&self) -> usize {
        self.groups.len()
    }

    /// Each group of bodies that hang together as a mesh of its own, in the order of [`MeshCheck::pieces`]; nothing of a
    /// file that holds one.
    pub fn pieces(&self) -> &[Arc<LoadedMesh>] {
        self.parted.get_or_init(|| {
            if self.loose() < 2 {
                return Vec::new();
            }
            let topology = Topology::of(&self.mesh);
            let piece = |(n, group): (usize, &Vec<u32>)| Arc::new(self.piece(&topology, n, group));
            self.groups.iter().enumerate().map(piece).collect()
        })
    }

    /// The mesh of a part of which that was said: the whole file, or the body that is most like the one meant.
    pub fn of_bodies(self: &Arc<LoadedMesh>, bodies: Bodies) -> Arc<LoadedMesh> {
        let Some(at) = bodies.one() else { return self.clone() };
        let unlike = |piece: &&Arc<LoadedMesh>| piece.body_at().unlike(&at);
        let found = self.pieces().iter().min_by(|a, b| unlike(a).total_cmp(&unlike(b)));
        found.unwrap_or(self).clone()
    }

    /// What the plan finds it again by.
    pub fn body_at(&self) -> BodyAt {
        let bounds = self.mesh.bounds();
        let in_file = |p: DVec3| (p + self.centre) / self.unit.mm();
        BodyAt {
            centroid: in_file(self.check.measures.centroid_mm),
            low: in_file(bounds.min.as_dvec3()),
            high: in_file(bounds.max.as_dvec3()),
        }
    }

    fn piece(&self, topology: &Topology, n: usize, group: &[u32]) -> LoadedMesh {
        let own = |t: &usize| group.contains(&topology.body_of_triangle[*t]);
        let mut number = vec![u32::MAX; self.mesh.positions.len()];
        let mut mesh = Mesh::default();
        for t in (0..self.mesh.triangles.len()).filter(own) {
            mesh.triangles.push(self.mesh.triangles[t].map(|v| {
                let new = &mut number[v as usize];
                if *new == u32::MAX {
                    *new = mesh.positions.len() as u32;
                    mesh.positions.push(self.mesh.positions[v as usize]);
                }
                *new
            }));
        }
        // About its own middle, as if it had been read alone.
        let middle = mesh.bounds().centre();
        mesh.positions.iter_mut().for_each(|p| *p -= middle);
        LoadedMesh {
            id: fresh_id(),
            centre: self.centre + middle.as_dvec3(),
            digest: self.digest.clone(),
            unit: self.unit,
            check: MeshCheck::of(&mesh),
            mesh: Arc::new(mesh),
            // What was put right is told once.
            repairs: if n == 0 { self.repairs.clone() } else { Vec::new() },
            groups: vec![Vec::new()],
            in_file: self.loose(),
            parted: Default::default(),
        }
    }
}

/// Makes a part of its own of each body in the file of part `i`, whose mesh was `loaded`; what lies on it goes to the body
/// that it lies on.
pub fn part_bodies_into(plan: &mut Plan, i: usize, loaded: &LoadedMesh) {
    let pieces = loaded.pieces();
    if pieces.len() < 2 {
        return;
    }
    let at: Vec<BodyAt> = pieces.iter().map(|p| p.body_at()).collect();
    plan.part_bodies(i, &at, |spot| nearest(pieces, spot));
}

fn nearest(pieces: &[Arc<LoadedMesh>], spot: &Spot) -> usize {
    let away = |piece: &LoadedMesh| -> f32 {
        let p: Vec3 = (spot.position - piece.centre).as_vec3();
        let mesh = &piece.mesh;
        let near = |t: usize| {
            let corners = mesh.corners(t).map(Vec3::as_dvec3);
            crate::mesh::tree::nearest_on_triangle(p.as_dvec3(), corners).0
        };
        let far = |t: usize| {
            let ([a, b, c], w) = (mesh.corners(t), near(t).as_vec3());
            (a * w.x + b * w.y + c * w.z).distance(p)
        };
        (0..mesh.triangles.len()).map(far).fold(f32::INFINITY, f32::min)
    };
    let all: Vec<f32> = pieces.iter().map(|p| away(p)).collect();
    (0..all.len()).min_by(|&a, &b| all[a].total_cmp(&all[b])).unwrap_or(0)
}

/// The first part of the plan of whose file nobody has said yet whether its loose bodies are one part, with their number.
/// `loaded` are the meshes of its parts.
pub fn first_not_said(plan: &Plan, loaded: &[Arc<LoadedMesh>]) -> Option<(usize, usize)> {
    let asks = |i: &usize| plan.parts[*i].bodies == Bodies::NotSaid;
    let found = (0..plan.parts.len().min(loaded.len())).filter(asks).find(|&i| loaded[i].loose() > 1)?;
    Some((found, loaded[found].loose()))
}
