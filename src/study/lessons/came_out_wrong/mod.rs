//! It came out wrong: for a fault at a place of the cast, its likely causes from the facts of the plan, and what the stage of
//! the job still allows.
//!
//! How likely a cause is follows from how near the place is to something that makes such faults, and how bad that is; the
//! shares are set here, and only their order means anything. Causes that nothing in the plan can tell (water in the mix, a
//! resin that was too cold) come behind those that the plan does tell.

mod air;
mod flow;
mod rubber;

use crate::plan::{Plan, Stage};
use crate::shop::Shop;
use crate::study::bench::Facts;
use glam::Vec3;

/// Causes that are told at most.
const TOLD: usize = 5;
/// What is less likely than this is not told.
const LEAST: f64 = 0.03;
/// How far a thing still counts as being at the place, as a share of the part's diagonal, and millimetres at least.
const NEAR: (f32, f32) = (0.06, 3.0);

/// What is wrong with the cast there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A hole or bubble.
    Hole,
    /// Too much: a lump, a bead, a pimple.
    Lump,
    /// The resin did not come there.
    Short,
    /// A thin skin along a line.
    Flash,
    /// A line where two streams met.
    KnitLine,
    /// The rubber is torn, or has left a ragged mark.
    Tear,
}

impl Fault {
    /// Every fault, in the order of the list.
    pub const ALL: [Fault; 6] = [Fault::Hole, Fault::Lump, Fault::Short, Fault::Flash, Fault::KnitLine, Fault::Tear];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Fault::Hole => "Hole or bubble",
            Fault::Lump => "Lump",
            Fault::Short => "Short",
            Fault::Flash => "Flash",
            Fault::KnitLine => "Knit line",
            Fault::Tear => "Torn rubber",
        }
    }
}

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
struct Scene<'a> {
    plan: &'a Plan,
    shop: &'a Shop,
    facts: &'a Facts,
    /// Casts that the block gives, lowest and highest usual.
    tool_life: [u32; 2],
    /// The fault.
    at: Vec3,
    /// Outward normal of the surface there.
    normal: Vec3,
    /// What still counts as near, millimetres.
    near_mm: f32,
}

impl Scene<'_> {
    /// 1 at the place, falling to nothing a few times as far away as counts as near.
    fn nearness(&self, to: Vec3) -> f64 {
        let d = (self.at.distance(to) / self.near_mm) as f64;
        (-d * d).exp()
    }

    /// The block is cut: hang, parting and box stay as they are.
    fn is_cut(&self) -> bool {
        self.plan.stage >= Stage::Cut
    }

    /// What to do: one thing while the block is not cut, another once it is.
    fn by_stage(&self, before: &str, cut: &str) -> String {
        if self.is_cut() { cut.to_owned() } else { before.to_owned() }
    }
}

/// Likely causes of `fault` at `at` (in `work`, on the part), the likeliest first; `tool_life` is what one block gives.
pub fn causes(fault: Fault, at: Vec3, plan: &Plan, shop: &Shop, facts: &Facts, tool_life: [u32; 2]) -> Vec<Cause> {
    let Some(body) = &facts.body else { return Vec::new() };
    let nearest = body.tree.nearest(at);
    let normal = nearest.map_or(Vec3::Z, |n| body.mesh.unit_normal(n.triangle as usize));
    let near_mm = (body.bounds.diagonal() * NEAR.0).max(NEAR.1);
    let scene = Scene { plan, shop, facts, tool_life, at, normal, near_mm };
    let mut causes = match fault {
        Fault::Hole => air::of_a_hole(&scene),
        Fault::Lump => rubber::of_a_lump(&scene),
        Fault::Short => flow::of_a_short(&scene),
        Fault::Flash => rubber::of_flash(&scene),
        Fault::KnitLine => flow::of_a_knit_line(&scene),
        Fault::Tear => rubber::of_a_tear(&scene),
    };
    causes.retain(|c| c.likely >= LEAST);
    causes.sort_by(|a, b| b.likely.total_cmp(&a.likely));
    causes.truncate(TOLD);
    causes
}
