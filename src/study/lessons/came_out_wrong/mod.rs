//! It came out wrong: for a fault at a place of the cast, its likely causes from the facts of the plan, and what the stage of
//! the job still allows.
//!
//! How likely a cause is follows from how near the place is to something that makes such faults, and how bad that is; the
//! shares are set here, and only their order means anything. Causes that nothing in the plan can tell (water in the mix, a
//! resin that was too cold) come behind those that the plan does tell.

mod air;
mod flow;
mod rubber;
pub mod scene;

pub use scene::Cause;
use scene::Scene;

use crate::plan::Plan;
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
