//! What is kept of how part and block stand.

use crate::study::air::Mouth;
use crate::study::air::ceilings::Ceilings;
use crate::study::air::closed_off::{Basins, RubberAir};
use crate::study::bench::slot::Slot;
use crate::study::pour::gate_falls::GateFall;
use crate::study::ways_up::wedge::{self, Wedge};
use glam::Vec3;

/// What ceilings depend on: body, up.
pub(super) type CeilingsKey = (u64, Vec3);

/// What the ways under them depend on besides: mouths.
pub(super) type RunsKey = (CeilingsKey, Vec<Mouth>);

/// What the air in the rubber depends on: the master, whose body is keyed by the inserts already, and up.
pub(super) type RubberAirKey = (u64, Vec3);

/// What second basins depend on: the trees, and the gates.
pub(super) type BasinsKey = (u64, Vec<Mouth>);

/// What the wedge depends on: the trees, the master, and what is asked.
pub(super) type WedgeKey = (u64, u64, wedge::Asked);

/// The cached ones.
#[derive(Clone, Debug, Default)]
pub(super) struct Standing {
    pub(super) ceilings: Slot<CeilingsKey, Ceilings>,
    pub(super) runs: Slot<RunsKey, Vec<Option<f64>>>,
    pub(super) rubber_air: Slot<RubberAirKey, RubberAir>,
    pub(super) basins: Slot<BasinsKey, Basins>,
    pub(super) falls: Slot<BasinsKey, Vec<GateFall>>,
    pub(super) wedge: Slot<WedgeKey, Option<Wedge>>,
}
