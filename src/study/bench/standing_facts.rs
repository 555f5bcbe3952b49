//! What follows from how part and block stand while rubber and resin are poured.

use crate::study::air::ceilings::Ceilings;
use crate::study::air::closed_off::{Basins, RubberAir};
use crate::study::pour::gate_falls::GateFall;
use crate::study::ways_up::wedge::Wedge;
use std::sync::Arc;

/// The facts of one plan; what is not there is still being computed.
#[derive(Clone, Debug, Default)]
pub struct StandingFacts {
    /// Near-level ceilings.
    pub ceilings: Option<Arc<Ceilings>>,
    /// For each of their patches the longest way under it to a mouth on it, millimetres; none without one.
    pub runs_mm: Option<Arc<Vec<Option<f64>>>>,
    /// Air that liquid rubber shuts in.
    pub rubber_air: Option<Arc<RubberAir>>,
    /// Basins without a gate; none of them where the plan has no gate.
    pub basins: Option<Arc<Basins>>,
    /// How far resin falls from each gate.
    pub falls: Option<Arc<Vec<GateFall>>>,
    /// The wedge that helps, if one does.
    pub wedge: Option<Arc<Option<Wedge>>>,
}

impl StandingFacts {
    /// True where nothing is still being computed.
    pub fn are_complete(&self) -> bool {
        self.ceilings.is_some()
            && self.runs_mm.is_some()
            && self.rubber_air.is_some()
            && self.basins.is_some()
            && self.falls.is_some()
            && self.wedge.is_some()
    }
}
