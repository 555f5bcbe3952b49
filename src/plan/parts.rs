//! Parts, where they sit, and points and areas on their surface.

use super::Bodies;
use glam::{DAffine3, DQuat, DVec3};
use serde::{Deserialize, Serialize};

/// Unit of the numbers in a mesh file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Unit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches of 25.4 mm.
    Inch,
    /// Metres.
    Metre,
}

impl Unit {
    /// Every unit.
    pub const ALL: [Unit; 3] = [Unit::Millimetre, Unit::Inch, Unit::Metre];

    /// Its name for more than one of it.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Millimetre => "millimetres",
            Unit::Inch => "inches",
            Unit::Metre => "metres",
        }
    }

    /// Its sign.
    pub fn sign(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Inch => "in",
            Unit::Metre => "m",
        }
    }

    /// Millimetres in one unit.
    pub fn mm(self) -> f64 {
        match self {
            Unit::Millimetre => 1.0,
            Unit::Inch => 25.4,
            Unit::Metre => 1000.0,
        }
    }
}

/// Whether the mesh is the wanted part or the master already enlarged for shrinkage.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Scale {
    /// The mesh is the nominal part; the master is made `master_factor` times as large.
    Nominal {
        /// Master length over part length, 1.0 where the master is made to size.
        master_factor: f64,
    },
    /// The mesh is the master, already `factor` times the nominal part.
    Master {
        /// Master length over part length.
        factor: f64,
    },
}

impl Default for Scale {
    fn default() -> Scale {
        Scale::Nominal { master_factor: 1.0 }
    }
}

/// A rigid placing of a part in the set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pose {
    /// Turn from `part` to `set`.
    pub rotation: DQuat,
    /// Where the part's origin comes to lie in `set`, millimetres.
    pub translation_mm: DVec3,
}

impl Default for Pose {
    fn default() -> Pose {
        Pose { rotation: DQuat::IDENTITY, translation_mm: DVec3::ZERO }
    }
}

impl Pose {
    /// The transform from `part` to `set`.
    pub fn set_from_part(&self) -> DAffine3 {
        DAffine3::from_rotation_translation(self.rotation.normalize(), self.translation_mm)
    }
}

/// One part of the plan: its mesh file and how it is read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Name on card and sheet.
    pub name: String,
    /// Mesh file; a relative path is looked up beside the plan file.
    pub mesh: String,
    /// SHA-256 of the mesh file in hexadecimal; empty until it was first read.
    #[serde(default)]
    pub digest: String,
    /// Which of the file's bodies it is made of, where they do not all hang together.
    #[serde(default)]
    pub bodies: Bodies,
    /// Unit of the file.
    #[serde(default)]
    pub unit: Unit,
    /// Nominal part or scaled master.
    #[serde(default)]
    pub scale: Scale,
    /// Where it sits in the set.
    #[serde(default)]
    pub pose: Pose,
    /// Good parts of its kind that are wanted; `None` as many as the plan's quantity says. The first of a kind counts.
    #[serde(default)]
    pub wanted: Option<u32>,
}

/// A point on a part's surface with the outward normal there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    /// Index of the part in the plan.
    #[serde(default)]
    pub part: usize,
    /// Position in `part`, millimetres.
    pub position: DVec3,
    /// Outward unit normal in `part`.
    pub normal: DVec3,
}

/// An area of the part that is seen on the finished product.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShownSurface {
    /// Name on card and sheet.
    pub name: String,
    /// Finish.
    #[serde(default)]
    pub finish: Finish,
    /// Points of the stroke that marked it.
    pub stroke: Vec<Spot>,
    /// Radius of the stroke along the surface, millimetres.
    pub radius_mm: f64,
}

/// Finish of a shown surface.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Finish {
    /// Polished.
    Gloss,
    /// Matt.
    #[default]
    Matt,
    /// Textured.
    Textured,
    /// As the master was printed.
    AsPrinted,
}
