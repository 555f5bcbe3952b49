//! Files as they are read: plain files alone, and never more of them than is wanted.

use std::fs::{File, Metadata};
use std::io::{Error, ErrorKind, Read, Result};
use std::path::Path;

/// Opens the plain file at `path`, which may be reached through links.
///
/// # Errors
/// What the system said; and at once where it is a folder, a named pipe or a device, which would be waited on for ever or
/// never end.
pub fn open(path: &Path) -> Result<File> {
    // Looked at first: to open a named pipe is to wait for somebody who writes to it.
    plain(&std::fs::metadata(path)?)?;
    let file = File::open(path)?;
    plain(&file.metadata()?)?;
    Ok(file)
}

/// The bytes of the plain file at `path`, where they are no more than `largest`.
///
/// # Errors
/// As [`open()`], and [`ErrorKind::FileTooLarge`].
pub fn read(path: &Path, largest: u64) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    open(path)?.take(largest.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > largest { Err(ErrorKind::FileTooLarge.into()) } else { Ok(bytes) }
}

/// The beginning of the plain file at `path`, up to `longest` bytes of it.
///
/// # Errors
/// As [`open()`].
pub fn beginning(path: &Path, longest: u64) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    open(path)?.take(longest).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Refuses what is no plain file, in words that stand inside a sentence.
pub(super) fn plain(what: &Metadata) -> Result<()> {
    if what.is_file() {
        return Ok(());
    }
    if what.is_dir() {
        return Err(Error::other("it is a folder"));
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if what.file_type().is_fifo() {
            return Err(Error::other("it is a named pipe, not a file"));
        }
    }
    Err(Error::other("it is a device, not a file"))
}
