//! Numbers that tell what was made from what.

use std::sync::atomic::{AtomicU64, Ordering};

/// A number that no other computed fact of this process has; facts computed from this one name it in their keys.
pub fn fresh_id() -> u64 {
    static NEXT: AtomicU64 = AtomicU64::new(1);
    NEXT.fetch_add(1, Ordering::Relaxed)
}
