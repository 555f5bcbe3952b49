//! The master: what it is made of, whether it is hollow, and what holds it while rubber is poured.

use serde::{Deserialize, Serialize};

/// What the master is made of, as far as the rubber cares.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum MasterMaterial {
    /// Nobody said.
    #[default]
    NotSaid,
    /// Printed and cured by light: fresh ones can keep the rubber from curing.
    PrintedPhotopolymer,
    /// Printed from melted or sintered plastic.
    PrintedThermoplastic,
    /// Milled or turned from board, plastic or metal.
    Machined,
    /// Cast or modelled.
    Cast,
}

/// What is inside the master.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum MasterCore {
    /// Nothing but its material.
    #[default]
    Solid,
    /// A hollow behind a skin.
    Hollow {
        /// Thickness of the skin, millimetres.
        skin_mm: f64,
        /// True where a hole lets its air out while the rubber is degassed.
        open: bool,
    },
}

/// The master and how it hangs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Master {
    /// What it is made of.
    #[serde(default)]
    pub material: MasterMaterial,
    /// Solid or hollow.
    #[serde(default)]
    pub core: MasterCore,
    /// Density of its material, g/cm³; `None` takes the shop's figure.
    #[serde(default)]
    pub density_g_cm3: Option<f64>,
    /// Its mass where it was weighed, grams; it then counts before density and core.
    #[serde(default)]
    pub weighed_g: Option<f64>,
    /// True once rubber was seen to cure on this very material.
    #[serde(default)]
    pub cure_trial: bool,
    /// True where it is stuck flat to the floor of the box, so that no rubber gets under it.
    #[serde(default)]
    pub stuck_to_floor: bool,
    /// Further straight rods that hold it and are plugged afterwards.
    #[serde(default)]
    pub plugged_rods: u32,
    /// Their diameter, millimetres.
    #[serde(default = "usual_rod_mm")]
    pub plugged_rod_mm: f64,
}

/// A usual rod: set here.
fn usual_rod_mm() -> f64 {
    3.0
}

impl Default for Master {
    fn default() -> Master {
        Master {
            material: MasterMaterial::NotSaid,
            core: MasterCore::Solid,
            density_g_cm3: None,
            weighed_g: None,
            cure_trial: false,
            stuck_to_floor: false,
            plugged_rods: 0,
            plugged_rod_mm: usual_rod_mm(),
        }
    }
}
