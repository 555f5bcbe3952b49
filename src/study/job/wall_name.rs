//! What the walls of the box are called.

use serde::Serialize;

/// A wall of the block, as one stands before the front with the block's length from left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WallName {
    /// Before one.
    Front,
    /// To the right.
    Right,
    /// Behind.
    Back,
    /// To the left.
    Left,
    /// The top, seen with the front below it.
    Top,
    /// The floor, seen from below with the front above it.
    Floor,
}
