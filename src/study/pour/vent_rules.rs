//! What vents are proposed by, for any attitude: how wide one may be at a place, where one may stand, which air matters.

use crate::plan::Plan;
use crate::shop::Limits;
use crate::solve::run::{Cancelled, Run};
use crate::study::air::high_points::high_points;
use crate::study::air::propose::{self as mouths, Proposal, Rules};
use crate::study::air::{Air, Matters, Mouth, MouthOf};
use crate::study::job::body::Body;
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::pour::vent_fit::{self, THINNEST_VENT_MM};
use glam::Vec3;

/// Diameter of a riser as a share of the edge of the cube that holds as much as its pocket, and the widest: set here, so that
/// from 300 cm³ on they are the 2 to 4 mm of common practice (no source).
const RISER_SHARE: f64 = 0.03;
const WIDEST_RISER_MM: f64 = 4.0;

/// What vents of one body are proposed by.
#[derive(Clone, Copy)]
pub struct VentRules<'a> {
    /// The body of resin.
    pub body: &'a Body,
    /// What the block is poured round.
    pub master: &'a Body,
    /// Walls of the body.
    pub walls: &'a Thickness,
    /// The shop's limits.
    pub limits: &'a Limits,
    /// Which air matters.
    pub matters: &'a Matters,
    /// Up as the rods stand while rubber is poured.
    pub rods_up: Vec3,
}

impl VentRules<'_> {
    /// The widest vent that the wall at `at` takes, millimetres, in tenths as rods come.
    pub fn widest_mm(&self, at: Vec3) -> f64 {
        vent_fit::tenths(vent_fit::widest_mm(vent_fit::wall_mm(self.body, self.walls, at), self.limits))
    }

    /// The shop's usual vent, or what the wall at `at` takes of it; no rod is thinner than the thinnest.
    pub fn fitting_mm(&self, at: Vec3) -> f64 {
        self.limits.vent_mm.min(self.widest_mm(at).max(THINNEST_VENT_MM))
    }

    /// True where a rod goes straight up from `at` without going through the part.
    pub fn is_free(&self, at: Vec3) -> bool {
        !vent_fit::is_covered(&self.master.tree, at, self.rods_up, self.limits.vent_mm)
    }

    /// The fewest mouths that leave no air that matters, beside those of gates.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn proposed(&self, air: &Air, gates: &[Mouth], run: &Run) -> Result<Proposal, Cancelled> {
        let rules =
            Rules { matters: self.matters, diameter_mm: &|at| self.fitting_mm(at), may_stand: &|at| self.is_free(at) };
        mouths::propose_by(air, gates, rules, run)
    }

    /// How wide each of `mouths` should be for what its pocket holds, millimetres: those of one pocket share it.
    pub fn risers_mm(&self, air: &Air, mouths: &[Mouth]) -> Vec<f64> {
        let points = high_points(&air.level, self.limits.air_pocket_mm3);
        let join = air.level.tree();
        let pocket_of = |m: &Mouth| {
            let branch = air.level.rim(m)?.branch;
            points.iter().position(|p| join.subtree(p.branch).contains(&branch))
        };
        let pockets: Vec<Option<usize>> = mouths.iter().map(pocket_of).collect();
        let wanted = |pocket: &Option<usize>| {
            let Some(pocket) = *pocket else { return 0.0 };
            let sharing = pockets.iter().filter(|p| **p == Some(pocket)).count();
            RISER_SHARE * (points[pocket].pocket_mm3 / sharing as f64).cbrt()
        };
        let fits = |(m, pocket): (&Mouth, &Option<usize>)| {
            let riser = vent_fit::tenths(wanted(pocket).min(WIDEST_RISER_MM)).min(self.widest_mm(m.centre));
            riser.max(m.diameter_mm)
        };
        mouths.iter().zip(&pockets).map(fits).collect()
    }
}

/// Mouths of a plan through which air leaves at its gates.
pub fn gates_that_let_air_out(plan: &Plan, setting: &Setting) -> Vec<Mouth> {
    let mouths = Mouth::of_plan(plan, &setting.frames);
    mouths.into_iter().filter(|m| matches!(m.of, MouthOf::Gate(_))).collect()
}
