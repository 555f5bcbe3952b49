//! How a cavity fills.

use crate::solve::cell_field::CellField;
use crate::study::pour::fill::closed_round::ClosedRound;
use crate::study::pour::fill::places::{Knit, Last};
use crate::study::pour::fill::verdict::Verdict;
use crate::study::pour::fill::viscosity::Pace;

/// How the cavity fills.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill {
    /// Edge of the cells, mm.
    pub cell_mm: f64,
    /// Number of cells.
    pub cells: usize,
    /// Cells across the typical thin wall.
    pub across: f64,
    /// Error of the times to be expected from the cells, as a share.
    pub expected_error: f64,
    /// Share of the cavity that is full at the end of the pour.
    pub filled_share: f64,
    /// ∫dt/μ at the end of the pour, 1/Pa.
    pub end_at: f64,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// The mix at the temperature of the mould.
    pub mould: Pace,
    /// ∫dt/μ when every cell was full, 1/Pa; infinite where resin does not come.
    pub filled_at: CellField,
    /// The last places to fill, the very last one first.
    pub last: Vec<Last>,
    /// Where fronts meet, longest first.
    pub knit: Vec<Knit>,
    /// Gas that resin closed round, largest first.
    pub closed: Vec<ClosedRound>,
    /// ∫dt/μ when resin shows at the top of each outlet's channel.
    pub shown_at: Vec<Option<f64>>,
    /// What it comes to.
    pub verdict: Verdict,
    /// Smallest bubble after let-up that is a fault, diameter in mm.
    pub bubble_limit_mm: f64,
}

impl Fill {
    /// Seconds after the pour began, at the temperature of the cup, that belong to a value of ∫dt/μ.
    pub fn seconds(&self, at: f32) -> f32 {
        self.cup.seconds(at as f64) as f32
    }

    /// Seconds that the pour takes at the temperature of the cup.
    pub fn time_s(&self) -> f64 {
        self.cup.seconds(self.end_at)
    }

    /// Gas closed round at the end of the pour, mm³.
    pub fn closed_round_mm3(&self) -> f64 {
        self.closed.iter().map(|c| c.volume_mm3).fold(0.0, |a, b| a + b)
    }

    /// The same after the chamber was let up, mm³.
    pub fn after_let_up_mm3(&self) -> f64 {
        self.closed.iter().map(|c| c.after_let_up_mm3).fold(0.0, |a, b| a + b)
    }
}

/// A picture of a fill under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// As [`Fill::filled_at`], so far.
    pub filled_at: CellField,
    /// ∫dt/μ now, 1/Pa.
    pub now: f64,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// Share of the cavity that is full.
    pub filled_share: f64,
}
