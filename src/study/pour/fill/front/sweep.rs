//! What one sweep of falling resin comes to.

/// What one sweep comes to.
#[derive(Debug, Default)]
pub(super) struct Sweep {
    /// What falls into each cell in the step, mm³.
    pub(super) fallen: Vec<f64>,
    /// Cells that the sweep came through and the share of them that holds resin after it.
    pub(super) after: Vec<(u32, f64)>,
    /// Cells that become full: when, as a share of the step, and what they cannot take, mm³.
    pub(super) over: Vec<(u32, f64, f64)>,
    /// What each pool drew in, mm³.
    pub(super) drawn: Vec<f64>,
}

impl Sweep {
    /// What fell into cell `c` in the last step, mm³.
    pub(super) fn fallen(&self, c: usize) -> f64 {
        self.fallen.get(c).copied().unwrap_or(0.0)
    }
}
