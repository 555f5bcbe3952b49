//! Reading STL files, binary and text, without trusting them.
//!
//! The triangle count of a binary file is believed only where the file's length agrees with it, and nothing is
//! allocated by it. A file that begins with `solid` is text only if its length does not say binary and its beginning
//! has no byte that text cannot have. Text may be upper case, may begin with a byte order mark or blank lines, may hold
//! several solids and may lack `endsolid`. Numbers that are not finite are refused, as is anything too far off to be a
//! part. Normals in the file are ignored: the order of the corners says which side is outside.
//!
//! A whole number of file units near the middle of the part is subtracted in double precision and kept, so that a part
//! far from the origin loses nothing more than its file already lost.

mod binary;
mod text;

use super::Mesh;
use crate::files::input;
use crate::mesh::io_words::said;
use glam::{DVec3, Vec3};
use sha2::{Digest, Sha256};
use std::io::Read;
use std::path::{Path, PathBuf};

/// Most triangles that are read.
pub const MOST_TRIANGLES: u64 = 50_000_000;
/// Longest text file that is read, bytes.
const LONGEST_TEXT: u64 = 4 << 30;
/// Farthest from the origin that a corner may lie, millimetres: ten kilometres.
pub const FARTHEST_MM: f64 = 1e7;
/// Length of the header of a binary file with its count.
const HEADER: usize = 84;

/// How the triangles stood in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Binary STL.
    Binary,
    /// Text STL.
    Text,
}

/// A mesh as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Welded triangles, millimetres, about `centre`.
    pub mesh: Mesh,
    /// What was subtracted, millimetres: the file's own coordinates are `mesh` plus `centre`.
    pub centre: DVec3,
    /// SHA-256 of the file's bytes in lower-case hexadecimal.
    pub digest: String,
    /// How the triangles stood in the file.
    pub format: Format,
    /// What was odd about the file and did no harm, as sentences for the user.
    pub notes: Vec<String>,
}

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
#[error("{}: {fault}", path.display())]
pub struct ReadError {
    /// The file.
    pub path: PathBuf,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What is wrong with a file.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// The file could not be opened or read.
    #[error("cannot be read ({}). Check that the file is there and that you may read it.", said(.0))]
    Io(#[from] std::io::Error),
    /// No byte in it.
    #[error("the file is empty. Export the mesh again.")]
    Empty,
    /// Neither binary nor text STL.
    #[error(
        "this is not an STL file: it is {length} bytes long, does not begin with `solid` or `facet`, and is too short \
         or of the wrong length for binary STL. Export the part as STL."
    )]
    NotStl {
        /// Length of the file, bytes.
        length: u64,
    },
    /// The file ends before the last triangle.
    #[error(
        "the file is cut short: its header promises {promised} triangles, it holds {held} whole ones. Copy or export \
         it again."
    )]
    Truncated {
        /// Triangles that the header promises.
        promised: u64,
        /// Whole triangles in the file.
        held: u64,
    },
    /// More triangles than the header says.
    #[error(
        "the header says {promised} triangles but the file holds {held}. Nobody can tell which is meant: export it \
         again."
    )]
    CountTooSmall {
        /// Triangles that the header promises.
        promised: u64,
        /// Whole triangles in the file.
        held: u64,
    },
    /// The file holds no triangle.
    #[error("there is no triangle in the file. Export the mesh again and check that the part is selected.")]
    NoTriangles,
    /// More triangles than are read.
    #[error("{triangles} triangles are too many: up to {MOST_TRIANGLES} are read. Export it coarser.")]
    TooLarge {
        /// Triangles in the file, or as many as its length allows.
        triangles: u64,
    },
    /// A coordinate is infinite or not a number.
    #[error("triangle {triangle} has a coordinate that is not a number. Repair the mesh where it was made.")]
    NotFinite {
        /// The triangle, counted from 1.
        triangle: u64,
    },
    /// A coordinate is absurdly large.
    #[error(
        "triangle {triangle} has a corner more than ten kilometres from the origin. Check the unit, or move the part \
         to the origin and export it again."
    )]
    TooFar {
        /// The triangle, counted from 1.
        triangle: u64,
    },
    /// Text that is not what STL has there.
    #[error("line {line}: expected {expected}, found `{found}`. Export the part again.")]
    Text {
        /// The line, counted from 1.
        line: u64,
        /// What STL has there.
        expected: &'static str,
        /// What stands there, shortened.
        found: String,
    },
    /// Text that ends inside a facet.
    #[error("the file is cut short: it ends inside a facet in line {line}. Copy or export it again.")]
    TextCutShort {
        /// The last line, counted from 1.
        line: u64,
    },
    /// Every triangle uses a vertex twice.
    #[error("all {triangles} triangles have two corners in one place. Check the unit and the export's tolerance.")]
    AllDegenerate {
        /// Triangles in the file.
        triangles: u64,
    },
    /// The unit is not a usable length.
    #[error("a unit of {0} mm is no length.")]
    BadUnit(f64),
}

/// Reads a file whose numbers are in units of `mm_per_unit` millimetres.
pub fn read(path: &Path, mm_per_unit: f64) -> Result<Reading, ReadError> {
    let whole = || -> Result<Reading, Fault> {
        let file = input::open(path)?;
        let length = file.metadata()?.len();
        read_from(file, length, mm_per_unit)
    };
    whole().map_err(|fault| ReadError { path: path.to_path_buf(), fault })
}

