//! Unsaved work that is kept on disk, one file a job, until it is saved elsewhere or thrown away.
//!
//! Each job has a key, two files in the folder: `KEY.ron` is the plan, replaced whole at each change; `KEY.lock` is locked by
//! the window that works on it for as long as that window lives. The system lets go of such a lock at any death, also at one
//! without a word, so a job whose lock can be taken has no window. Whoever takes it up again takes over lock and file: there is
//! never a moment without a copy.

use crate::files::output::write_whole;
use crate::plan::stamp::Stamp;
use crate::plan::{Plan, file};
use std::fs::{File, TryLockError};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

/// Most jobs without a window that are kept; beyond that the oldest goes when another job is kept.
pub const MOST: usize = 40;
/// What the first lines of the file say before the path that the plan belongs to, and before what that file held.
const BELONGED: &str = "// belonged to: ";
const HELD: &str = "// which held: ";
/// A lock without work is left alone for this long: its window may be about to write.
const FRESH: Duration = Duration::from_secs(3600);

/// What is kept of a job.
#[derive(Clone, Debug)]
pub struct Work {
    /// The plan as it is.
    pub plan: Arc<Plan>,
    /// Where it belongs; none where it was never saved.
    pub path: Option<PathBuf>,
    /// What that file held when it was read or written last by this window.
    pub stamp: Stamp,
}

/// Kept work that no window works on.
#[derive(Clone, Debug)]
pub struct Recovered {
    /// What was kept.
    pub work: Work,
    /// When it was kept last.
    pub changed: SystemTime,
    key: String,
}

impl Recovered {
    /// True where the work belongs to the file at `path`, or was never saved and is about the mesh there.
    pub fn is_about(&self, path: &Path) -> bool {
        match &self.work.path {
            Some(own) => same_file(own, path),
            None => self.work.plan.parts.iter().any(|p| same_file(Path::new(&p.mesh), path)),
        }
    }

    /// The job's name.
    pub fn title(&self) -> &str {
        if self.work.plan.name.is_empty() { "Unnamed job" } else { &self.work.plan.name }
    }

    /// Where it belongs, in words.
    pub fn place(&self) -> String {
        self.work.path.as_ref().map_or_else(|| "never saved".to_owned(), |p| p.display().to_string())
    }
}

/// True where both names lead to one file.
pub fn same_file(a: &Path, b: &Path) -> bool {
    let whole = |p: &Path| std::fs::canonicalize(p).or_else(|_| std::path::absolute(p)).ok();
    a == b || (whole(a).is_some() && whole(a) == whole(b))
}

/// The right to write one job's file, held until this is dropped or the program dies.
#[derive(Debug)]
pub struct Claim {
    folder: PathBuf,
    key: String,
    /// Locked.
    _lock: File,
}

impl Claim {
    /// Claims a new job in `folder`, which is made where it is not there.
    ///
    /// # Errors
    /// What the system said.
    pub fn new(folder: &Path) -> std::io::Result<Claim> {
        std::fs::create_dir_all(folder)?;
        tidy(folder);
        let since = SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
        let mut number = since.as_nanos();
        loop {
            let key = format!("{number:x}");
            match File::create_new(lock_of(folder, &key)) {
                // Somebody who looks through the folder may have it for a moment; then it is left to him.
                Ok(lock) if matches!(lock.try_lock(), Err(TryLockError::WouldBlock)) => number += 1,
                Ok(_lock) if !plan_of(folder, &key).exists() => {
                    return Ok(Claim { folder: folder.to_path_buf(), key, _lock });
                }
                Ok(_) => number += 1,
                Err(e) if e.kind() == ErrorKind::AlreadyExists => number += 1,
                Err(e) => return Err(e),
            }
        }
    }

    /// Claims kept work; none where a window has it, or where it is not there any more.
    pub fn of(folder: &Path, key: &str) -> Option<Claim> {
        // Another window that starts looks at each file for a moment.
        for _ in 0..3 {
            match locked(folder, key) {
                Some(_lock) if plan_of(folder, key).is_file() => {
                    return Some(Claim { folder: folder.to_path_buf(), key: key.to_owned(), _lock });
                }
                _ => std::thread::sleep(Duration::from_millis(4)),
            }
        }
        None
    }

    /// Writes the work, whole or not at all.
    ///
    /// # Errors
    /// What the system said; what was kept before is then kept still.
    pub fn write(&self, work: &Work) -> std::io::Result<()> {
        // A name that is no text cannot be written down; such work is offered as never saved.
        let path = work.path.as_ref().and_then(|p| p.to_str()).and_then(|p| serde_json::to_string(p).ok());
        let mut text = path.map(|p| format!("{BELONGED}{p}\n")).unwrap_or_default();
        if let Some(digits) = work.stamp.to_hex() {
            text.push_str(&format!("{HELD}{digits}\n"));
        }
        text.push_str(&file::to_text(&work.plan));
        // Somebody may have tidied the user's folders while the window was open.
        std::fs::create_dir_all(&self.folder)?;
        write_whole(&plan_of(&self.folder, &self.key), text.as_bytes())
    }

