//! What lets go of what: undercuts and how the rubber gets past them, relief cuts and loose pieces that help, shut-offs
//! in through-holes, and how slender the rubber itself stands.
//!
//! Everything is in `work`. Geometry is computed here once for a parting; what a rubber makes of it is judged from
//! figures by [`verdict`], which costs nothing.
//!
//! ```text
//! parting ─ undercuts (aside: the way out; round: the ring; strain: closed forms) ─ served by cuts and pieces ─ verdict
//! ```

pub mod aside;
pub mod round;
pub mod rubber;
pub mod strain;
pub mod undercuts;
pub mod verdict;

use crate::mesh::tree::Tree;
use crate::shop::{Limits, Silicone};
use crate::solve::run::{Cancelled, Run};
use crate::study::parting::PartingFacts;
use undercuts::Undercut;
use verdict::Judged;

/// What lets go of what, for one parting.
#[derive(Clone, Debug, Default)]
pub struct Release {
    /// Undercuts of at least the shop's limit, largest first.
    pub undercuts: Vec<Undercut>,
}

impl Release {
    /// Everything that holds in `parting`; undercuts from `least_mm2` on. `tree` holds the mesh that was parted.
    pub fn of(parting: &PartingFacts, tree: &Tree, least_mm2: f64, run: &Run) -> Result<Release, Cancelled> {
        Ok(Release { undercuts: undercuts::undercuts(parting, tree, least_mm2, run)? })
    }

    /// What the rubber makes of undercut `i`.
    pub fn judged(&self, i: usize, silicone: &Silicone, limits: &Limits) -> Judged {
        let undercut = &self.undercuts[i];
        verdict::judged(&undercut.form, undercut.depth_mm, silicone, limits)
    }

    /// Share of the tool life that all undercuts leave, 0 to 1: that of the hardest.
    pub fn life(&self, silicone: &Silicone, limits: &Limits) -> f64 {
        (0..self.undercuts.len()).map(|i| self.judged(i, silicone, limits).life).fold(1.0, f64::min)
    }
}
