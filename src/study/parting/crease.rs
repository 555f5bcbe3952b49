//! Which edges are creases.

/// A crease is sharper than this, degrees.
pub const CREASE_DEG: f32 = 25.0;
