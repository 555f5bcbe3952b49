//! What windows of the tests have found out, shared by all: the facts of a job are computed once.
//!
//! That cached facts are those computed afresh is held by the tests of the study.

use mouldbench::study::bench::Bench;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

static KNOWN: LazyLock<Mutex<HashMap<Vec<u8>, Arc<Bench>>>> = LazyLock::new(Mutex::default);

/// What is known of the job that was opened by these bytes.
pub fn of(opened: &[u8]) -> Option<Arc<Bench>> {
    KNOWN.lock().unwrap_or_else(PoisonError::into_inner).get(opened).cloned()
}

/// Keeps what a window knows of the job that it opened by these bytes, unless some is kept.
pub fn keep(opened: &[u8], bench: &Bench) {
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    known.entry(opened.to_vec()).or_insert_with(|| Arc::new(bench.clone()));
}
