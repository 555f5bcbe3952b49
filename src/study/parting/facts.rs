//! The parting of a mesh, and what is asked of it.

use crate::plan::Half;
use crate::shop::Limits;
use crate::solve::run::Cancelled;
use crate::study::parting::hand::{HalfStroke, PinPoint, Stroke};
use crate::study::parting::hand_lines::HeldLine;
use crate::study::parting::held::CutOff;
use crate::study::parting::held_gap::HeldGap;
use crate::study::parting::hole::Hole;
use crate::study::parting::line::{Split, TrueLine};
use crate::study::parting::locked::LockedCore;
use crate::study::parting::loops::Loop;
use crate::study::parting::moved::{Moved, MovedLine};
use crate::study::parting::regions::ShapeFault;
use crate::study::parting::surface::Surface;
use crate::study::parting::visibility::Visibility;
use glam::Vec3;
use std::sync::Arc;

/// What a person wants of the parting, in `work`.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// W; need not be of unit length.
    pub draw: Vec3,
    /// Height along the draw of the plane that parts it, millimetres; none where the line is sought.
    pub plane_mm: Option<f64>,
    /// Loops that are kept.
    pub held: Vec<HeldLine>,
    /// Shut-offs that were moved along their holes.
    pub moved: Vec<MovedLine>,
    /// Points that the line passes through.
    pub pins: Vec<PinPoint>,
    /// Surface given to a half.
    pub marks: Vec<HalfStroke>,
    /// Shown surfaces, which no line crosses.
    pub shown: Vec<Stroke>,
}

impl Wish {
    /// A draw and no hand work.
    pub fn along(draw: Vec3) -> Wish {
        Wish {
            draw,
            plane_mm: None,
            held: Vec::new(),
            moved: Vec::new(),
            pins: Vec::new(),
            marks: Vec::new(),
            shown: Vec::new(),
        }
    }
}

/// Pieces that the parting leaves out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leave {
    /// Islands smaller than this are given to the half round them, mm².
    pub island_mm2: f64,
    /// Islands that leave a shallower undercut than this are given to the half round them, millimetres.
    pub undercut_depth_mm: f64,
}

impl From<&Limits> for Leave {
    fn from(limits: &Limits) -> Leave {
        Leave { island_mm2: limits.island_mm2, undercut_depth_mm: limits.undercut_depth_mm }
    }
}

/// Why there is no parting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PartingError {
    /// The draw is zero or not finite.
    #[error("the draw direction is not a direction: give three finite numbers, not all zero")]
    NoDirection,
    /// The mesh has no area.
    #[error("there is no surface to part: load a part with at least one triangle")]
    NoSurface,
    /// The run was cancelled.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// The parting of one mesh for one draw.
#[derive(Clone, Debug)]
pub struct PartingFacts {
    /// W, a unit vector.
    pub draw: Vec3,
    /// The refined surface that everything here is numbered by; draw this mesh to colour the halves exactly.
    pub surface: Arc<Surface>,
    /// What each half sees.
    pub visibility: Visibility,
    /// The half of each triangle.
    pub halves: Vec<Half>,
    /// Lines between the halves, by body, the parting line of each body first.
    pub loops: Vec<Loop>,
    /// The true line along each loop, in the order of `loops`.
    pub lines: Vec<TrueLine>,
    /// The hole that each loop goes round, in the order of `loops`; only shut-offs have one.
    pub holes: Vec<Option<Hole>>,
    /// What became of the shut-offs that were moved, in the order of the wish.
    pub moved: Vec<Moved>,
    /// The surface cut along the lines, with the half of each triangle.
    pub split: Split,
    /// All area hidden from the half it is given to, mm².
    pub undercut_mm2: f64,
    /// Area of half 1, mm².
    pub half_1_mm2: f64,
    /// Area of half 2, mm².
    pub half_2_mm2: f64,
    /// Area that neither half can see, whichever it is given to, mm².
    pub hidden_from_both_mm2: f64,
    /// Where the rule of shape is broken: bodies without a line, pieces cut off, cores locked through a handle.
    pub shape: Vec<ShapeFault>,
    /// The locked cores among these, with the holes that they go through.
    pub locked: Vec<LockedCore>,
    /// Energy of the labels, millimetres of plain line.
    pub energy_mm: f64,
    /// Places where a held loop is open.
    pub held_gaps: Vec<HeldGap>,
    /// Marks that are cut off from the rest of their half.
    pub cut_off: Vec<CutOff>,
    /// The facts of the opposite draw that these were told from, where the halves are named the other way than they are
    /// computed (see [`turned`](crate::study::parting::turned)).
    pub told_from: Option<Arc<PartingFacts>>,
}

impl PartingFacts {
    /// Area of the whole surface, mm².
    pub fn area_mm2(&self) -> f64 {
        self.half_1_mm2 + self.half_2_mm2
    }

    /// The share of triangle `f` of the refined surface that is hidden from the half it is given to.
    pub fn hidden(&self, f: usize) -> f32 {
        self.visibility.from(self.halves[f])[f]
    }
}
