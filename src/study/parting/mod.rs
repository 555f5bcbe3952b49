//! The parting: which half of the block each piece of surface belongs to, and the lines between the halves. What lets go
//! of what is in [`crate::study::parting::release`].
//!
//! Everything is in `work`; W is the draw, the direction in which half 1 lifts off.
//!
//! ```text
//! surface ─ visibility ─ energy ─ labels (one minimum cut) ─ islands ─ moved shut-offs ─ loops, regions (rule of shape)
//!              hand (pins, marks, shown) ─┘
//! draw: many directions measured on depth rasters, the best few proposed
//! ```

pub mod aside;
pub mod channel_gaps;
pub mod cut;
pub mod drafted;
pub mod draw;
pub mod energy;
pub mod hand;
pub mod hand_lines;
pub mod held;
pub mod hole;
pub mod islands;
pub mod labels;
pub mod line;
pub mod live;
pub mod locked;
pub mod loop_kind;
pub mod loops;
pub mod moved;
pub mod regions;
pub mod release;
pub mod section;
pub mod surface;
pub mod turned;
pub mod undrafted;
pub mod visibility;
pub mod wish;

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::shop::Limits;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use hand::{HalfStroke, PinPoint, Stroke};
use hand_lines::HeldLine;
use held::{CutOff, HeldGap};
use hole::Hole;
use islands::Smallest;
use line::{Split, TrueLine};
use locked::LockedCore;
use loop_kind::LoopKind;
use loops::Loop;
use moved::{Moved, MovedLine};
use regions::{Regions, ShapeFault};
use std::sync::Arc;
use surface::Surface;
use undrafted::Labelled;
use visibility::Visibility;

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
    /// computed (see [`turned`]).
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

/// The parting of `mesh`: [`parting_of`] where neither surface nor tree is at hand.
pub fn parting(mesh: &Mesh, wish: &Wish, leave: Leave, run: &Run) -> Result<PartingFacts, PartingError> {
    let surface = Arc::new(Surface::new(mesh, run)?);
    parting_of(&surface, &Tree::of(mesh), wish, leave, run)
}

/// The parting of a surface. `tree` holds the mesh that the surface was refined from (or the refined one).
pub fn parting_of(
    surface: &Arc<Surface>,
    tree: &Tree,
    wish: &Wish,
    leave: Leave,
    run: &Run,
) -> Result<PartingFacts, PartingError> {
    let draw = wish.draw.as_dvec3().try_normalize().ok_or(PartingError::NoDirection)?.as_vec3();
    if !surface.area_mm2.iter().any(|&a| a > 0.0) {
        return Err(PartingError::NoSurface);
    }
    if turned::is_turned(draw) {
        return Ok(Arc::new(parting_of(surface, tree, &wish.turned(), leave, run)?).turned());
    }
    let mut ground = Surface::clone(surface);
    drafted::score_contour(&mut ground, draw);
    if let Some(height) = wish.plane_mm {
        hand_lines::cut_by_plane(&mut ground, draw, height);
    }
    let pins: Vec<(Vec3, Vec3)> = wish.pins.iter().map(|p| (p.at, p.normal)).collect();
    let loops_by_hand: Vec<&HeldLine> = wish.held.iter().chain(wish.moved.iter().map(|m| &m.line)).collect();
    let mut drawn = hand_lines::draw(&mut ground, &pins, &loops_by_hand, run)?;
    let moved_lines = drawn.split_off(wish.held.len());
    let mut visibility = Visibility::of(&ground, tree, draw, run)?;
    run.progress(0.6);
    let mut shown = hand::shown(&ground, &wish.shown);
    let mut forced = vec![None; ground.len()];
    hand_lines::force_held(&ground, &visibility, &drawn.edges, &mut forced);
    hand::force_marks(&ground, &wish.marks, &mut forced);
    // Lines do not move over what a person gave to a half, nor over shown surfaces; a pin holds its own vertex.
    let mut fixed: Vec<bool> = forced.iter().map(|half| half.is_some()).collect();
    shown.iter().zip(&mut fixed).for_each(|(s, fixed)| *fixed |= s);
    let mut halves = if let Some(height) = wish.plane_mm {
        hand_lines::sides_of_plane(&ground, draw, height, &forced)
    } else {
        hand::force_pins(&ground, &wish.pins, draw, &mut forced);
        labels::force_extremes(&ground, &visibility, draw, &mut forced);
        let task = labels::Task { surface: &ground, visibility: &visibility, draw, shown: &shown, forced: &forced };
        let halves = labels::label(&task, run)?;
        run.progress(0.8);
        let smallest = Smallest { area_mm2: leave.island_mm2, depth_mm: leave.undercut_depth_mm };
        islands::settle(&task, tree, smallest, halves, run)?
    };
    let moved = moved::lead(&ground, &mut halves, &mut fixed, &moved_lines, &wish.moved, draw);
    let overruled = held::overruled(&ground, &halves, &drawn, &wish.marks, &wish.pins);
    let held_gaps = [drawn.gaps, overruled].concat();
    if wish.plane_mm.is_none() {
        let regions = Regions::of(&ground, &halves);
        let loops = loops::loops(&ground, &halves, &regions, draw);
        let labelled = Labelled {
            surface: &mut ground,
            visibility: &mut visibility,
            halves: &mut halves,
            fixed: &mut fixed,
            pinned: &drawn.pins.iter().flatten().copied().collect(),
            draw,
        };
        undrafted::pull_straight(labelled, &loops, run)?;
        shown = hand::shown(&ground, &wish.shown);
    }
    let surface = &Arc::new(ground);
    let regions = Regions::of(surface, &halves);
    let loops = loops::loops(surface, &halves, &regions, draw);
    let shape = regions::shape_faults(surface, &regions, |f| visibility.from(halves[f])[f]);
    let locked = locked::locked_cores(surface, &regions, &loops, &shape, |f| visibility.from(halves[f])[f], tree, run)?;
    let sum = |weight: &dyn Fn(usize) -> f32| -> f64 {
        (0..surface.len()).map(|f| (weight(f) * surface.area_mm2[f]) as f64).sum()
    };
    let kind_of = |f: usize, k: usize, g: usize| line::kind(surface, &visibility, f, k, g);
    let lines: Vec<TrueLine> = loops.iter().map(|l| line::true_line(surface, l, kind_of)).collect();
    let hole_of = |(l, line): (&Loop, &TrueLine)| match l.kind {
        LoopKind::ShutOff => hole::hole(surface, l, line, &moved, draw),
        LoopKind::Parting | LoopKind::Island => None,
    };
    let facts = PartingFacts {
        draw,
        holes: loops.iter().zip(&lines).map(hole_of).collect(),
        lines,
        moved,
        split: Split::of(surface, &halves),
        undercut_mm2: sum(&|f| visibility.from(halves[f])[f]),
        half_1_mm2: sum(&|f| (halves[f] == Half::One) as u8 as f32),
        half_2_mm2: sum(&|f| (halves[f] == Half::Two) as u8 as f32),
        hidden_from_both_mm2: sum(&|f| visibility.from_both[f]),
        held_gaps,
        cut_off: held::cut_off(surface, &halves, &regions, &wish.marks),
        energy_mm: energy::energy_mm(surface, &visibility, &halves, draw, &shown),
        surface: surface.clone(),
        halves,
        loops,
        shape,
        locked,
        visibility,
        told_from: None,
    };
    run.progress(1.0);
    Ok(facts)
}
