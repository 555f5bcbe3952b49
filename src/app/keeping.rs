//! What is kept in the user's data folder: unsaved work, recent files, and the chosen theme.
//!
//! Writing happens on a thread of its own, which also holds the claim on this window's unsaved work (see
//! [`kept_work`]). What became of keeping unsaved work is told; recent files and theme are not precious.

use super::kept_work::{self, Claim, Recovered, Work};
use super::mailbox::Mailbox;
use super::waker::Waker;
use crate::files::output::write_whole;
use crate::mesh::io_words::said;
use std::path::{Path, PathBuf};
use std::sync::mpsc;

/// Most recent files that are remembered.
const MOST_RECENT: usize = 8;
/// The folder of unsaved work in the data folder.
const UNSAVED: &str = "unsaved";

/// The data folder of this user, by the XDG base directory rules where they hold; none where no home is known.
pub fn data_folder() -> Option<PathBuf> {
    let from = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    from("XDG_DATA_HOME")
        .filter(|p| p.is_absolute())
        .or_else(|| from("APPDATA"))
        .or_else(|| from("HOME").map(|h| h.join(".local/share")))
        .map(|p| p.join("mouldbench"))
}

/// What became of keeping unsaved work: nothing, or why it was not kept, in words.
pub type Kept = Result<(), String>;

enum Order {
    Write(PathBuf, String),
    /// Keep this work in place of what was kept of this job before.
    Keep(Box<Work>),
    /// This job's work was saved, or given up expressly.
    Drop,
    /// From now on this claim is that of this window's job.
    Own(Claim),
    /// Work without a window that was thrown away.
    ThrowAway(Claim),
    /// Answered once everything before it is done.
    Flush(mpsc::Sender<()>),
}

/// The user's folder and the thread that writes to it.
#[derive(Debug)]
pub struct Keeping {
    folder: Option<PathBuf>,
    orders: Option<mpsc::Sender<Order>>,
    writer: Option<std::thread::JoinHandle<()>>,
    kept: Mailbox<Kept>,
    /// Files last opened or saved, newest first.
    pub recent: Vec<PathBuf>,
}

impl Keeping {
    /// The user's folder; none where nothing is kept.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// Opens the folder; with none, nothing is kept. `waker` wakes the window once something was kept, or was not.
    pub fn new(folder: Option<PathBuf>, waker: Waker) -> Keeping {
        let (orders, inbox) = mpsc::channel();
        let kept = Mailbox::default();
        let (told, unsaved) = (kept.clone(), folder.as_ref().map(|f| f.join(UNSAVED)).unwrap_or_default());
        let work = move || carry_out(&inbox, &unsaved, &told, &waker);
        let writer = std::thread::Builder::new().name("keeping".into()).spawn(work).ok();
        let folder = folder.filter(|_| writer.is_some());
        let recent = folder
            .as_ref()
            .and_then(|f| std::fs::read_to_string(f.join("recent.txt")).ok())
            .map(|text| text.lines().take(MOST_RECENT).map(PathBuf::from).collect())
            .unwrap_or_default();
        if let Some(folder) = &folder {
            take_over_older(folder);
        }
        Keeping { folder, orders: Some(orders), writer, kept, recent }
    }

    fn order(&self, order: Order) {
        // The thread only ends with this struct.
        if let (Some(orders), true) = (&self.orders, self.folder.is_some()) {
            let _ = orders.send(order);
        }
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

    /// Keeps unsaved work in place of what was kept of this job before.
    pub fn keep_unsaved(&self, work: Work) {
        self.order(Order::Keep(Box::new(work)));
    }

    /// What became of keeping unsaved work since this was asked last.
    pub fn outcome(&self) -> Option<Kept> {
        self.kept.take()
    }

    /// Drops the kept unsaved work of this job: it was saved, or given up.
    pub fn drop_unsaved(&self) {
        self.order(Order::Drop);
    }

    /// Unsaved work that no window works on, newest first.
    pub fn without_window(&self) -> Vec<Recovered> {
        self.folder.as_ref().map(|f| kept_work::without_window(&f.join(UNSAVED))).unwrap_or_default()
    }

    /// Claims kept work as it is on disk now; none where another window has it, or where it is gone.
    pub fn claim(&self, one: &Recovered) -> Option<(Claim, Recovered)> {
        one.claim(&self.folder.as_ref()?.join(UNSAVED))
    }

    /// Makes claimed work this window's own: its copy is the one that is kept from now on.
    pub fn own(&self, claim: Claim) {
        self.order(Order::Own(claim));
    }

    /// Throws claimed work away.
    pub fn throw_away(&self, claim: Claim) {
        self.order(Order::ThrowAway(claim));
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

impl Drop for Keeping {
    fn drop(&mut self) {
        // What was ordered is done, and the claim is let go of, before the window is gone.
        self.orders = None;
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
    }
}

fn carry_out(inbox: &mpsc::Receiver<Order>, unsaved: &Path, told: &Mailbox<Kept>, waker: &Waker) {
    let mut own: Option<Claim> = None;
    for order in inbox {
        match order {
            // Neither recent files nor the theme are a reason to disturb the work.
            Order::Write(path, text) => {
                let _ = path.parent().map(std::fs::create_dir_all);
                let _ = write_whole(&path, text.as_bytes());
            }
            Order::Keep(work) => {
                let claimed = own.take().map_or_else(|| Claim::new(unsaved), Ok);
                let kept = claimed.and_then(|claim| own.insert(claim).write(&work));
                told.put(kept.map_err(|e| said(&e)));
                waker.wake();
            }
            Order::Drop => {
                if let Some(claim) = own.take() {
                    claim.remove();
                }
            }
            Order::Own(claim) => own = Some(claim),
            Order::ThrowAway(claim) => claim.remove(),
            Order::Flush(done) => {
                let _ = done.send(());
            }
        }
    }
}

/// Takes over work that an older program kept beside the other files, named after its process.
fn take_over_older(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_file() && name.starts_with("unsaved-") && name.ends_with(".ron") {
            let _ = std::fs::create_dir_all(folder.join(UNSAVED));
            let _ = std::fs::rename(entry.path(), folder.join(UNSAVED).join(name));
        }
    }
}
