//! The halves as files: what they are called and how they are written.

use crate::files::output::{Guard, Kind, MARK, Refused, write_whole};
use crate::mesh::io_words::said;
use crate::mesh::measure::Measures;
use crate::mesh::sound::{Unsound, sound};
use crate::mesh::{Mesh, write_stl};
use glam::DAffine3;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// File names of half 1 and half 2.
pub const NAMES: [&str; 2] = ["half-1.stl", "half-2.stl"];

/// What went wrong.
#[derive(Debug, thiserror::Error)]
pub enum HalfFileError {
    /// The folder cannot be made.
    #[error("The folder could not be made ({}). Choose another place: {}", said(cause), folder.display())]
    Folder {
        /// Where.
        folder: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
    /// A half is no closed mesh in single precision.
    #[error("{} could not be written: {cause}. Move what touches or nearly touches there a little: channels, pieces or the line", path.display())]
    Unsound {
        /// The file that it was to be.
        path: PathBuf,
        /// What is wrong with it.
        cause: Unsound,
    },
    /// A file is not to be written.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// A file cannot be written.
    #[error("The half could not be written ({}). Choose another place: {}", said(cause), path.display())]
    File {
        /// Where.
        path: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
}

/// A half that was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Where.
    pub path: PathBuf,
    /// Its triangles.
    pub triangles: usize,
    /// Its volume, mm³.
    pub volume_mm3: f64,
}

/// Whether both halves may be written to `folder`.
///
/// # Errors
/// What is there and is left as it is.
pub fn may_write(folder: &Path, guard: &Guard) -> Result<(), Refused> {
    NAMES.iter().try_for_each(|name| guard.allows(&folder.join(name), Kind::Mesh))
}

/// Writes both halves to `folder` as binary STL, as the block stands while rubber is poured: Z up, the origin in the middle
/// of its floor. Each is closed to whoever reads the file: see [`sound`].
///
/// # Errors
/// Where the folder or a file cannot be written, or a half is not closed; nothing more is tried then.
pub fn write(
    folder: &Path,
    halves: &[Arc<Mesh>; 2],
    box_from_work: &DAffine3,
    guard: &Guard,
) -> Result<[Written; 2], HalfFileError> {
    may_write(folder, guard)?;
    let closed = |name: &str, half: &Mesh| {
        sound(&half.transformed(box_from_work))
            .map_err(|cause| HalfFileError::Unsound { path: folder.join(name), cause })
    };
    let sound = [closed(NAMES[0], &halves[0])?, closed(NAMES[1], &halves[1])?];
    std::fs::create_dir_all(folder).map_err(|cause| HalfFileError::Folder { folder: folder.to_path_buf(), cause })?;
    let one = |name: &str, half: &Mesh| {
        let path = folder.join(name);
        write_stl::marked(half, MARK)
            .and_then(|bytes| write_whole(&path, &bytes))
            .map_err(|cause| HalfFileError::File { path: path.clone(), cause })?;
        Ok::<_, HalfFileError>(Written {
            path,
            triangles: half.triangles.len(),
            volume_mm3: Measures::of(half).volume_mm3,
        })
    };
    Ok([one(NAMES[0], &sound[0])?, one(NAMES[1], &sound[1])?])
}
