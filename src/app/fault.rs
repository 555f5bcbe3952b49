//! The fault of a cast that is being looked into: what it is, where, and what may have caused it.

use crate::app::App;
use crate::plan::Spot;
use crate::study::lessons::came_out_wrong::{Cause, Fault, causes};
use std::sync::Arc;

/// A fault that is being looked into. Nothing of it belongs to the plan.
#[derive(Clone, Debug, Default)]
pub struct FaultLook {
    fault: Option<Fault>,
    spot: Option<Spot>,
    /// The causes, for this version of what is known.
    told: Option<(u64, bool, Arc<Vec<Cause>>)>,
}

impl App {
    /// What is wrong with the cast.
    pub fn fault(&self) -> Fault {
        self.fault.fault.unwrap_or(Fault::Hole)
    }

    /// Says what is wrong with the cast.
    pub fn set_fault(&mut self, fault: Fault) {
        self.fault = FaultLook { fault: Some(fault), spot: self.fault.spot, told: None };
    }

    /// Where it is wrong, in `work`; none while nobody pointed at it.
    pub fn fault_place(&self) -> Option<glam::Vec3> {
        let spot = self.fault.spot?;
        Some(self.known.setting()?.frames.spot_in_work(&spot))
    }

    /// Says where it is wrong.
    pub fn point_at_fault(&mut self, spot: Spot) {
        self.fault.spot = Some(spot);
        self.fault.told = None;
    }

    /// Forgets where it is wrong.
    pub fn forget_fault(&mut self) {
        self.fault = FaultLook { fault: self.fault.fault, ..FaultLook::default() };
    }

    /// The likely causes, the likeliest first; none while nobody pointed at the place or the numbers are not there.
    pub fn fault_causes(&mut self) -> Option<Arc<Vec<Cause>>> {
        let (version, complete) = (self.known.version, self.known.complete);
        if let Some((v, c, told)) = &self.fault.told
            && (*v, *c) == (version, complete)
        {
            return Some(told.clone());
        }
        let at = self.fault_place()?;
        let (facts, report) = (self.known.facts.clone()?, self.known.report.clone()?);
        let plan = self.known.plan.clone();
        let found = Arc::new(causes(self.fault(), at, &plan, &self.shop, &facts, report.casts.tool_life));
        self.fault.told = Some((version, complete, found.clone()));
        Some(found)
    }
}
