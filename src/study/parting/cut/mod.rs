//! The cut: the surface along which the blade opens the block, and the two halves that it leaves.
//!
//! ```text
//! split surface ─ border (loops) ─ skirt (until the line is simple) ─ sheet (harmonic, kept off the part) ─ keys
//!                                      └ patches in other loops                │
//!                       halves: stitched, clipped by the block, channels, ─────┘
//!                               loose pieces, cores and severing cuts out
//! ```
//!
//! Everything is in `work`.

pub mod block_box;
pub mod border;
pub mod channels;
pub mod entry;
pub mod facts;
pub mod frame;
pub mod half_files;
pub mod halves;
pub mod hooks;
pub mod keys;
pub mod knife;
pub mod loose;
pub mod marks;
pub mod severed;
pub mod sheet;
pub mod skirt;
pub mod surface;
pub mod through;
pub mod turned;

use crate::plan::Half;
use crate::solve::run::Cancelled;
use glam::Vec3;

/// A place where no honest sheet exists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoSheet {
    /// Where.
    pub place: Vec3,
    /// Why, in words.
    pub why: &'static str,
    /// True where no sheet can be there; false where none was found by leading the line out.
    pub sure: bool,
}

/// What was being done to a half.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Clipping it by the block.
    Clip,
    /// Taking channels and pockets out.
    Hollow,
}

/// Why there is no cut.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CutError {
    /// There is no line between the halves.
    #[error("there is no parting line to cut along")]
    NoLine,
    /// The part is not one closed mesh.
    #[error(
        "the part is not closed, or its surface crosses itself, so that it cannot become the wall of two halves; see the \
         findings on the part"
    )]
    NotClosed,
    /// The sheet has nowhere to go.
    #[error("{}", .0.why)]
    NoSheet(NoSheet),
    /// A half could not be closed.
    #[error("{} could not be made: {why}", if *.half == Half::One { "half 1" } else { "half 2" })]
    Broken {
        /// Which.
        half: Half,
        /// Doing what.
        step: Step,
        /// What went wrong.
        why: String,
    },
    /// The run was cancelled.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}
