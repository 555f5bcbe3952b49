//! The plan's RON file: read with migration, written whole or not at all.
//!
//! Saving writes a sibling, syncs it and renames it over the old file, so that a crash or a full disk leaves the old
//! plan as it was. A failed read never touches the file.

use super::{Plan, faults};
use crate::files::output::write_whole;
use crate::files::place::{self, Step, Way};
use crate::files::{input, output};
use crate::mesh::io_words::said;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// What stands in the file's `format` field.
pub const FORMAT: &str = output::PLAN_FORMAT;
/// The version that this program writes.
pub const VERSION: u32 = 1;
/// Largest plan file that is read, bytes; plans are some kilobytes.
const LARGEST: u64 = 64 << 20;

/// Why a plan could not be read or saved.
#[derive(Debug, thiserror::Error)]
pub enum PlanFileError {
    /// The file cannot be opened or read.
    #[error("The plan could not be read ({}). Check that the file is there and may be read: {path}", said(source))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file is no plan.
    #[error("This is not a Mouldbench plan. Open a plan (.ron) or a mesh (.stl): {path}")]
    NotAPlan {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a newer program.
    #[error(
        "The plan has version {found}; this program reads up to version {known}. Open it with a newer program: {path}"
    )]
    Newer {
        /// Version in the file.
        found: u32,
        /// Version that this program knows.
        known: u32,
        /// The file.
        path: PathBuf,
    },
    /// The text is broken.
    #[error("The plan is broken at line {line}, column {column}: {fault}. Nothing was changed in {path}")]
    Broken {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong there.
        fault: String,
        /// The file.
        path: PathBuf,
    },
    /// The text is whole, but a value in it cannot be.
    #[error(
        "The plan holds a value that cannot be at line {line}, column {column}: {fault}. Nothing was changed in {path}"
    )]
    Value {
        /// Line of its field, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong.
        fault: String,
        /// The file.
        path: PathBuf,
    },
    /// Something else lies where the plan was to be saved.
    #[error("There is a file of that name that is no plan, and it is left as it is. Save under another name: {path}")]
    InTheWay {
        /// The file.
        path: PathBuf,
    },
    /// The file could not be written; the old one, if any, is as it was.
    #[error(
        "The plan could not be saved ({}). {}Save under another name or place: {path}",
        said(source),
        if path.exists() { "What stood there is as it was. " } else { "" }
    )]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

#[derive(Deserialize)]
#[serde(rename = "MouldbenchPlan")]
struct Header {
    format: String,
    version: u32,
}

#[derive(Serialize)]
#[serde(rename = "MouldbenchPlan")]
struct FileV1<'a> {
    format: &'a str,
    version: u32,
    plan: &'a Plan,
}

#[derive(Deserialize)]
#[serde(rename = "MouldbenchPlan", deny_unknown_fields)]
struct OwnedFileV1 {
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u32,
    plan: Plan,
}

/// The plan as text of its file.
pub fn to_text(plan: &Plan) -> String {
    let pretty = ron::ser::PrettyConfig::new().struct_names(true).depth_limit(12);
    let file = FileV1 { format: FORMAT, version: VERSION, plan };
    // Plain structs of numbers, strings and lists always serialise.
    let mut text = ron::ser::to_string_pretty(&file, pretty).unwrap_or_default();
    text.push('\n');
    text
}

/// Reads the plan out of the text of a file; `path` is only named in errors.
///
/// # Errors
/// [`PlanFileError::NotAPlan`], `Newer`, `Broken` with line and column, or `Value`.
pub fn from_text(text: &str, path: &Path) -> Result<Plan, PlanFileError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let path_buf = || path.to_path_buf();
    let broken = |e: ron::error::SpannedError| PlanFileError::Broken {
        line: e.span.start.line,
        column: e.span.start.col,
        fault: e.code.to_string(),
        path: path_buf(),
    };
    let header: Header = match ron::from_str(text) {
        Ok(header) => header,
        Err(_) if !text.contains(FORMAT) => return Err(PlanFileError::NotAPlan { path: path_buf() }),
        Err(e) => return Err(broken(e)),
    };
    if header.format != FORMAT {
        return Err(PlanFileError::NotAPlan { path: path_buf() });
    }
    if header.version > VERSION {
        return Err(PlanFileError::Newer { found: header.version, known: VERSION, path: path_buf() });
    }
    let file: OwnedFileV1 = ron::from_str(text).map_err(broken)?;
    match faults::first_fault(&file.plan) {
        Some(fault) => {
            let mut way = Way(vec![Step::Field("plan".to_owned())]);
            way.0.extend_from_slice(&fault.way.0);
            let (line, column) = place::find(text, &way);
            Err(PlanFileError::Value { line, column, fault: fault.to_string(), path: path_buf() })
        }
        None => Ok(file.plan),
    }
}

/// Reads a plan file.
///
/// # Errors
/// As [`from_text`], and [`PlanFileError::Read`] where the file cannot be read.
pub fn read(path: &Path) -> Result<Plan, PlanFileError> {
    let failed = |source| PlanFileError::Read { path: path.to_path_buf(), source };
    let bytes = match input::read(path, LARGEST) {
        Err(e) if e.kind() == std::io::ErrorKind::FileTooLarge => {
            return Err(PlanFileError::NotAPlan { path: path.to_path_buf() });
        }
        other => other.map_err(failed)?,
    };
    match String::from_utf8(bytes) {
        Ok(text) => from_text(&text, path),
        Err(_) => Err(PlanFileError::NotAPlan { path: path.to_path_buf() }),
    }
}

/// True where something stands at `path` that no plan should be written over: a file that is neither empty nor a plan.
fn in_the_way(path: &Path) -> bool {
    // The format is named in the first line or two; nothing is known of what cannot be read.
    let Ok(head) = input::beginning(path, 4096) else { return false };
    let holds_format = || head.windows(FORMAT.len()).any(|w| w == FORMAT.as_bytes());
    !head.is_empty() && !holds_format()
}

/// Saves a plan: a sibling is written, synced, and renamed over `path`.
///
/// # Errors
/// [`PlanFileError::InTheWay`] or [`PlanFileError::Write`]; whatever stood at `path` is then as it was.
pub fn save(plan: &Plan, path: &Path) -> Result<(), PlanFileError> {
    if in_the_way(path) {
        return Err(PlanFileError::InTheWay { path: path.to_path_buf() });
    }
    replace(plan, path)
}

/// Saves a plan over whatever stands at `path`, for those who asked before.
///
/// # Errors
/// [`PlanFileError::Write`]; whatever stood at `path` is then as it was.
pub fn replace(plan: &Plan, path: &Path) -> Result<(), PlanFileError> {
    write_whole(path, to_text(plan).as_bytes())
        .map_err(|source| PlanFileError::Write { path: path.to_path_buf(), source })
}
