//! A hard part and a soft part over it: where they meet, what overlaps and gapes, what the tool is poured round, and what
//! holds the hard cast in it.
//!
//! All of it is asked of the two surfaces as they are, in `work`. Two meshes of one curved surface never have the same
//! facets, so they cross each other by the height of their chords; what lies within that and the shop's own figure counts
//! as touching (see [`faceted`]).

pub mod days;
pub mod faceted;
pub mod facts;
pub mod figures;
pub mod hold;
pub mod joined;
pub mod near;
pub mod overlap;
pub mod sample;

pub use near::Near;

use crate::mesh::Mesh;
use crate::mesh::measure::Measures;
use crate::solve::run::{Cancelled, Run};
use faceted::Faceted;
use glam::Vec3;
use overlap::Overlap;
use sample::{Sample, State};
use std::sync::Arc;

/// Surfaces side by side but apart over less than this are no gap, mm²: set here.
pub const LEAST_GAP_MM2: f64 = 1.0;

/// Surfaces that run side by side but apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Area of the hard part that faces it, mm².
    pub area_mm2: f64,
    /// Narrowest and widest, millimetres.
    pub width_mm: [f64; 2],
    /// Where it is widest.
    pub at: Vec3,
}

/// How the two parts meet.
#[derive(Clone, Debug)]
pub struct Meeting {
    /// Area of the hard part that the soft one covers, mm².
    pub contact_mm2: f64,
    /// The same as triangles in `work`, to be drawn.
    pub contact: Arc<Mesh>,
    /// Area of the hard part that is left bare, mm².
    pub bare_mm2: f64,
    /// Gaps between them, taken together.
    pub gap: Option<Gap>,
    /// What they have in common beyond the tolerance.
    pub overlap: Option<Overlap>,
    /// From one to the other where they do not touch, millimetres; 0 where they do.
    pub apart_mm: f64,
    /// The largest distance that counted as touching anywhere: the shop's figure, or more where facets carry it, millimetres.
    pub tolerance_mm: f64,
    /// Volumes of the hard and of the soft part, mm³.
    pub volumes_mm3: [f64; 2],
    /// Middle of the hard part's volume.
    pub hard_middle: Vec3,
    /// The hard part's surface in small pieces.
    pub samples: Vec<Sample>,
}

impl Meeting {
    /// How `hard` and `soft`, both closed, meet.
    ///
    /// # Errors
    /// [`Cancelled`] where the run was.
    pub fn of(hard: &Faceted, soft: &Faceted, near: Near, run: &Run) -> Result<Meeting, Cancelled> {
        let samples = sample::samples(hard, soft, near, run)?;
        let overlap = overlap::overlap(hard, soft, near, &samples, run)?;
        let area = |wanted: &dyn Fn(&State) -> bool| -> f64 {
            samples.iter().filter(|s| wanted(&s.state)).map(|s| s.area_mm2).sum()
        };
        let contact_mm2 = area(&|s| s.is_covered());
        let measures = [Measures::of(hard.mesh), Measures::of(soft.mesh)];
        let mut contact = Mesh::default();
        for s in samples.iter().filter(|s| s.state.is_covered()) {
            let first = contact.positions.len() as u32;
            contact.positions.extend(s.corners);
            contact.triangles.push([first, first + 1, first + 2]);
        }
        let apart_mm = if contact_mm2 > 0.0 { 0.0 } else { apart(&samples, soft) };
        let touching = samples.iter().filter(|s| s.state == State::Touch);
        let tolerance_mm = touching.map(|s| s.off_mm.abs()).fold(near.touch_mm, f64::max);
        Ok(Meeting {
            contact_mm2,
            contact: Arc::new(contact),
            bare_mm2: area(&|s| *s == State::Bare),
            gap: gap(&samples),
            overlap,
            apart_mm,
            tolerance_mm,
            volumes_mm3: measures.map(|m| m.volume_mm3.abs()),
            hard_middle: measures[0].centroid_mm.as_vec3(),
            samples,
        })
    }
}

fn gap(samples: &[Sample]) -> Option<Gap> {
    let mut found: Option<Gap> = None;
    for s in samples {
        let State::Gap(width) = s.state else { continue };
        let gap = found.get_or_insert(Gap { area_mm2: 0.0, width_mm: [width; 2], at: s.at });
        gap.area_mm2 += s.area_mm2;
        if width > gap.width_mm[1] {
            gap.at = s.at;
        }
        gap.width_mm = [gap.width_mm[0].min(width), gap.width_mm[1].max(width)];
    }
    found.filter(|g| g.area_mm2 >= LEAST_GAP_MM2)
}

/// The least distance from a piece of the hard part to the soft one, millimetres.
fn apart(samples: &[Sample], soft: &Faceted) -> f64 {
    let mut best = f32::INFINITY;
    for p in samples.iter().flat_map(|s| s.corners) {
        if let Some(near) = soft.tree.nearest_within(p, best) {
            best = near.distance.min(best);
        }
    }
    f64::from(best)
}
