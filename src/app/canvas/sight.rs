//! What the view looks at: everything that its scene depends on.

use crate::app::filler::FillTimes;
use crate::app::known::Known;
use crate::app::line_drag::LiveLine;
use crate::app::opened::Opened;
use crate::app::thing::Thing;
use crate::plan::Plan;
use crate::study::findings::Step;
use crate::view::scene::Plane;
use glam::Vec3;
use std::sync::Arc;

/// How the part is coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colouring {
    /// Matt neutral.
    Plain,
    /// By half of the block.
    Halves,
    /// By wall thickness.
    Walls,
    /// By distance from the gates along the flow.
    Flow,
    /// By the time at which resin comes.
    Fill,
    /// By height as the block stands.
    Height,
}

impl Colouring {
    /// Every colouring, in the order of its list.
    pub const ALL: [Colouring; 6] =
        [Colouring::Plain, Colouring::Halves, Colouring::Walls, Colouring::Flow, Colouring::Fill, Colouring::Height];

    /// What the list says.
    pub fn label(self) -> &'static str {
        match self {
            Colouring::Plain => "Plain",
            Colouring::Halves => "By half",
            Colouring::Walls => "Wall thickness",
            Colouring::Flow => "Flow path",
            Colouring::Fill => "Fill time",
            Colouring::Height => "Height",
        }
    }
}

/// Everything that a scene depends on.
#[derive(Clone, Debug)]
pub struct Sight {
    /// The facts.
    pub known: Arc<Known>,
    /// The plan as it is now.
    pub plan: Arc<Plan>,
    /// The open step.
    pub step: Step,
    /// How the part is coloured.
    pub colouring: Colouring,
    /// The part as glass.
    pub see_through: bool,
    /// The chosen thing.
    pub chosen: Option<Thing>,
    /// A lit place.
    pub lit: Option<Vec3>,
    /// Height of the resin along up in `work`.
    pub level: Option<f64>,
    /// When resin comes where, and the time that is shown, seconds.
    pub fill: Option<(Arc<FillTimes>, f32)>,
    /// The opened block.
    pub opened: Option<Opened>,
    /// The cut, in `work`.
    pub section: Option<Plane>,
    /// The parting line in the hand.
    pub live: Option<Arc<LiveLine>>,
    /// Dark theme.
    pub dark: bool,
    /// Pixels a point.
    pub px_per_point: f32,
}

impl Sight {
    /// True where both give the same scene.
    pub fn same(&self, other: &Sight) -> bool {
        Arc::ptr_eq(&self.known, &other.known)
            && self.step == other.step
            && self.colouring == other.colouring
            && self.see_through == other.see_through
            && self.chosen == other.chosen
            && self.lit == other.lit
            && self.level == other.level
            && match (&self.fill, &other.fill) {
                (None, None) => true,
                (Some(a), Some(b)) => Arc::ptr_eq(&a.0, &b.0) && a.1 == b.1,
                _ => false,
            }
            && match (&self.opened, &other.opened) {
                (None, None) => true,
                (Some(a), Some(b)) => a.same(b),
                _ => false,
            }
            && self.section == other.section
            && self.live == other.live
            && self.dark == other.dark
            && self.px_per_point == other.px_per_point
            && (Arc::ptr_eq(&self.plan, &other.plan) || self.plan == other.plan)
    }
}
