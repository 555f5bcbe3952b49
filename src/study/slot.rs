//! One cached fact: the last value with the key that it was computed from.
//!
//! The key holds the very parts of the plan and of earlier facts that the fact depends on, compared with `==`. Nothing
//! is ever guessed from a change: a key that is equal gives the value that stands, any other key computes afresh.

use std::sync::{Arc, Mutex, PoisonError, RwLock};

/// A cache of one value. Any thread may call any method.
#[derive(Debug)]
pub struct Slot<K, T> {
    /// Held while a value is computed, so that two threads never compute the same one twice.
    computing: Mutex<()>,
    last: RwLock<Option<(K, Arc<T>)>>,
}

impl<K, T> Default for Slot<K, T> {
    fn default() -> Slot<K, T> {
        Slot { computing: Mutex::new(()), last: RwLock::new(None) }
    }
}

impl<K: Clone, T> Clone for Slot<K, T> {
    /// A cache of its own that begins with the value which stands in this one.
    fn clone(&self) -> Slot<K, T> {
        let last = self.last.read().unwrap_or_else(PoisonError::into_inner).clone();
        Slot { computing: Mutex::new(()), last: RwLock::new(last) }
    }
}

impl<K: PartialEq, T> Slot<K, T> {
    /// The value for `key`: the one that stands, or `compute`'s, which then stands. An error leaves the old value.
    ///
    /// # Errors
    /// Whatever `compute` gives.
    pub fn get_or<E>(&self, key: K, compute: impl FnOnce() -> Result<T, E>) -> Result<Arc<T>, E> {
        if let Some(value) = self.fresh(&key) {
            return Ok(value);
        }
        // A thread that panicked while computing left nothing half-made behind: the value is stored whole.
        let _turn = self.computing.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(value) = self.fresh(&key) {
            return Ok(value);
        }
        let value = Arc::new(compute()?);
        *self.last.write().unwrap_or_else(PoisonError::into_inner) = Some((key, value.clone()));
        Ok(value)
    }

    /// The value for `key` if it stands; never computes, never waits for a computation.
    pub fn fresh(&self, key: &K) -> Option<Arc<T>> {
        let last = self.last.read().unwrap_or_else(PoisonError::into_inner);
        last.as_ref().filter(|(k, _)| k == key).map(|(_, value)| value.clone())
    }

    /// The last value if its key is one that will do.
    pub fn last_where(&self, will_do: impl FnOnce(&K) -> bool) -> Option<Arc<T>> {
        let last = self.last.read().unwrap_or_else(PoisonError::into_inner);
        last.as_ref().filter(|(k, _)| will_do(k)).map(|(_, value)| value.clone())
    }

    /// The last value, whatever it was computed from; to be shown greyed while a new one is on its way.
    pub fn latest(&self) -> Option<Arc<T>> {
        let last = self.last.read().unwrap_or_else(PoisonError::into_inner);
        last.as_ref().map(|(_, value)| value.clone())
    }
}
