//! Inserts: what is moulded in, the pocket that holds it, and how that pocket comes to be.

use super::{Half, Spot};
use serde::{Deserialize, Serialize};

/// What the insert is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum InsertKind {
    /// A threaded bush: a cylinder with a thread through it.
    Bush {
        /// Outside diameter, millimetres.
        diameter_mm: f64,
        /// Length, millimetres.
        length_mm: f64,
        /// Thread, as it is called on the drawing, e.g. `M3`.
        thread: String,
    },
    /// A pin or shaft.
    Pin {
        /// Diameter, millimetres.
        diameter_mm: f64,
        /// Length, millimetres.
        length_mm: f64,
    },
    /// A plate or blade, square to the axis.
    Plate {
        /// Length, millimetres.
        length_mm: f64,
        /// Width, millimetres.
        width_mm: f64,
        /// Thickness along the axis, millimetres.
        thickness_mm: f64,
    },
    /// A round magnet.
    Magnet {
        /// Diameter, millimetres.
        diameter_mm: f64,
        /// Length, millimetres.
        length_mm: f64,
    },
    /// Any other shape, by mesh; its axis is the mesh's Z, its foot the mesh's origin.
    Mesh {
        /// Mesh file; a relative path is looked up beside the plan file.
        mesh: String,
    },
}

/// How the pocket in the rubber comes to be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum PocketMade {
    /// A dummy of the insert stands on the master.
    #[default]
    DummyOnMaster,
    /// The mesh already carries the projection.
    InMesh,
    /// Drilled in the rubber afterwards.
    DrilledAfter,
}

/// How a thread is kept clear of resin.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Threads {
    /// There is none.
    #[default]
    None,
    /// A screw stands in it.
    Screw,
    /// A plug of wax or silicone.
    Plug,
    /// The bush is closed at the end.
    Blind,
}

/// One insert in its place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Insert {
    /// Number on card and sheet; stays with the insert when others are deleted.
    pub number: u32,
    /// Free name; empty for "Insert 1".
    #[serde(default)]
    pub name: String,
    /// What it is.
    pub kind: InsertKind,
    /// Where its axis passes the part's surface. The normal points out of the part, along the insert's axis into its
    /// pocket in the rubber.
    pub at: Spot,
    /// Length that stands in the rubber pocket, outside the part, millimetres; the rest lies inside the part.
    pub in_pocket_mm: f64,
    /// How the pocket comes to be.
    #[serde(default)]
    pub pocket: PocketMade,
    /// True where the insert stays in the cast; false where it is pulled from every cast.
    pub stays: bool,
    /// How its thread is closed.
    #[serde(default)]
    pub threads: Threads,
    /// The half that carries it; `None` where the geometry decides.
    #[serde(default)]
    pub half: Option<Half>,
    /// Density of its material, g/cm³; `None` takes the shop's figure.
    #[serde(default)]
    pub density_g_cm3: Option<f64>,
    /// Hottest that it bears, °C; `None` where that is of no concern.
    #[serde(default)]
    pub hottest_c: Option<f64>,
}
