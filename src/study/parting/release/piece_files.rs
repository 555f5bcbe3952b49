//! Loose pieces as files: what they are called and how they are written.

use super::pieces::Piece;
use crate::files::output::{Guard, Kind, MARK, Refused, write_whole};
use crate::mesh::io_words::said;
use crate::mesh::measure::Measures;
use crate::mesh::sound::sound;
use crate::mesh::{Mesh, write_stl};
use crate::study::parting::cut::loose::Fitted;
use glam::DAffine3;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Letters of a file's name at most: well under what any file system takes, in any script.
const MOST: usize = 60;
/// Names that some systems keep for devices, whatever their ending.
const KEPT: [&str; 4] = ["con", "prn", "aux", "nul"];

/// What went wrong.
#[derive(Debug, thiserror::Error)]
pub enum PieceFileError {
    /// The folder cannot be made.
    #[error("The folder could not be made ({}). Choose another place: {}", said(cause), folder.display())]
    Folder {
        /// Where.
        folder: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
    /// A file is not to be written.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// A file cannot be written.
    #[error("The loose piece could not be written ({}). Choose another place: {}", said(cause), path.display())]
    File {
        /// Where.
        path: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
    /// A piece has no solid.
    #[error("{name} cannot be made: {why}. Change where it sits or how wide it is")]
    NoSolid {
        /// What it is called.
        name: String,
        /// Why there is none.
        why: String,
    },
}

/// The file of each loose piece, by the names on the card: letters, digits, `-` and `_` stay, all else is a `-`; what comes
/// twice, also but for small and capital letters, gets a number.
pub fn file_names<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut given: Vec<String> = Vec::new();
    for (i, name) in names.enumerate() {
        let safe: String = name.chars().map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' }).collect();
        let words: Vec<&str> = safe.split('-').filter(|w| !w.is_empty()).collect();
        let mut stem: String = words.join("-").chars().take(MOST).collect();
        if stem.is_empty() {
            stem = format!("loose-piece-{}", i + 1);
        }
        let low = stem.to_lowercase();
        let port = (low.starts_with("com") || low.starts_with("lpt")) && low.chars().count() == 4;
        if KEPT.contains(&low.as_str()) || port {
            stem = format!("piece-{stem}");
        }
        let taken = |stem: &str| given.iter().any(|g| g.to_lowercase() == format!("{stem}.stl").to_lowercase());
        let numbered = (1..).map(|n| if n == 1 { stem.clone() } else { format!("{stem}-{n}") });
        let free = numbered.into_iter().find(|s| !taken(s)).unwrap_or(stem);
        given.push(format!("{free}.stl"));
    }
    given
}

/// A piece that was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Where.
    pub path: PathBuf,
    /// Its triangles.
    pub triangles: usize,
    /// Its volume, mm³.
    pub volume_mm3: f64,
}

/// Whether loose pieces of these names may be written to `folder`.
///
/// # Errors
/// What is there and is left as it is.
pub fn may_write<'a>(folder: &Path, names: impl Iterator<Item = &'a str>, guard: &Guard) -> Result<(), Refused> {
    file_names(names).iter().try_for_each(|name| guard.allows(&folder.join(name), Kind::Mesh))
}

/// Writes every loose piece that has a solid to `folder` as binary STL, as the block stands while rubber is poured: Z up, the
/// origin in the middle of its floor. Each is closed to whoever reads the file: see [`sound`]. `fitted` are the pieces as they
/// fit into the block. Pieces that cannot be made are told after the others are written.
///
/// # Errors
/// The first thing that went wrong with each piece; where the folder or a file cannot be written, nothing more is tried.
pub fn write(
    folder: &Path,
    pieces: &[Piece],
    fitted: &[Fitted],
    box_from_work: &DAffine3,
    guard: &Guard,
) -> Result<(Vec<Written>, Vec<PieceFileError>), PieceFileError> {
    may_write(folder, pieces.iter().map(|p| p.name.as_str()), guard)?;
    std::fs::create_dir_all(folder).map_err(|cause| PieceFileError::Folder { folder: folder.to_path_buf(), cause })?;
    let mut written = Vec::new();
    let mut failed = Vec::new();
    let names = file_names(pieces.iter().map(|p| p.name.as_str()));
    for (i, ((piece, fitted), file)) in pieces.iter().zip(fitted).zip(names).enumerate() {
        let in_box = |solid: &Arc<Mesh>| sound(&solid.transformed(box_from_work)).map_err(|e| e.to_string());
        match fitted.as_ref().map_err(Clone::clone).and_then(in_box) {
            Ok(solid) => {
                let path = folder.join(file);
                write_stl::marked(&solid, MARK)
                    .and_then(|bytes| write_whole(&path, &bytes))
                    .map_err(|cause| PieceFileError::File { path: path.clone(), cause })?;
                let volume_mm3 = Measures::of(&solid).volume_mm3;
                written.push(Written { path, triangles: solid.triangles.len(), volume_mm3 });
            }
            Err(why) => failed.push(PieceFileError::NoSolid { name: named(piece, i), why }),
        }
    }
    Ok((written, failed))
}

/// What the piece with this place in the plan is called.
fn named(piece: &Piece, i: usize) -> String {
    let name = Some(piece.name.clone()).filter(|n| !n.trim().is_empty());
    name.unwrap_or_else(|| format!("Loose piece {}", i + 1))
}
