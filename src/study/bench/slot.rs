//! One cached fact: its last values with the keys that they were computed from.
//!
//! The key holds the very parts of the plan and of earlier facts that the fact depends on, compared with `==`. Nothing
//! is ever guessed from a change: a key that is equal gives the value that stands, any other key computes afresh. A few
//! values stand, so that what is undone, done again or tried by turns is there at once.

use std::sync::{Arc, Mutex, PoisonError, RwLock};

/// So many values stand: the one of now, and those of the edits before it that a hand goes back to. Each may hold as much
/// memory as the mesh, so they are few.
const KEPT: usize = 3;

/// A cache of the last values. Any thread may call any method.
#[derive(Debug)]
pub struct Slot<K, T> {
    /// Held while a value is computed, so that two threads never compute the same one twice.
    computing: Mutex<()>,
    /// The one that was asked for last stands first.
    values: RwLock<Vec<(K, Arc<T>)>>,
}

impl<K, T> Default for Slot<K, T> {
    fn default() -> Slot<K, T> {
        Slot { computing: Mutex::new(()), values: RwLock::default() }
    }
}

impl<K: Clone, T> Clone for Slot<K, T> {
    /// A cache of its own that begins with the values which stand in this one.
    fn clone(&self) -> Slot<K, T> {
        let values = self.values.read().unwrap_or_else(PoisonError::into_inner).clone();
        Slot { computing: Mutex::new(()), values: RwLock::new(values) }
    }
}

impl<K: PartialEq, T> Slot<K, T> {
    /// The value for `key`: one that stands, or `compute`'s, which then stands. An error leaves the old values.
    ///
    /// # Errors
    /// Whatever `compute` gives.
    pub fn get_or<E>(&self, key: K, compute: impl FnOnce() -> Result<T, E>) -> Result<Arc<T>, E> {
        if let Some(value) = self.taken(&key) {
            return Ok(value);
        }
        // A thread that panicked while computing left nothing half-made behind: the value is stored whole.
        let _turn = self.computing.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(value) = self.taken(&key) {
            return Ok(value);
        }
        let value = Arc::new(compute()?);
        let mut values = self.values.write().unwrap_or_else(PoisonError::into_inner);
        values.insert(0, (key, value.clone()));
        values.truncate(KEPT);
        Ok(value)
    }

    /// The value for `key` if it stands, which is then the latest.
    fn taken(&self, key: &K) -> Option<Arc<T>> {
        if let Some((first, value)) = self.values.read().unwrap_or_else(PoisonError::into_inner).first()
            && first == key
        {
            return Some(value.clone());
        }
        let mut values = self.values.write().unwrap_or_else(PoisonError::into_inner);
        let at = values.iter().position(|(k, _)| k == key)?;
        let found = values.remove(at);
        let value = found.1.clone();
        values.insert(0, found);
        Some(value)
    }

    /// The value for `key` if it stands; never computes, never waits for a computation.
    pub fn fresh(&self, key: &K) -> Option<Arc<T>> {
        self.last_where(|k| k == key)
    }

    /// The latest value whose key will do.
    pub fn last_where(&self, will_do: impl Fn(&K) -> bool) -> Option<Arc<T>> {
        let values = self.values.read().unwrap_or_else(PoisonError::into_inner);
        values.iter().find(|(k, _)| will_do(k)).map(|(_, value)| value.clone())
    }

    /// The latest value, whatever it was computed from; to be shown greyed while a new one is on its way.
    pub fn latest(&self) -> Option<Arc<T>> {
        self.last_where(|_| true)
    }
}
