//! Writes loose pieces to files on a thread of its own.

use super::App;
use super::mailbox::Mailbox;
use super::waker::Waker;
use crate::study::bench::Facts;
use crate::study::release::piece_files;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What became of writing, in words.
type Outcome = Result<String, String>;

/// Writes loose pieces.
#[derive(Debug)]
pub struct PieceWriter {
    waker: Waker,
    done: Mailbox<Outcome>,
    writing: bool,
}

impl PieceWriter {
    /// Nothing to write yet.
    pub fn new(waker: Waker) -> PieceWriter {
        PieceWriter { waker, done: Mailbox::default(), writing: false }
    }

    /// True while files are being written.
    pub fn is_busy(&self) -> bool {
        self.writing
    }

    fn write(&mut self, facts: Arc<Facts>, folder: PathBuf) {
        let (done, waker) = (self.done.clone(), self.waker.clone());
        let work = move || {
            done.put(outcome(&facts, &folder));
            waker.wake();
        };
        self.writing = std::thread::Builder::new().name("loose pieces".into()).spawn(work).is_ok();
    }

    /// What became of the files, once.
    pub fn collect(&mut self) -> Option<Outcome> {
        let outcome = self.done.take()?;
        self.writing = false;
        Some(outcome)
    }
}

fn outcome(facts: &Facts, folder: &Path) -> Outcome {
    let release = facts.release.as_ref().ok_or("The loose pieces are not made yet; wait until the work is done")?;
    let frames = &facts.setting.frames;
    let (written, failed) =
        piece_files::write(folder, &release.pieces, &frames.box_from_work).map_err(|e| e.to_string())?;
    if !failed.is_empty() {
        return Err(failed.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    }
    Ok(match written.as_slice() {
        [one] => format!("Loose piece written: {}", one.path.display()),
        all => format!("{} loose pieces written to {}", all.len(), folder.display()),
    })
}

impl App {
    /// Writes every loose piece to a folder.
    pub fn write_pieces_to(&mut self, folder: &Path) {
        if let Some(facts) = self.known.facts.clone() {
            self.pieces.write(facts, folder.to_path_buf());
        }
    }

    pub(super) fn take_in_pieces(&mut self) {
        match self.pieces.collect() {
            Some(Ok(words)) => self.notices.done(words),
            Some(Err(words)) => self.notices.trouble(words),
            None => {}
        }
    }
}
