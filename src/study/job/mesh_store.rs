//! Meshes by name: read once, shared, and read again when the file has changed.

use super::fresh_id::fresh_id;
use super::part_figures::{PartReport, bounds_array};
use crate::mesh::Mesh;
use crate::mesh::check::MeshCheck;
use crate::mesh::read_stl::{self, ReadError, Reading};
use crate::mesh::repair::repaired;
use crate::plan::Unit;
use glam::{DVec3, Vec3};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::SystemTime;

/// A part longer than this fits hardly any chamber, millimetres.
pub const LARGEST_MM: f64 = 1500.0;

/// A mesh as it was read.
#[derive(Clone, Debug)]
pub struct LoadedMesh {
    /// That of no other mesh; readings of the same bytes in the same unit share it. See [`fresh_id`].
    pub id: u64,
    /// The mesh in millimetres about `centre`, safely repaired (see `repairs`).
    pub mesh: Arc<Mesh>,
    /// What was subtracted from every position, millimetres.
    pub centre: DVec3,
    /// SHA-256 of the file.
    pub digest: String,
    /// Unit that the file was read in.
    pub unit: Unit,
    /// What it is and what is wrong with it, after repair.
    pub check: MeshCheck,
    /// What was put right on reading, in words.
    pub repairs: Vec<String>,
    /// Bodies that hang together, by their numbers in `check`.
    pub(super) groups: Vec<Vec<u32>>,
    /// How many such groups the file holds that it was read from.
    pub in_file: usize,
    /// The groups as meshes of their own, once they were asked for.
    pub(super) parted: OnceLock<Vec<Arc<LoadedMesh>>>,
}

impl LoadedMesh {
    /// What the mesh is, in figures.
    pub fn report(&self) -> PartReport {
        PartReport {
            triangles: self.check.triangles,
            vertices: self.check.vertices,
            bodies: self.check.bodies.len(),
            pieces: self.loose(),
            watertight: self.check.watertight,
            open_edges: self.check.open_edges,
            volume_mm3: self.check.measures.volume_mm3,
            area_mm2: self.check.measures.area_mm2,
            bounds_mm: bounds_array(&self.mesh.bounds(), self.centre),
        }
    }

    /// What is wrong with the mesh, in words, each with a place of it about `centre`.
    pub fn problems(&self) -> Vec<(String, Option<Vec3>)> {
        self.check.problems.iter().map(|p| (p.message(), p.places.first().copied())).collect()
    }

    /// The longest side of the box round it, millimetres.
    pub fn longest_mm(&self) -> f64 {
        self.mesh.bounds().size().max_element() as f64
    }

    /// The unit that a mesh of this size was most likely drawn in.
    pub fn likely_unit(&self) -> Unit {
        let mm = read_stl::likely_mm_per_unit(self.longest_mm() / self.unit.mm());
        Unit::ALL.into_iter().find(|u| u.mm() == mm).unwrap_or_default()
    }

    /// False where no tool is made for a part of this size, so that it must have been drawn in another unit than the one it
    /// was read in.
    pub fn is_of_a_size(&self) -> bool {
        let small = self.unit == Unit::Millimetre && self.likely_unit() != Unit::Millimetre;
        !small && self.longest_mm() <= LARGEST_MM
    }
}

/// Where mesh files come from: a folder that relative names start at, and files carried in the program.
#[derive(Debug, Default)]
pub struct MeshStore {
    bundled: HashMap<String, &'static [u8]>,
    read: Mutex<HashMap<Source, Arc<LoadedMesh>>>,
}

impl Clone for MeshStore {
    fn clone(&self) -> MeshStore {
        MeshStore { bundled: self.bundled.clone(), read: Mutex::new(self.read().clone()) }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Hash)]
struct Source {
    path: PathBuf,
    unit: Unit,
    changed: Option<SystemTime>,
    length: u64,
    /// True for what is carried in the program.
    carried: bool,
}

impl MeshStore {
    /// A store that also knows `bundled` files by name; one stands in where no file of that name is on disk and the plan
    /// was made with that very mesh, as its digest says.
    pub fn new(bundled: impl IntoIterator<Item = (String, &'static [u8])>) -> MeshStore {
        MeshStore { bundled: bundled.into_iter().collect(), read: Mutex::default() }
    }

    /// The mesh called `name` in a plan whose file lies in `folder`; `digest` is that of the mesh which the plan was made
    /// with, empty where nobody knows. What is on disk is read whatever its digest, which the findings compare.
    ///
    /// # Errors
    /// What is wrong with the file, in words.
    pub fn load(
        &self,
        folder: Option<&Path>,
        name: &str,
        digest: &str,
        unit: Unit,
    ) -> Result<Arc<LoadedMesh>, ReadError> {
        let path = folder.map_or_else(|| PathBuf::from(name), |f| f.join(name));
        let on_disk = std::fs::metadata(&path).ok();
        let bundled = self.carried(name, digest).filter(|_| on_disk.is_none());
        let source = Source {
            path: path.clone(),
            unit,
            changed: on_disk.as_ref().and_then(|m| m.modified().ok()),
            length: on_disk.as_ref().map_or(0, |m| m.len()),
            carried: bundled.is_some(),
        };
        if let Some(mesh) = self.read().get(&source) {
            return Ok(mesh.clone());
        }
        let reading = match bundled {
            Some(bytes) => read_stl::read_bytes(bytes, &path, unit.mm())?,
            None => read_stl::read(&path, unit.mm())?,
        };
        // The same bytes under another name are the same mesh, with all that is known of it.
        let same = |l: &&Arc<LoadedMesh>| l.digest == reading.digest && l.unit == unit;
        let known = self.read().values().find(same).cloned();
        let loaded = known.unwrap_or_else(|| Arc::new(looked_over(reading, unit)));
        let mut read = self.read();
        read.retain(|s, _| !(s.path == source.path && s.unit == source.unit));
        read.insert(source, loaded.clone());
        Ok(loaded)
    }
}

impl MeshStore {
    fn read(&self) -> MutexGuard<'_, HashMap<Source, Arc<LoadedMesh>>> {
        self.read.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What the program carries under that name, where it is the mesh of that digest.
    fn carried(&self, name: &str, digest: &str) -> Option<&'static [u8]> {
        if digest.is_empty() {
            return None;
        }
        let bytes = self.bundled.get(Path::new(name).file_name()?.to_str()?)?;
        (read_stl::digest_of(bytes) == digest).then_some(*bytes)
    }
}

/// Checks and safely repairs what was read.
fn looked_over(reading: Reading, unit: Unit) -> LoadedMesh {
    let (mesh, repairs) = repaired(reading.mesh);
    let check = MeshCheck::of(&mesh);
    let groups = check.pieces();
    let mut said = reading.notes;
    said.extend(repairs);
    LoadedMesh {
        in_file: groups.len(),
        groups,
        parted: OnceLock::new(),
        id: fresh_id(),
        mesh: Arc::new(mesh),
        centre: reading.centre,
        digest: reading.digest,
        unit,
        check,
        repairs: said,
    }
}
