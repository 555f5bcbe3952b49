//! Feed, gates and vents: where resin comes in and air goes out.

use super::Spot;
use glam::DVec3;
use serde::{Deserialize, Serialize};

/// How a channel comes to be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Made {
    /// A rod stands on the master while rubber is poured and is pulled afterwards.
    #[default]
    RodPulled,
    /// Punched from the cavity outwards once the block is cut.
    PunchedFromCavity,
    /// Cut as a groove in the parting face.
    GrooveInParting,
}

/// Where on the part a gate brings resin in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum GateKind {
    /// From above, straight down from the cup.
    #[default]
    Top,
    /// From below, through a runner that goes down beside the part.
    Bottom,
    /// From the side, through a runner that goes down beside the part.
    Side,
}

/// One gate with the runner that feeds it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gate {
    /// Number on card and sheet; stays with the gate when others are deleted.
    pub number: u32,
    /// Free name; empty for "Gate 1".
    #[serde(default)]
    pub name: String,
    /// Where resin enters the part.
    pub at: Spot,
    /// Kind of gate.
    #[serde(default)]
    pub kind: GateKind,
    /// Diameter where it meets the part, millimetres.
    pub diameter_mm: f64,
    /// How far it keeps that diameter from the part on before it widens to the runner, millimetres.
    #[serde(default = "usual_land_mm")]
    pub land_mm: f64,
    /// Corners of the runner between the gate and the foot of the cup, in `set`, from the gate outwards; empty for a
    /// straight run up to the cup.
    #[serde(default)]
    pub runner: Vec<DVec3>,
    /// Diameter of the runner, millimetres.
    pub runner_diameter_mm: f64,
    /// Number of the gate whose runner this one's runs into; none where it goes up to the cup itself.
    #[serde(default)]
    pub joins: Option<u32>,
    /// How gate and runner come to be.
    #[serde(default)]
    pub made: Made,
    /// True where a person counts on air leaving through this gate; a gate full of resin is no way out.
    #[serde(default)]
    pub lets_air_out: bool,
}

impl Default for Gate {
    fn default() -> Gate {
        Gate {
            number: 0,
            name: String::new(),
            at: Spot::default(),
            kind: GateKind::default(),
            diameter_mm: 0.0,
            land_mm: usual_land_mm(),
            runner: Vec::new(),
            runner_diameter_mm: 0.0,
            joins: None,
            made: Made::default(),
            lets_air_out: false,
        }
    }
}

/// A gate keeps its narrow end short, so that it is cut off close and lets the resin through: common practice, no source
/// (1 to 3 mm).
pub fn usual_land_mm() -> f64 {
    3.0
}

/// The cup that resin is poured into, at the top of the block.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cup {
    /// Inside diameter, millimetres.
    pub diameter_mm: f64,
    /// Height above the block's top, millimetres.
    pub height_mm: f64,
}

impl Default for Cup {
    fn default() -> Cup {
        Cup { diameter_mm: 40.0, height_mm: 40.0 }
    }
}

/// Everything through which resin comes in.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feed {
    /// The cup.
    #[serde(default)]
    pub cup: Cup,
    /// Gates, all fed from the one cup.
    #[serde(default)]
    pub gates: Vec<Gate>,
}

/// One vent: a channel from a high point of the cavity up to the top of the block.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vent {
    /// Number on card and sheet; stays with the vent when others are deleted.
    pub number: u32,
    /// Free name; empty for "Vent 1".
    #[serde(default)]
    pub name: String,
    /// Centre of its mouth in the cavity wall.
    pub at: Spot,
    /// Diameter, millimetres.
    pub diameter_mm: f64,
    /// How it comes to be.
    #[serde(default)]
    pub made: Made,
}
