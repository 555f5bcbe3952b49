//! Many directions, measured.

use crate::plan::HangWeights;
use crate::shop::Limits;
use crate::solve::run::{Cancelled, Run};
use crate::study::ways_up::criteria::{Criteria, Criterion, Norms};
use crate::study::ways_up::measure::{Asked, Measurer};
use crate::study::ways_up::scored::Scored;
use crate::study::ways_up::subject::Each;
use glam::Vec3;

/// Many directions, measured.
#[derive(Clone, Debug, PartialEq)]
pub struct HangSearch {
    /// What it was asked of.
    pub asked: Asked,
    /// How the part hangs in the plan.
    pub hung: Scored,
    /// Every direction that was looked at.
    pub scored: Vec<Scored>,
    /// Undercut of a draw along each axis that was looked at, mm².
    pub(super) draws: Vec<(Vec3, f64)>,
    /// What figures are divided by before they are weighed.
    pub norms: Norms,
    /// Why high points and air could not be counted, in words; none where they were.
    pub no_air: Option<String>,
    /// False while directions are still being measured.
    pub complete: bool,
}

impl HangSearch {
    /// What a way up costs, in high points; less is better.
    pub fn total(&self, of: &Criteria, weights: &HangWeights) -> f64 {
        Criterion::ALL.iter().map(|c| c.weight(weights) * c.loss(of, &self.norms).unwrap_or(0.0)).sum()
    }

    /// All totals, in the order of the directions.
    pub fn totals(&self, weights: &HangWeights) -> Vec<f64> {
        self.scored.iter().map(|s| self.total(&s.criteria, weights)).collect()
    }

    /// The best direction; among equals the one that was measured first.
    pub fn best(&self, weights: &HangWeights) -> usize {
        let totals = self.totals(weights);
        (0..totals.len()).min_by(|a, b| totals[*a].total_cmp(&totals[*b]).then(a.cmp(b))).unwrap_or(0)
    }

    /// The measured direction nearest to `direction`.
    pub fn nearest(&self, direction: Vec3) -> usize {
        let near = |i: &usize| self.scored[*i].up.dot(direction);
        (0..self.scored.len()).max_by(|a, b| near(a).total_cmp(&near(b)).then(b.cmp(a))).unwrap_or(0)
    }

    /// The same with the part hung another way, which is measured like every other.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn hung_as(&self, parts: &[Each], limits: &Limits, up: Vec3, run: &Run) -> Result<HangSearch, Cancelled> {
        let measurer = Measurer::new(parts, limits, &self.asked, self.draws.clone(), run)?;
        Ok(HangSearch { hung: measurer.one(up, run)?, ..self.clone() })
    }
}
