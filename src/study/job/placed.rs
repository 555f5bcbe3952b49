//! The plan's parts read and set in their places.

use super::frames;
use super::mesh_store::{LoadedMesh, MeshStore};
use crate::mesh::read_stl::ReadError;
use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh};
use crate::plan::{Hang, InsertKind, Plan, Pose, Unit};
use crate::study::job::fresh_id::fresh_id;
use glam::{DAffine3, DVec3};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// The parts of a plan, read and set in `work`.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Unlike any other; see [`fresh_id`].
    pub id: u64,
    /// What was read for each part of the plan.
    pub loaded: Vec<Arc<LoadedMesh>>,
    /// Names of inserts' meshes in the plan, each with the id of what was read.
    pub insert_readings: Vec<(String, u64)>,
    /// Meshes of inserts by their names in the plan, read in millimetres and kept about their own origin.
    pub insert_meshes: BTreeMap<String, Arc<Mesh>>,
    /// From each part's own coordinates (millimetres) to `work`.
    pub work_from_part: Vec<DAffine3>,
    /// Origin of `work` in `set`.
    pub origin_in_set: DVec3,
    /// Each part in `work`.
    pub meshes: Vec<Arc<Mesh>>,
    /// The box round each of them.
    pub bounds: Vec<Bounds>,
    /// The tree of each part of a set; none of a part alone, of which nothing is asked that the body's would not tell.
    pub trees: Arc<Vec<Tree>>,
}

/// What [`Placed`] depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedKey {
    parts: Vec<(u64, Pose)>,
    inserts: Vec<(String, u64)>,
}

/// The meshes of a plan, found but not yet placed.
pub struct Found {
    loaded: Vec<Arc<LoadedMesh>>,
    insert_meshes: BTreeMap<String, Arc<LoadedMesh>>,
}

/// Reads what the plan names.
///
/// # Errors
/// The first mesh that cannot be read.
pub fn find(store: &MeshStore, folder: Option<&Path>, plan: &Plan) -> Result<Found, ReadError> {
    let loaded = plan
        .parts
        .iter()
        .map(|p| Ok(store.load(folder, &p.mesh, &p.digest, p.unit)?.of_bodies(p.bodies)))
        .collect::<Result<_, ReadError>>()?;
    let mut insert_meshes = BTreeMap::new();
    for insert in &plan.inserts {
        if let InsertKind::Mesh { mesh } = &insert.kind {
            insert_meshes.insert(mesh.clone(), store.load(folder, mesh, "", Unit::Millimetre)?);
        }
    }
    Ok(Found { loaded, insert_meshes })
}

impl Found {
    /// Middle of the first mesh in its own coordinates.
    pub fn first_middle(&self) -> DVec3 {
        self.loaded.first().map_or(DVec3::ZERO, |l| l.centre)
    }

    /// The key under which these meshes are placed for `plan`.
    pub fn key(&self, plan: &Plan) -> PlacedKey {
        PlacedKey {
            parts: self.loaded.iter().zip(&plan.parts).map(|(l, p)| (l.id, p.pose)).collect(),
            inserts: self.insert_readings(),
        }
    }

    fn insert_readings(&self) -> Vec<(String, u64)> {
        self.insert_meshes.iter().map(|(name, l)| (name.clone(), l.id)).collect()
    }

    /// Sets the parts in their places.
    pub fn place(self, plan: &Plan) -> Placed {
        let set_from_part: Vec<DAffine3> = plan.parts.iter().map(|p| p.pose.set_from_part()).collect();
        // The first part's centre: a lone part that is not turned keeps its mesh as it was read.
        let origin_in_set = match (set_from_part.first(), self.loaded.first()) {
            (Some(first), Some(mesh)) => first.transform_point3(mesh.centre),
            _ => DVec3::ZERO,
        };
        let work_from_part: Vec<DAffine3> =
            set_from_part.iter().map(|s| DAffine3::from_translation(-origin_in_set) * *s).collect();
        let meshes: Vec<Arc<Mesh>> = self
            .loaded
            .iter()
            .zip(&work_from_part)
            .map(|(l, work_from_part)| {
                let work_from_mesh = *work_from_part * DAffine3::from_translation(l.centre);
                let untouched = work_from_mesh.abs_diff_eq(DAffine3::IDENTITY, 1e-9);
                if untouched { l.mesh.clone() } else { Arc::new(l.mesh.transformed(&work_from_mesh)) }
            })
            .collect();
        let insert_readings = self.insert_readings();
        let insert_meshes = self
            .insert_meshes
            .into_iter()
            .map(|(name, l)| (name, Arc::new(l.mesh.transformed(&DAffine3::from_translation(l.centre)))))
            .collect();
        let bounds = meshes.iter().map(|m| m.bounds()).collect();
        let trees = if meshes.len() > 1 { meshes.par_iter().map(|m| Tree::of(m)).collect() } else { Vec::new() };
        let id = fresh_id();
        Placed {
            id,
            loaded: self.loaded,
            insert_readings,
            insert_meshes,
            work_from_part,
            origin_in_set,
            meshes,
            bounds,
            trees: Arc::new(trees),
        }
    }
}

impl Placed {
    /// Triangles of all parts.
    pub fn triangles(&self) -> usize {
        self.meshes.iter().map(|m| m.triangles.len()).sum()
    }

    /// The box round each part with the axes of the box of `hang`, as lowest and highest corner about the origin of
    /// `work`.
    pub fn bounds_upright(&self, hang: &Hang) -> Vec<Bounds> {
        let turn = frames::turns(hang).0.as_quat();
        self.meshes
            .par_iter()
            .map(|m| {
                m.positions
                    .par_chunks(1 << 14)
                    .map(|c| Bounds::of(c.iter().map(|p| turn * *p)))
                    .reduce(|| Bounds::EMPTY, Bounds::union)
            })
            .collect()
    }
}
