//! What tests have found out about their meshes, shared by all: the facts of a job are computed once.
//!
//! A slot of a bench is known again by the very parts of the plan that its fact follows from, so that a bench which begins
//! with another test's facts computes what differs and nothing else. That cached facts are those computed afresh is held by
//! `study::bench`, which shares nothing.

use mouldbench::shop::Shop;
use mouldbench::study::bench::Bench;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// So many jobs are kept, those that were asked for last: tests of one subject run one after the other.
const KEPT: usize = 12;

/// What was opened, and what is known of it; the last one was asked for last.
static KNOWN: Mutex<Vec<(Vec<u8>, Arc<Bench>)>> = Mutex::new(Vec::new());

fn known() -> MutexGuard<'static, Vec<(Vec<u8>, Arc<Bench>)>> {
    KNOWN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What is known of the job that was opened by these bytes, in that shop.
pub fn of(opened: &[u8], shop: &Shop) -> Option<Arc<Bench>> {
    let mut known = known();
    let at = known.iter().position(|(bytes, bench)| bytes == opened && bench.shop() == shop)?;
    let found = known.remove(at);
    let bench = found.1.clone();
    known.push(found);
    Some(bench)
}

/// Keeps what is known of the job that was opened by these bytes, unless some is kept.
pub fn keep(opened: &[u8], bench: &Bench) {
    if of(opened, bench.shop()).is_none() {
        let mut known = known();
        known.push((opened.to_vec(), Arc::new(bench.clone())));
        if known.len() > KEPT {
            known.remove(0);
        }
    }
}

/// A bench on the meshes of a folder. It begins with what an earlier test knew of them, and leaves what it knows to later
/// ones.
pub struct Shared {
    bench: Bench,
    /// What it is kept under; none where it is not.
    meshes: Option<Vec<u8>>,
}

impl Shared {
    /// A bench of its own, which begins with nothing and leaves nothing.
    pub fn not(folder: &Path, shop: &Shop) -> Shared {
        let bench = Bench::new(shop.clone(), []);
        bench.set_folder(Some(folder));
        Shared { bench, meshes: None }
    }

    /// The bench for the meshes that lie in `folder` now.
    pub fn on(folder: &Path, shop: &Shop) -> Shared {
        let entries = std::fs::read_dir(folder).expect("a folder").map(|e| e.expect("an entry").path());
        let mut files: Vec<_> = entries.filter(|p| p.extension().is_some_and(|e| e == "stl")).collect();
        files.sort();
        let meshes: Vec<u8> = files.iter().flat_map(|f| std::fs::read(f).expect("a mesh")).collect();
        let bench = of(&meshes, shop).map_or_else(|| Bench::new(shop.clone(), []), |b| (*b).clone());
        bench.set_folder(Some(folder));
        Shared { bench, meshes: Some(meshes) }
    }
}

impl std::ops::Deref for Shared {
    type Target = Bench;

    fn deref(&self) -> &Bench {
        &self.bench
    }
}

impl Drop for Shared {
    fn drop(&mut self) {
        if let Some(meshes) = &self.meshes {
            keep(meshes, &self.bench);
        }
    }
}
