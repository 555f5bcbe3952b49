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
pub mod crease;
pub mod cut;
pub mod drafted;
pub mod draw;
pub mod energy;
pub mod facts;
pub mod hand;
pub mod hand_lines;
pub mod held;
pub mod held_gap;
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

pub use facts::{Leave, PartingError, PartingFacts, Wish};

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::Run;
use glam::Vec3;
use hand_lines::HeldLine;
use islands::Smallest;
use line::{Split, TrueLine};
use loop_kind::LoopKind;
use loops::Loop;
use regions::Regions;
use std::sync::Arc;
use surface::Surface;
use undrafted::Labelled;
use visibility::Visibility;

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
