//! Meshes read on a thread of their own before a job is started about them, so that a broken one takes nothing away.

use crate::app::document::Document;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::mesh::io_words::said;
use crate::study::bench::Bench;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A job about a mesh that was read, before it takes the place of what is open.
#[derive(Debug)]
pub struct ReadMesh {
    /// The job.
    pub document: Document,
    /// The mesh's file.
    pub path: PathBuf,
    /// As [`Opening::beside`].
    pub beside: u64,
}

/// A mesh on its way.
#[derive(Debug)]
pub struct Opening {
    /// Its file.
    pub path: PathBuf,
    /// The version of the job that was open when it was asked for: what was changed since was not asked about.
    pub beside: u64,
    done: Mailbox<Result<Document, String>>,
}

impl Opening {
    /// Starts to read `path`; the unit is guessed from the size. `beside` is the version of the open job.
    pub fn start(bench: Arc<Bench>, path: &Path, beside: u64, waker: Waker) -> Opening {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let opening = Opening { path: path.clone(), beside, done: Mailbox::default() };
        let done = opening.done.clone();
        let refused = opening.done.clone();
        let work = move || {
            let read = bench.load_guessed(&path.to_string_lossy());
            let made = read.map(|loaded| Document::of_mesh(&path, loaded.unit, &loaded.digest));
            done.put(made.map_err(|e| e.to_string()));
            waker.wake();
        };
        if let Err(e) = std::thread::Builder::new().name("opening".into()).spawn(work) {
            refused.put(Err(format!("The mesh could not be read ({}). Close other programs and try again", said(&e))));
        }
        opening
    }

    /// The job about the mesh, or why there is none; none while it is being read.
    pub fn collect(&self) -> Option<Result<Document, String>> {
        self.done.take()
    }
}
