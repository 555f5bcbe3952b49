//! The box, the materials as they were, how many casts are wanted, and those that were made.

use crate::shop::{Resin, Silicone};
use serde::{Deserialize, Serialize};

/// The block of rubber and its box.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockPlan {
    /// Wall of rubber at the sides, millimetres; `None` takes the shop's figure for the part's size.
    #[serde(default)]
    pub wall_mm: Option<f64>,
    /// Rubber below the part, millimetres; `None` as the wall.
    #[serde(default)]
    pub below_mm: Option<f64>,
    /// Rubber above the part, millimetres; `None` takes the shop's figure.
    #[serde(default)]
    pub above_mm: Option<f64>,
}

/// Materials, with the figures that they had when the plan was made, so that an old plan stays true.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialsUsed {
    /// Moulding rubber; `None` takes the shop's first.
    #[serde(default)]
    pub silicone: Option<Silicone>,
    /// Casting resin; `None` takes the shop's first.
    #[serde(default)]
    pub resin: Option<Resin>,
}

/// How many casts are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Good casts wanted.
    pub good: u32,
}

impl Default for Quantity {
    fn default() -> Quantity {
        Quantity { good: 10 }
    }
}

/// One cast as it came out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CastEntry {
    /// Shot number, from 1.
    pub shot: u32,
    /// Date, `YYYY-MM-DD`.
    pub date: String,
    /// Batch of the resin.
    #[serde(default)]
    pub batch: String,
    /// Mass of the trimmed cast, grams; 0 where it was not weighed.
    #[serde(default)]
    pub trimmed_g: f64,
    /// Remark.
    #[serde(default)]
    pub remark: String,
    /// Good, or scrap.
    pub good: bool,
}
