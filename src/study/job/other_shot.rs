//! The other shot's part: read, and set in its place beside the plan's own.

use crate::mesh::measure::Measures;
use crate::mesh::tree::Tree;
use crate::mesh::{Mesh, boolean};
use crate::plan::Pose;
use crate::study::job::fresh_id::fresh_id;
use crate::study::job::mesh_store::LoadedMesh;
use glam::{DAffine3, DVec3};
use std::sync::Arc;

/// The other shot's part in `work`.
#[derive(Clone, Debug)]
pub struct Other {
    /// Unlike any other; see [`fresh_id`].
    pub id: u64,
    /// What was read.
    pub loaded: Arc<LoadedMesh>,
    /// The mesh in `work`, its bodies united.
    pub mesh: Arc<Mesh>,
    /// Its volume, mm³; of what is there where it is not closed.
    pub volume_mm3: f64,
    /// Its tree.
    pub tree: Arc<Tree>,
    /// Why it cannot be compared with another part, in words.
    pub trouble: Option<String>,
}

/// What it depends on: the reading, its pose, and the origin of `work`.
pub type OtherKey = (u64, Pose, DVec3);

impl Other {
    /// Sets what was read in its place.
    pub fn place(loaded: Arc<LoadedMesh>, pose: &Pose, origin_in_set: DVec3) -> Other {
        let work_from_part = DAffine3::from_translation(-origin_in_set) * pose.set_from_part();
        let placed = loaded.mesh.transformed(&(work_from_part * DAffine3::from_translation(loaded.centre)));
        let check = &loaded.check;
        let (mesh, trouble) = if !check.is_closed() {
            let words = format!("its mesh is not closed, {} edges are open", check.open_edges);
            (placed, Some(words))
        } else if check.crosses_itself() {
            (placed, Some("the surface of its mesh crosses itself".to_owned()))
        } else if check.bodies_apart() {
            (placed, None)
        } else {
            match boolean::unite_bodies(&placed) {
                Ok(one) => (one, None),
                Err(e) => (placed, Some(e.to_string())),
            }
        };
        let tree = Arc::new(Tree::of(&mesh));
        let volume_mm3 = Measures::of(&mesh).volume_mm3;
        Other { id: fresh_id(), loaded, mesh: Arc::new(mesh), volume_mm3, tree, trouble }
    }
}
