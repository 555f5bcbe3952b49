//! The bench's part of the report: what is cut, weighed, held, reckoned in size and written in the diary.
//!
//! Lengths in millimetres, areas in mm², volumes in mm³, masses in grams, forces in newtons, times in seconds.

use serde::Serialize;

/// The block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct BlockReport {
    /// Length, width, height.
    pub size_mm: [f64; 3],
    /// Outside volume.
    pub volume_mm3: f64,
    /// Rubber at the sides.
    pub wall_mm: f64,
    /// Rubber below the part.
    pub below_mm: f64,
    /// Rubber above the part.
    pub above_mm: f64,
    /// Room that gates, runners and vents take from the rubber up to the block's top.
    pub channels_mm3: f64,
}

/// Which way the master is driven.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HangDirection {
    /// It floats.
    Up,
    /// It sinks, or is pressed on the floor.
    Down,
    /// Neither to speak of.
    #[default]
    Still,
}

/// A rod that holds the master.
#[derive(Clone, Debug, Default, Serialize)]
pub struct HangingRodReport {
    /// What it leaves behind: a vent, a gate, or a hole that is plugged.
    pub what: String,
    /// Diameter.
    pub diameter_mm: f64,
    /// Length from the master to the top of the block.
    pub length_mm: f64,
    /// What it carries; pushed where the sign is that of the net force.
    pub load_n: f64,
}

/// How the master hangs in liquid rubber.
#[derive(Clone, Debug, Default, Serialize)]
pub struct HangingReport {
    /// Mass of the master.
    pub mass_g: f64,
    /// True where a person weighed it.
    pub weighed: bool,
    /// Rubber that it displaces, hollows of its own with it.
    pub displaced_mm3: f64,
    /// Net force on it once the block is full, positive upwards.
    pub net_force_n: f64,
    /// Its direction.
    pub direction: HangDirection,
    /// Its weight in air, before rubber is poured.
    pub weight_n: f64,
    /// Net force with rubber all round it, also where it is meant to be stuck to the floor.
    pub wetted_force_n: f64,
    /// True where it is stuck flat to the floor.
    pub stuck_to_floor: bool,
    /// Area that lies flat on its lowest level.
    pub foot_mm2: f64,
    /// Rubber over that level.
    pub depth_mm: f64,
    /// Moment of the net force about the middle of the rods.
    pub lift_moment_n_mm: f64,
    /// How many times over the rods hold it down; none where it does not float or has no rod.
    pub safety_up: Option<f64>,
    /// How many times over the rods carry it before the rubber does; none without a rod.
    pub safety_down: Option<f64>,
    /// What the rods are.
    pub rod_name: String,
    /// Beam over the box: span, width, thickness.
    pub beam_mm: [f64; 3],
    /// Sag of that beam under the master.
    pub beam_sag_mm: f64,
    /// True where the master keeps air in a hollow of its own.
    pub sealed_hollow: bool,
    /// Rods that hold it.
    pub rods: Vec<HangingRodReport>,
}

/// Rubber to weigh.
#[derive(Clone, Debug, Default, Serialize)]
pub struct SiliconeReport {
    /// Material.
    pub name: String,
    /// Volume in the block.
    pub volume_mm3: f64,
    /// Mass to mix, with what stays in the pots.
    pub mass_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Pot volume needed for degassing, litres.
    pub pot_litres: f64,
    /// Pot life.
    pub pot_life_s: f64,
    /// Cure at 23 °C.
    pub cure_s: f64,
}

/// Resin to weigh for each shot.
#[derive(Clone, Debug, Default, Serialize)]
pub struct ResinReport {
    /// Material.
    pub name: String,
    /// Volume of the parts, inserts taken out.
    pub part_mm3: f64,
    /// Volume of the whole cavity: parts, feed and vents.
    pub cavity_mm3: f64,
    /// Mass of one trimmed part set.
    pub part_g: f64,
    /// Mass to mix for one shot, with pool and losses.
    pub shot_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Pot life.
    pub pot_life_s: f64,
}

/// Casts and days.
#[derive(Clone, Debug, Default, Serialize)]
pub struct DaysReport {
    /// Good casts wanted.
    pub good: u32,
    /// Casts that one block gives, lowest and highest usual.
    pub tool_life: [u32; 2],
    /// Blocks needed at the lowest usual life.
    pub tools: u32,
    /// Working days from pouring the rubber to the last cast, one block at a time in use, with two casts a day.
    pub days: u32,
}