/// Reads the bytes of a file; `path_for_words` is the name that an error gives.
pub fn read_bytes(bytes: &[u8], path_for_words: &Path, mm_per_unit: f64) -> Result<Reading, ReadError> {
    read_from(bytes, bytes.len() as u64, mm_per_unit)
        .map_err(|fault| ReadError { path: path_for_words.to_path_buf(), fault })
}

/// The factor from file units to millimetres that a part of this size in file units most likely has.
///
/// No tool is made for a part of less than 2 mm, while 2 inches are a usual size, and what would be less than 10 mm in inches
/// is one in metres. Between 2 and some 10 units nobody can tell; such a file is taken as it stands, in millimetres, and the
/// size is shown.
pub fn likely_mm_per_unit(longest_edge_in_units: f64) -> f64 {
    match longest_edge_in_units {
        l if l > 0.0 && l * 25.4 < 10.0 => 1000.0,
        l if l > 0.0 && l < 2.0 => 25.4,
        _ => 1.0,
    }
}

impl Reading {
    /// The same with numbers taken in units of `factor` times what they were taken in.
    pub fn rescaled(mut self, factor: f64) -> Reading {
        for p in &mut self.mesh.positions {
            *p = (p.as_dvec3() * factor).as_vec3();
        }
        self.centre *= factor;
        self
    }
}

/// What a reader of one of the formats hands over: corners welded about `centre`, in millimetres.
struct Welded {
    mesh: Mesh,
    centre: DVec3,
    digest: [u8; 32],
    notes: Vec<String>,
}

fn read_from(mut source: impl Read + Send, length: u64, mm_per_unit: f64) -> Result<Reading, Fault> {
    if !(mm_per_unit.is_finite() && mm_per_unit > 1e-9 && mm_per_unit < 1e9) {
        return Err(Fault::BadUnit(mm_per_unit));
    }
    // The beginning decides. A file that says it has no length (a pipe) still gives bytes.
    let mut head = Vec::with_capacity(1024);
    source.by_ref().take(1024).read_to_end(&mut head)?;
    if head.is_empty() {
        return Err(Fault::Empty);
    }
    let (format, welded) = match binary::layout(&head, length)? {
        Some(layout) => (Format::Binary, binary::read(&head, source, &layout, mm_per_unit)?),
        None => {
            if length > LONGEST_TEXT {
                return Err(Fault::TooLarge { triangles: length / 250 });
            }
            // Never more than it said, should it grow meanwhile.
            let mut bytes = head;
            source.take(LONGEST_TEXT).read_to_end(&mut bytes)?;
            (Format::Text, text::read(&bytes, mm_per_unit)?)
        }
    };
    let Welded { mut mesh, centre, digest, mut notes } = welded;
    let triangles = mesh.triangles.len();
    mesh.triangles.retain(|&[a, b, c]| a != b && b != c && c != a);
    let dropped = triangles - mesh.triangles.len();
    if mesh.triangles.is_empty() {
        return Err(Fault::AllDegenerate { triangles: triangles as u64 });
    }
    if dropped > 0 {
        mesh = without_unused_vertices(mesh);
        notes.push(match dropped {
            1 => "One triangle with two corners in one place was left out.".to_string(),
            n => format!("{n} triangles with two corners in one place were left out."),
        });
    }
    Ok(Reading { mesh, centre, digest: hexadecimal(&digest), format, notes })
}

/// The mesh with only the vertices that its triangles use, in their old order.
fn without_unused_vertices(mesh: Mesh) -> Mesh {
    let mut number = vec![u32::MAX; mesh.positions.len()];
    for &v in mesh.triangles.iter().flatten() {
        number[v as usize] = 0;
    }
    let mut positions = Vec::with_capacity(mesh.positions.len());
    for (n, &p) in number.iter_mut().zip(&mesh.positions) {
        if *n == 0 {
            *n = positions.len() as u32;
            positions.push(p);
        }
    }
    Mesh { positions, triangles: mesh.triangles.into_iter().map(|t| t.map(|v| number[v as usize])).collect() }
}

fn hexadecimal(digest: &[u8]) -> String {
    digest.iter().map(|b| format!("{b:02x}")).collect()
}

/// The SHA-256 of some bytes in lower-case hexadecimal, as [`Reading::digest`] gives it.
pub fn digest_of(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// A whole number of units near the middle of the bounds.
fn whole_middle(min: DVec3, max: DVec3) -> DVec3 {
    ((min + max) * 0.5).round() + DVec3::ZERO
}

/// What to say of coordinates that were already coarse in the file: `farthest` in millimetres.
fn note_on_coarseness(farthest_mm: f64, size_mm: f64, notes: &mut Vec<String>) {
    let step = farthest_mm * f64::from(f32::EPSILON);
    if step > 0.002 && size_mm > 0.0 {
        notes.push(format!(
            "The part lies {:.0} mm from the file's origin, where binary STL rounds to {step:.3} mm. Export it near \
             the origin for a smoother surface.",
            farthest_mm
        ));
    }
}

/// Position about `centre`, both in file units, as millimetres.
#[inline]
fn about(p: DVec3, centre: DVec3, mm_per_unit: f64) -> Vec3 {
    ((p - centre) * mm_per_unit).as_vec3() + Vec3::ZERO
}
