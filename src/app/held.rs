//! Something shared that a cache was filled from, remembered so that nothing else can be taken for it.

use std::sync::{Arc, Weak};

/// Equal to another only where both are of one and the same shared thing.
///
/// An address alone would not do: once the last owner lets go it is given to the next thing of that size. The place is kept
/// from being given away as long as this stands; what was in it is not kept.
#[derive(Debug)]
pub struct Held<T: ?Sized>(Weak<T>);

impl<T: ?Sized> Held<T> {
    /// Remembers which one it is.
    pub fn of(shared: &Arc<T>) -> Held<T> {
        Held(Arc::downgrade(shared))
    }

    /// True where anybody still owns it.
    pub fn is_there(&self) -> bool {
        self.0.strong_count() > 0
    }
}

impl<T: ?Sized> Clone for Held<T> {
    fn clone(&self) -> Held<T> {
        Held(self.0.clone())
    }
}

impl<T: ?Sized> PartialEq for Held<T> {
    fn eq(&self, other: &Held<T>) -> bool {
        Weak::ptr_eq(&self.0, &other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_new_is_ever_taken_for_what_is_gone() {
        // The allocator gives a freed place to the next thing of the same size.
        let mut taken = 0;
        for i in 0..100u64 {
            let first = Arc::new([i; 8]);
            let (held, address) = (Held::of(&first), Arc::as_ptr(&first) as usize);
            assert!(held == Held::of(&first) && held.is_there());
            drop(first);
            let next = Arc::new([i; 8]);
            assert!(held != Held::of(&next) && !held.is_there());
            taken += usize::from(Arc::as_ptr(&next) as usize == address);
        }
        assert_eq!(taken, 0, "a place that is held is given to nobody");
    }
}
