//! Where a held loop is open.

use glam::Vec3;

/// Why a held loop is open somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GapCause {
    /// It lies off the surface there, or no way over the surface joins its points.
    OffSurface,
    /// Both its sides belong to one half there, so that it separates nothing.
    OneHalf,
}

/// A place where a held loop is open.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldGap {
    /// Which held loop.
    pub held: usize,
    /// The last point before the gap.
    pub at: Vec3,
    /// Length of the gap, millimetres; straight where the loop lies off the surface.
    pub length_mm: f64,
    /// Why it is open.
    pub cause: GapCause,
    /// Marks that gave the surface there to one half, in the order of the wish.
    pub marks: Vec<usize>,
    /// Pins that did, in the order of the wish.
    pub pins: Vec<usize>,
}
