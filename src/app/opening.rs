//! Meshes read on a thread of their own before a job is started about them, so that a broken one takes nothing away.

use crate::app::document::Document;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::mesh::io_words::said;
use crate::study::bench::Bench;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A mesh on its way.
#[derive(Debug)]
pub struct Opening {
    /// Its file.
    pub path: PathBuf,
    done: Mailbox<Result<Document, String>>,
}

impl Opening {
    /// Starts to read `path`; the unit is guessed from the size.
    pub fn start(bench: Arc<Bench>, path: &Path, waker: Waker) -> Opening {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let opening = Opening { path: path.clone(), done: Mailbox::default() };
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
