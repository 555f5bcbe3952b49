//! Least and greatest.

/// Least and greatest of some values.
pub(super) fn range(values: impl Iterator<Item = f32>) -> (f32, f32) {
    values.fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), s| (low.min(s), high.max(s)))
}