    /// What is kept; none where it can't be read.
    pub fn read(&self) -> Option<Recovered> {
        read(&self.folder, &self.key)
    }

    /// Throws the work away.
    pub fn remove(self) {
        // The plan first: a lock without one is nothing.
        let _ = std::fs::remove_file(plan_of(&self.folder, &self.key));
        let _ = std::fs::remove_file(lock_of(&self.folder, &self.key));
    }
}

impl Recovered {
    /// Claims this work, as it is on disk now; none where another window was quicker.
    pub fn claim(&self, folder: &Path) -> Option<(Claim, Recovered)> {
        let claim = Claim::of(folder, &self.key)?;
        let now = claim.read()?;
        Some((claim, now))
    }

    /// True where both are kept under one key.
    pub fn is(&self, other: &Recovered) -> bool {
        self.key == other.key
    }
}

/// All work in `folder` that no window works on, newest first.
pub fn without_window(folder: &Path) -> Vec<Recovered> {
    let mut found: Vec<Recovered> = keys(folder)
        .iter()
        .filter_map(|key| {
            let lock = locked(folder, key)?;
            let one = read(folder, key);
            if one.is_none() && !plan_of(folder, key).exists() && !is_fresh(&lock) {
                let _ = std::fs::remove_file(lock_of(folder, key));
            }
            one
        })
        .collect();
    found.sort_by_key(|f| std::cmp::Reverse(f.changed));
    found
}

fn plan_of(folder: &Path, key: &str) -> PathBuf {
    folder.join(format!("{key}.ron"))
}

fn lock_of(folder: &Path, key: &str) -> PathBuf {
    folder.join(format!("{key}.lock"))
}

/// Keys of the folder, whether their files are whole or not.
fn keys(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let names = entries.flatten().map(|e| e.file_name().to_string_lossy().into_owned());
    let mut keys: Vec<String> = names
        .filter(|n| !n.starts_with('.'))
        .filter_map(|n| Some(n.strip_suffix(".ron").or_else(|| n.strip_suffix(".lock"))?.to_owned()))
        .collect();
    keys.sort();
    keys.dedup();
    keys
}

/// The lock of a key; none where a window has it. Where the disk knows no locks, nobody is taken to have it: work that is
/// offered twice is better than work that never is.
fn locked(folder: &Path, key: &str) -> Option<File> {
    let lock = File::options().create(true).truncate(false).write(true).open(lock_of(folder, key)).ok()?;
    match lock.try_lock() {
        Ok(()) | Err(TryLockError::Error(_)) => Some(lock),
        Err(TryLockError::WouldBlock) => None,
    }
}

fn is_fresh(lock: &File) -> bool {
    let age = lock.metadata().and_then(|m| m.modified()).ok().and_then(|t| t.elapsed().ok());
    age.is_none_or(|age| age < FRESH)
}

fn read(folder: &Path, key: &str) -> Option<Recovered> {
    let at = plan_of(folder, key);
    let changed = std::fs::metadata(&at).and_then(|m| m.modified()).ok()?;
    let plan = Arc::new(file::read(&at).ok()?);
    // The plan's own text begins in the third line at the latest, and plans are some kilobytes.
    let mut head = Vec::new();
    File::open(&at).ok()?.take(1 << 16).read_to_end(&mut head).ok()?;
    let head = String::from_utf8_lossy(&head);
    let told = |what: &str| head.lines().take(2).find_map(|l| l.strip_prefix(what));
    // A path was written as it is by older programs.
    let path = told(BELONGED).map(|p| serde_json::from_str::<String>(p).unwrap_or_else(|_| p.to_owned()));
    let stamp = told(HELD).map_or(Stamp::Unknown, Stamp::from_hex);
    Some(Recovered { work: Work { plan, path: path.map(PathBuf::from), stamp }, changed, key: key.to_owned() })
}

/// Keeps the folder within its bound, with room for one more: the oldest work beyond [`MOST`] goes, whether it can be read or
/// not, and what a write that was cut short left.
fn tidy(folder: &Path) {
    let mut claims: Vec<(SystemTime, Claim)> = keys(folder)
        .iter()
        .filter_map(|key| {
            let changed = std::fs::metadata(plan_of(folder, key)).and_then(|m| m.modified()).ok()?;
            Some((changed, Claim::of(folder, key)?))
        })
        .collect();
    claims.sort_by_key(|c| std::cmp::Reverse(c.0));
    claims.into_iter().skip(MOST - 1).for_each(|(_, claim)| claim.remove());
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let age = entry.metadata().and_then(|m| m.modified()).ok().and_then(|t| t.elapsed().ok());
        if name.starts_with('.') && name.ends_with(".part") && age.is_some_and(|a| a > FRESH) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}
