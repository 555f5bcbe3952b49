//! Weight.

/// Standard acceleration of free fall, m/s² (General Conference on Weights and Measures, 1901).
pub const STANDARD_GRAVITY: f64 = 9.80665;
