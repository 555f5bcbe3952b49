//! Meshes as a plan names them, read beside it and in the unit that is meant.

use super::Bench;
use crate::mesh::read_stl::ReadError;
use crate::plan::{Part, Plan, Unit};
use crate::study::job::mesh_store::LoadedMesh;
use std::path::Path;
use std::sync::Arc;

impl Bench {
    /// Reads one mesh, as [`Bench::setting`] would for a part of that name.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn load(&self, name: &str, unit: Unit) -> Result<Arc<LoadedMesh>, ReadError> {
        self.load_known(name, "", unit)
    }

    /// Reads one mesh that a plan was made with, as its digest says.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn load_known(&self, name: &str, digest: &str, unit: Unit) -> Result<Arc<LoadedMesh>, ReadError> {
        self.store.load(self.folder().as_deref(), name, digest, unit)
    }

    /// Reads the mesh of a part: those bodies of its file that it is made of.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn load_part(&self, part: &Part) -> Result<Arc<LoadedMesh>, ReadError> {
        Ok(self.load_known(&part.mesh, &part.digest, part.unit)?.of_bodies(part.bodies))
    }

    /// Reads one mesh in the unit that its size suggests; the window and the sheet show which, so that it can be put
    /// right.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn load_guessed(&self, name: &str) -> Result<Arc<LoadedMesh>, ReadError> {
        let as_mm = self.load(name, Unit::Millimetre)?;
        match as_mm.likely_unit() {
            Unit::Millimetre => Ok(as_mm),
            other => self.load(name, other),
        }
    }

    /// Reads one more mesh for the set of `plan`, which does not hold it yet, and says in which unit: that of the same mesh in
    /// the plan, else that of the plan's first part, unless no part is of such a size.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn load_beside(&self, name: &str, plan: &Plan) -> Result<(Arc<LoadedMesh>, String), ReadError> {
        let file = Path::new(name).file_name().map_or(name.into(), |n| n.to_string_lossy());
        let same = plan.parts.iter().find(|p| p.mesh == name);
        let Some(beside) = same.or(plan.parts.first()) else {
            let loaded = self.load_guessed(name)?;
            let said = format!("{file} is read in {}", loaded.unit.name());
            return Ok((loaded, said));
        };
        let loaded = self.load(name, beside.unit)?;
        let (unit, other) = (beside.unit.name(), loaded.likely_unit());
        // What a person said of the same mesh holds, whatever its size.
        if same.is_none() && !loaded.is_of_a_size() && other != beside.unit {
            let otherwise = self.load(name, other)?;
            if otherwise.is_of_a_size() {
                let said = format!(
                    "In {unit}, as {} is read, {file} would be {:.1} mm long, so it is read in {}",
                    beside.name,
                    loaded.longest_mm(),
                    other.name()
                );
                return Ok((otherwise, said));
            }
        }
        Ok((loaded, format!("{file} is read in {unit}, as {} is", beside.name)))
    }
}
