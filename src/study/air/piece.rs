//! A body of air that stays.

/// One body of air that stays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// The branch that stands for it at its level.
    pub branch: u32,
    /// Height of its lower face.
    pub level: f64,
    /// Volume, mm³.
    pub volume_mm3: f64,
}
