//! The box, the materials as they were, how many casts are wanted, and those that were made.

use crate::shop::{HangRod, Panel, Resin, Silicone};
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
    /// True where the box itself goes into the chamber after pouring, so that its walls must hold the foam.
    #[serde(default)]
    pub degas_in_box: bool,
    /// Temperature at which the rubber cures, °C; `None` for room temperature.
    #[serde(default)]
    pub cure_c: Option<f64>,
    /// Height over the floor up to which a first pour goes, millimetres; `None` for one pour.
    #[serde(default)]
    pub first_pour_mm: Option<f64>,
    /// What keeps the block from growing while it is hot.
    #[serde(default)]
    pub held: Held,
}

/// What keeps a hot block from growing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Held {
    /// Nothing: it grows the same in all directions.
    #[default]
    Free,
    /// Stiff walls on all four sides: it grows upwards only, and more.
    FourSides,
}

/// A dimension of the part that somebody cares for.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dimension {
    /// Its name, as on the drawing.
    pub name: String,
    /// Wanted length on the part, millimetres.
    pub length_mm: f64,
    /// How it runs in the box.
    #[serde(default)]
    pub along: Along,
    /// True where it runs across the cut, so that flash makes it longer.
    #[serde(default)]
    pub across_cut: bool,
}

/// How a dimension runs as the block stands while rubber is poured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Along {
    /// Along the length of the box.
    #[default]
    Length,
    /// Along its width.
    Width,
    /// Upwards.
    Height,
}

/// When work is done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Diary {
    /// First day, `YYYY-MM-DD`; empty where days are only counted.
    #[serde(default)]
    pub start: String,
    /// Days that are worked, Monday first.
    #[serde(default = "monday_to_friday")]
    pub works: [bool; 7],
    /// Masters that are made.
    #[serde(default = "one")]
    pub masters: u32,
    /// Blocks that one batch of resin fills.
    #[serde(default = "one")]
    pub blocks_a_batch: u32,
}

fn monday_to_friday() -> [bool; 7] {
    [true, true, true, true, true, false, false]
}

fn one() -> u32 {
    1
}

impl Default for Diary {
    fn default() -> Diary {
        Diary { start: String::new(), works: monday_to_friday(), masters: 1, blocks_a_batch: 1 }
    }
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
    /// Board of the box; `None` takes the shop's first.
    #[serde(default)]
    pub panel: Option<Panel>,
    /// Rods that the master hangs on; `None` takes the shop's first.
    #[serde(default)]
    pub rod: Option<HangRod>,
    /// Pigment as per cent of the mixed resin.
    #[serde(default)]
    pub pigment_pct: f64,
}

/// How many casts are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Good casts wanted.
    pub good: u32,
    /// Casts to set the job up; `None` takes the shop's figure.
    #[serde(default)]
    pub set_up: Option<u32>,
    /// Share of the casts that are thrown away, 0 to 1; `None` takes the shop's figure.
    #[serde(default)]
    pub reject_share: Option<f64>,
}

impl Default for Quantity {
    fn default() -> Quantity {
        Quantity { good: 10, set_up: None, reject_share: None }
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
