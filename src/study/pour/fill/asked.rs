//! All that a fill depends on beside the cavity.

use crate::study::pour::fill::drive::Drive;
use crate::study::pour::fill::fineness::Fineness;
use crate::study::pour::fill::viscosity::Pace;
use glam::Vec3;

/// An opening in the wall of the cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mouth {
    /// Its middle, in `work`.
    pub centre: Vec3,
    /// Its radius, mm; nothing where the channel ends in rubber.
    pub radius_mm: f32,
}

/// All that a fill depends on beside the cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct Pour {
    /// Openings by number: first those of the inlets, then those of the outlets.
    pub mouths: Vec<Mouth>,
    /// What drives the front; `until` is set from the paces.
    pub drive: Drive,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// The mix at the temperature of the mould.
    pub mould: Pace,
    /// How fine its cells are.
    pub fineness: Fineness,
    /// Smallest bubble after let-up that is a fault, diameter in mm.
    pub bubble_mm: f64,
}

impl Pour {
    /// True where the other pour is the same, however fine its cells are.
    pub fn is_the_same(&self, other: &Pour) -> bool {
        Pour { fineness: other.fineness, ..self.clone() } == *other
    }
}
