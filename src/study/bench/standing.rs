//! Facts that follow from how part and block stand while rubber and resin are poured.

use super::{Bench, Setting, StudyError};
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::air::{Air, Mouth};
use crate::study::air_facts::{AirFacts, AirTrees};
use crate::study::body::Body;
use crate::study::ceilings::Ceilings;
use crate::study::closed_off::{self, Basins, RubberAir};
use crate::study::gate_falls::{GateFall, gate_falls};
use crate::study::propose::vent_rules::{VentRules, gates_that_let_air_out};
use crate::study::slot::Slot;
use crate::study::wedge::{self, Wedge};
use glam::Vec3;
use std::sync::Arc;

/// What ceilings depend on: body, up.
type CeilingsKey = (u64, Vec3);
/// What the ways under them depend on besides: mouths.
type RunsKey = (CeilingsKey, Vec<Mouth>);
/// What the air in the rubber depends on: the master, whose body is keyed by the inserts already, and up.
type RubberAirKey = (u64, Vec3);
/// What second basins depend on: the trees, and the gates.
type BasinsKey = (u64, Vec<Mouth>);
/// What the wedge depends on: the trees, the master, and what is asked.
type WedgeKey = (u64, u64, wedge::Asked);

/// The cached ones.
#[derive(Clone, Debug, Default)]
pub(super) struct Standing {
    ceilings: Slot<CeilingsKey, Ceilings>,
    runs: Slot<RunsKey, Vec<Option<f64>>>,
    rubber_air: Slot<RubberAirKey, RubberAir>,
    basins: Slot<BasinsKey, Basins>,
    falls: Slot<BasinsKey, Vec<GateFall>>,
    wedge: Slot<WedgeKey, Option<Wedge>>,
}

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

impl Bench {
    /// The quick one, and of the others those that stand already.
    pub(super) fn quick_standing(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        air: &AirFacts,
        run: &Run,
    ) -> Result<StandingFacts, StudyError> {
        let ceilings = self.ceilings(setting, body, run)?;
        Ok(StandingFacts {
            ceilings: Some(ceilings),
            runs_mm: self.standing.runs.fresh(&Bench::runs_key(plan, setting, body)),
            rubber_air: self
                .fresh_master(plan, setting, body)
                .and_then(|m| self.standing.rubber_air.fresh(&Bench::rubber_air_key(setting, &m))),
            basins: self.standing.basins.fresh(&Bench::basins_key(plan, setting, &air.trees)),
            falls: self.standing.falls.fresh(&Bench::basins_key(plan, setting, &air.trees)),
            wedge: self
                .fresh_master(plan, setting, body)
                .and_then(|m| self.standing.wedge.fresh(&self.wedge_key(plan, setting, &air.trees, &m))),
        })
    }

    /// All of them.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn standing_facts(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<StandingFacts, StudyError> {
        Ok(StandingFacts {
            ceilings: Some(self.ceilings(setting, body, run)?),
            runs_mm: Some(self.ceiling_runs_mm(plan, setting, body, run)?),
            rubber_air: Some(self.rubber_air(plan, setting, body, run)?),
            basins: Some(self.basins(plan, setting, body, run)?),
            falls: Some(self.falls(plan, setting, body, run)?),
            wedge: Some(self.wedge(plan, setting, body, run)?),
        })
    }

    /// Near-level ceilings as resin is poured.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn ceilings(&self, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Ceilings>, StudyError> {
        let key = (body.id, setting.frames.cast_up());
        self.standing.ceilings.get_or(key, || Ok(Ceilings::of(body, key.1, self.shop().limits.near_level_deg, run)?))
    }

    fn runs_key(plan: &Plan, setting: &Setting, body: &Body) -> RunsKey {
        ((body.id, setting.frames.cast_up()), Bench::mouths(plan, setting))
    }

    /// For each patch of near-level ceiling the longest way under it to a mouth on it, millimetres.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn ceiling_runs_mm(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Vec<Option<f64>>>, StudyError> {
        let ceilings = self.ceilings(setting, body, run)?;
        let key = Bench::runs_key(plan, setting, body);
        let mouths = key.1.clone();
        self.standing.runs.get_or(key, || Ok(ceilings.runs_mm(body, &mouths, run)?))
    }

    fn rubber_air_key(setting: &Setting, master: &Body) -> RubberAirKey {
        (master.id, setting.frames.rubber_up())
    }

    /// Air that liquid rubber shuts in.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn rubber_air(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<RubberAir>, StudyError> {
        let master = self.master(plan, setting, body, run)?;
        let key = Bench::rubber_air_key(setting, &master);
        let (up, least) = (key.1, self.shop.limits.air_pocket_mm3);
        self.standing.rubber_air.get_or(key, || Ok(closed_off::rubber_air(&master, &setting.inserts, up, least, run)?))
    }

    fn basins_key(plan: &Plan, setting: &Setting, trees: &AirTrees) -> BasinsKey {
        (trees.id, closed_off::gates_of(plan, &setting.frames))
    }

    /// Basins without a gate; nothing where the plan has none.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn basins(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Basins>, StudyError> {
        let trees = self.air_trees(setting, body, run)?;
        let key = Bench::basins_key(plan, setting, &trees);
        let gates = key.1.clone();
        self.standing.basins.get_or(key, || {
            if gates.is_empty() {
                return Ok(Basins::default());
            }
            let least_mm3 = closed_off::least_basin_mm3(body, &self.shop.limits);
            Ok(closed_off::second_basins(body, &trees.air.level, &gates, least_mm3, run)?)
        })
    }

    /// How far resin falls from each gate; nothing where the plan has none.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn falls(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Vec<GateFall>>, StudyError> {
        let trees = self.air_trees(setting, body, run)?;
        let key = Bench::basins_key(plan, setting, &trees);
        let gates = key.1.clone();
        self.standing.falls.get_or(key, || match gates.is_empty() {
            true => Ok(Vec::new()),
            false => Ok(gate_falls(body, &trees.air.level, &gates, run)?),
        })
    }

    fn wedge_key(&self, plan: &Plan, setting: &Setting, trees: &AirTrees, master: &Body) -> WedgeKey {
        let asked = wedge::Asked::of(plan, &setting.frames, setting.block.size_mm, &self.shop.limits);
        (trees.id, master.id, asked)
    }

    /// The wedge under the closed block that helps, if one does.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn wedge(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Arc<Option<Wedge>>, StudyError> {
        let trees = self.air_trees(setting, body, run)?;
        let master = self.master(plan, setting, body, run)?;
        let key = self.wedge_key(plan, setting, &trees, &master);
        let (asked, limits) = (key.2.clone(), &self.shop.limits);
        self.standing.wedge.get_or(key, || {
            let walls = self.walls(body, run)?;
            let rules = VentRules {
                body,
                master: &master,
                walls: &walls,
                limits,
                matters: &asked.matters,
                rods_up: setting.frames.rubber_up(),
            };
            let gates = gates_that_let_air_out(plan, setting);
            let proposed = |air: &Air| Ok(rules.proposed(air, &gates, run)?.mouths.len());
            Ok(wedge::wedge(body, &trees.air.level, &asked, limits, &proposed, run)?)
        })
    }
}
