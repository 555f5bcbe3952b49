//! A fault at its place, and a likely cause of it.

use crate::plan::{Plan, Stage};
use crate::shop::Shop;
use crate::study::bench::Facts;
use glam::Vec3;

/// A likely cause.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// What it is; stable, kebab case.
    pub code: &'static str,
    /// How likely, 0 to 1: for the order alone.
    pub likely: f64,
    /// What happened, in words, with its number.
    pub what: String,
    /// What to do that the stage still allows.
    pub remedy: String,
    /// Where it comes from, in `work`, if that is another place than the fault's.
    pub place: Option<Vec3>,
}

/// Everything that a cause is looked for in.
pub(super) struct Scene<'a> {
    pub(super) plan: &'a Plan,
    pub(super) shop: &'a Shop,
    pub(super) facts: &'a Facts,
    /// Casts that the block gives, lowest and highest usual.
    pub(super) tool_life: [u32; 2],
    /// The fault.
    pub(super) at: Vec3,
    /// Outward normal of the surface there.
    pub(super) normal: Vec3,
    /// What still counts as near, millimetres.
    pub(super) near_mm: f32,
}

impl Scene<'_> {
    /// 1 at the place, falling to nothing a few times as far away as counts as near.
    pub(super) fn nearness(&self, to: Vec3) -> f64 {
        let d = (self.at.distance(to) / self.near_mm) as f64;
        (-d * d).exp()
    }

    /// The block is cut: hang, parting and box stay as they are.
    pub(super) fn is_cut(&self) -> bool {
        self.plan.stage >= Stage::Cut
    }

    /// What to do: one thing while the block is not cut, another once it is.
    pub(super) fn by_stage(&self, before: &str, cut: &str) -> String {
        if self.is_cut() { cut.to_owned() } else { before.to_owned() }
    }
}
