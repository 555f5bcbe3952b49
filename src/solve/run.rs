//! How a long computation is stopped and watched.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// A computation was told to stop before it was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("cancelled")]
pub struct Cancelled;

/// Cancel and progress token of one run.
///
/// Clones share the same state; any thread may call any method. Cancelling is permanent: start a new run with a new
/// token. Progress reads 0 before any work starts and never goes back.
#[derive(Clone, Debug, Default)]
pub struct Run {
    state: Arc<State>,
}

#[derive(Debug, Default)]
struct State {
    cancelled: AtomicBool,
    per_mille: AtomicU32,
}

impl Run {
    /// A fresh token that nobody has cancelled.
    pub fn new() -> Run {
        Run::default()
    }

    /// Asks the computation to stop at its next check.
    pub fn cancel(&self) {
        self.state.cancelled.store(true, Ordering::Relaxed);
    }

    /// True once [`Run::cancel`] was called.
    pub fn is_cancelled(&self) -> bool {
        self.state.cancelled.load(Ordering::Relaxed)
    }

    /// `Err(Cancelled)` once the run was cancelled; call it every few thousand steps of a loop.
    pub fn check(&self) -> Result<(), Cancelled> {
        if self.is_cancelled() { Err(Cancelled) } else { Ok(()) }
    }

    /// Notes that the share `done` (0 to 1) of the work is behind.
    pub fn progress(&self, done: f32) {
        self.state.per_mille.fetch_max((done.clamp(0.0, 1.0) * 1000.0) as u32, Ordering::Relaxed);
    }

    /// The share of the work that is behind, 0 to 1.
    pub fn done(&self) -> f32 {
        self.state.per_mille.load(Ordering::Relaxed) as f32 / 1000.0
    }
}
