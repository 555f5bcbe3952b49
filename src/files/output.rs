//! Files as they are written: whole or not at all, and over nothing that was not meant.
//!
//! The rule, one for commands and window: what is there already is replaced only where this program wrote it and it is of
//! the kind that is being written; a plan is never replaced by a proposed one; and what is being read is never written over.
//! Only somebody who says so by name ([`Replace::Anything`]) has other files replaced, and even then not what is being read.

use super::input;
use std::fs::File;
use std::io::{Error, Result, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// Most links that are followed to a file.
const MOST_LINKS: usize = 40;
/// How much of a template tells who wrote it, bytes.
const TELLS: usize = 4096;
/// A larger file is none that this program wrote, bytes.
const LARGEST_OWN: u64 = 4 << 30;
/// What stands in the `format` field of a plan.
pub const PLAN_FORMAT: &str = "mouldbench-plan";
/// What stands in every file that this program writes, and at the beginning of every half and loose piece.
pub const MARK: &str = "Mouldbench";

/// What is being written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A plan that was proposed. It takes the place of nothing.
    NewPlan,
    /// A sheet or a template as PDF.
    Pdf,
    /// A half or a loose piece as STL.
    Mesh,
    /// A template as SVG.
    Svg,
    /// A template as DXF.
    Dxf,
}

impl Kind {
    /// The kind of a template by its file's name.
    pub fn of_template(name: &str) -> Kind {
        match Path::new(name).extension().and_then(|e| e.to_str()) {
            Some("svg") => Kind::Svg,
            Some("dxf") => Kind::Dxf,
            _ => Kind::Pdf,
        }
    }

    /// True where a file that holds these bytes is one that this program wrote, of this kind.
    fn is_own(self, bytes: &[u8]) -> bool {
        let holds = |what: &str| bytes.windows(what.len()).any(|w| w == what.as_bytes());
        let head = &bytes[..bytes.len().min(TELLS)];
        let begins_with = |what: &str| head.windows(what.len()).any(|w| w == what.as_bytes());
        match self {
            Kind::NewPlan => false,
            Kind::Pdf => bytes.starts_with(b"%PDF-") && holds(MARK),
            Kind::Mesh => bytes.starts_with(MARK.as_bytes()),
            Kind::Svg => begins_with("<svg") && begins_with(MARK),
            Kind::Dxf => bytes.starts_with(b"999") && begins_with(MARK),
        }
    }

    /// What it is called in the words of a refusal.
    fn words(self) -> &'static str {
        match self {
            Kind::NewPlan => "plan",
            Kind::Pdf => "sheet or template",
            Kind::Mesh => "half or loose piece",
            Kind::Svg => "SVG template",
            Kind::Dxf => "DXF template",
        }
    }
}

/// What may be replaced.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Replace {
    /// What this program wrote before, of the same kind.
    #[default]
    Own,
    /// Any plain file but those that are being read: somebody said so.
    Anything,
}

/// Why something is not written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It is being read.
    #[error("That file is being read, so it is not written over. Choose another place: {}", .0.display())]
    Read(PathBuf),
    /// Something else is there.
    #[error("{} and is left as it is. Choose another place: {}", .1, .0.display())]
    There(PathBuf, String),
    /// It is no plain file, and nobody can have that replaced.
    #[error("What is there is no file that can be written ({}). Choose another place: {}", .1, .0.display())]
    NoFile(PathBuf, String),
}

impl Refused {
    /// True where [`Replace::Anything`] would have it written.
    pub fn may_be_said(&self) -> bool {
        matches!(self, Refused::There(..))
    }
}

/// What is asked before anything is written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Guard {
    /// Files that are being read.
    pub inputs: Vec<PathBuf>,
    /// What may be replaced.
    pub replace: Replace,
}

impl Guard {
    /// Whether a file of that kind may be written to `path`.
    ///
    /// # Errors
    /// Why not.
    pub fn allows(&self, path: &Path, kind: Kind) -> std::result::Result<(), Refused> {
        let Ok(there) = std::fs::metadata(path) else { return Ok(()) };
        if self.inputs.iter().any(|input| is_same(input, path)) {
            return Err(Refused::Read(path.to_path_buf()));
        }
        if let Err(e) = input::plain(&there) {
            return Err(Refused::NoFile(path.to_path_buf(), e.to_string()));
        }
        if self.replace == Replace::Anything || (there.len() == 0 && kind != Kind::NewPlan) {
            return Ok(());
        }
        // What cannot be read is not known to be ours.
        if input::read(path, LARGEST_OWN).is_ok_and(|bytes| kind.is_own(&bytes)) {
            return Ok(());
        }
        let what = match kind {
            Kind::NewPlan => "There is a file of that name already,".to_owned(),
            other => format!("There is a file of that name that is no {} of Mouldbench,", other.words()),
        };
        Err(Refused::There(path.to_path_buf(), what))
    }
}

/// True where both names lead to one file.
fn is_same(a: &Path, b: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        if let (Ok(a), Ok(b)) = (std::fs::metadata(a), std::fs::metadata(b)) {
            return (a.dev(), a.ino()) == (b.dev(), b.ino());
        }
    }
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

/// Writes `bytes` to `path` whole or not at all: into a sibling, synced, then renamed. A link stays a link: the file that it
/// leads to is replaced. What the file was allowed before, it is allowed after.
///
/// # Errors
/// What the system said; whatever stood at `path` is then as it was.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let path = led_to(path)?;
    let there = std::fs::metadata(&path).ok();
    if let Some(there) = &there {
        input::plain(there)?;
    }
    // Short, so that any name that a file can have there can be written.
    let number = NEXT.fetch_add(1, Ordering::Relaxed);
    let sibling = path.with_file_name(format!(".{}-{number}.part", std::process::id()));
    let written = (|| {
        let mut file = File::create(&sibling)?;
        file.write_all(bytes)?;
        if let Some(there) = there {
            file.set_permissions(there.permissions())?;
        }
        file.sync_all()?;
        std::fs::rename(&sibling, &path)
    })();
    if written.is_err() {
        // The sibling is of no use any more; a failure to remove it changes nothing for the user.
        let _ = std::fs::remove_file(&sibling);
    }
    written
}

/// The file that `path` leads to through links, whether it is there or not.
fn led_to(path: &Path) -> Result<PathBuf> {
    let mut path = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&path) {
            // A relative link starts at the folder that it lies in.
            Ok(to) => path = path.parent().map_or_else(|| to.clone(), |folder| folder.join(&to)),
            // It is no link, or nothing at all.
            Err(_) => return Ok(path),
        }
    }
    Err(Error::other("it is a link that leads round in a ring"))
}
