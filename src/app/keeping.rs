//! What is kept in the user's data folder: unsaved work for the next start, recent files, and the chosen theme.
//!
//! Writing happens on a thread of its own. Nothing here is precious but the recovery file, and that is a copy.

use crate::plan::{Plan, file};
use std::path::{Path, PathBuf};
use std::sync::mpsc;

/// Most recent files that are remembered.
const MOST_RECENT: usize = 8;
/// What the first line of a recovery file says before the path that the plan belonged to.
const BELONGED: &str = "// belonged to: ";

/// The data folder of this user, by the XDG base directory rules where they hold; none where no home is known.
pub fn data_folder() -> Option<PathBuf> {
    let from = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    from("XDG_DATA_HOME")
        .filter(|p| p.is_absolute())
        .or_else(|| from("APPDATA"))
        .or_else(|| from("HOME").map(|h| h.join(".local/share")))
        .map(|p| p.join("mouldbench"))
}

/// Unsaved work found at the start.
#[derive(Clone, Debug)]
pub struct Recovered {
    /// The plan.
    pub plan: Plan,
    /// Where it belonged.
    pub path: Option<PathBuf>,
    /// The recovery file.
    pub file: PathBuf,
}

enum Order {
    Write(PathBuf, String),
    Remove(PathBuf),
    /// Answered once everything before it is done.
    Flush(mpsc::Sender<()>),
}

/// The user's folder and the thread that writes to it.
#[derive(Debug)]
pub struct Keeping {
    folder: Option<PathBuf>,
    orders: mpsc::Sender<Order>,
    /// Files last opened or saved, newest first.
    pub recent: Vec<PathBuf>,
}

impl Keeping {
    /// The user's folder; none where nothing is kept.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// Opens the folder; with none, nothing is kept.
    pub fn new(folder: Option<PathBuf>) -> Keeping {
        let (orders, inbox) = mpsc::channel();
        let writer = std::thread::Builder::new().name("keeping".into()).spawn(move || {
            for order in inbox {
                // What cannot be kept is no reason to disturb the work: the plan itself is still in the window.
                match order {
                    Order::Write(path, text) => {
                        let _ = path.parent().map(std::fs::create_dir_all);
                        let _ = crate::files::output::write_whole(&path, text.as_bytes());
                    }
                    Order::Remove(path) => {
                        let _ = std::fs::remove_file(path);
                    }
                    Order::Flush(done) => {
                        let _ = done.send(());
                    }
                }
            }
        });
        let folder = folder.filter(|_| writer.is_ok());
        let recent = folder
            .as_ref()
            .and_then(|f| std::fs::read_to_string(f.join("recent.txt")).ok())
            .map(|text| text.lines().take(MOST_RECENT).map(PathBuf::from).collect())
            .unwrap_or_default();
        Keeping { folder, orders, recent }
    }

    fn order(&self, order: Order) {
        // The thread only ends with this struct.
        let _ = self.orders.send(order);
    }

    /// Waits until everything ordered so far is on disk.
    pub fn flush(&self) {
        let (done, wait) = mpsc::channel();
        self.order(Order::Flush(done));
        let _ = wait.recv();
    }

    /// Remembers a file as the last one used.
    pub fn remember(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        self.recent.retain(|p| *p != path);
        self.recent.insert(0, path);
        self.recent.truncate(MOST_RECENT);
        if let Some(folder) = &self.folder {
            let lines: Vec<String> = self.recent.iter().map(|p| p.to_string_lossy().into_owned()).collect();
            self.order(Order::Write(folder.join("recent.txt"), lines.join("\n")));
        }
    }

    fn own_recovery(&self) -> Option<PathBuf> {
        self.folder.as_ref().map(|f| f.join(format!("unsaved-{}.ron", std::process::id())))
    }

    /// Keeps unsaved work.
    pub fn keep_unsaved(&self, plan: &Plan, path: Option<&Path>) {
        if let Some(own) = self.own_recovery() {
            let belonged = path.map(|p| format!("{BELONGED}{}\n", p.display())).unwrap_or_default();
            self.order(Order::Write(own, belonged + &file::to_text(plan)));
        }
    }

    /// Drops the kept unsaved work: it was saved, or given up.
    pub fn drop_unsaved(&self) {
        if let Some(own) = self.own_recovery() {
            self.order(Order::Remove(own));
        }
    }

    /// Removes a recovery file that was taken over or given up.
    pub fn remove(&self, file: &Path) {
        self.order(Order::Remove(file.to_path_buf()));
    }

    /// Unsaved work of earlier runs that are no longer there, newest first.
    pub fn unsaved_of_earlier_runs(&self) -> Vec<Recovered> {
        let Some(entries) = self.folder.as_ref().and_then(|f| std::fs::read_dir(f).ok()) else { return Vec::new() };
        let mut found: Vec<(std::time::SystemTime, Recovered)> = entries
            .flatten()
            .filter_map(|entry| {
                let name = entry.file_name().to_string_lossy().into_owned();
                let id: u32 = name.strip_prefix("unsaved-")?.strip_suffix(".ron")?.parse().ok()?;
                let runs = id == std::process::id() || Path::new("/proc").join(id.to_string()).exists();
                if runs {
                    return None;
                }
                let text = std::fs::read_to_string(entry.path()).ok()?;
                let first = text.lines().next().unwrap_or_default();
                let path = first.strip_prefix(BELONGED).map(PathBuf::from);
                let plan = file::from_text(&text, &entry.path()).ok()?;
                let changed = entry.metadata().and_then(|m| m.modified()).unwrap_or(std::time::UNIX_EPOCH);
                Some((changed, Recovered { plan, path, file: entry.path() }))
            })
            .collect();
        found.sort_by_key(|f| std::cmp::Reverse(f.0));
        found.into_iter().map(|f| f.1).collect()
    }

    /// Remembers whether the dark theme was chosen.
    pub fn remember_dark(&self, dark: bool) {
        if let Some(folder) = &self.folder {
            self.order(Order::Write(folder.join("theme.txt"), if dark { "dark" } else { "light" }.into()));
        }
    }

    /// True where the dark theme was chosen last.
    pub fn was_dark(&self) -> bool {
        let chosen = self.folder.as_ref().and_then(|f| std::fs::read_to_string(f.join("theme.txt")).ok());
        chosen.is_some_and(|t| t.trim() == "dark")
    }
}
