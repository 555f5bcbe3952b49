//! What the shop has and allows: resins, silicones and limits, from RON data in `assets/`.
//!
//! Every value carries its unit in its name; where it comes from stands beside it in the data file
//! (`common practice`, a standard, or `set here`).

pub mod desk;
pub mod figures;
mod file;
mod own;
pub mod ranges;
pub mod sources;

pub use file::{COLD_CURE_C, Shop, ShopFileError, user_file};

use serde::{Deserialize, Serialize};

/// Declares a set of figures, and beside it the same set with every figure left open, as a shop's own file gives it.
macro_rules! figures {
    ($(#[$doc:meta])* $name:ident, $change:ident { $($(#[doc = $words:literal])* $field:ident: $kind:ty,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $($(#[doc = $words])* pub $field: $kind,)* }

        #[derive(Clone, Copy, Debug, Default, Deserialize)]
        #[serde(deny_unknown_fields, default)]
        struct $change { $($field: Option<$kind>,)* }

        impl $name {
            /// Names of the figures, as they stand in the file.
            pub const FIGURES: &'static [&'static str] = &[$(stringify!($field),)*];

            /// The same figures in words, as they are told to those who build and those who use it.
            pub const WORDS: &'static [&'static str] = &[$(concat!($($words),*),)*];

            /// Figures as they are written in a file: those that differ from `other`, and those that `also` asks for.
            fn written(&self, other: &$name, also: impl Fn(&str) -> bool) -> Vec<(&'static str, String)> {
                let mut figures = Vec::new();
                $(if self.$field != other.$field || also(stringify!($field)) {
                    // Numbers and lists of numbers always serialise.
                    figures.push((stringify!($field), ron::ser::to_string(&self.$field).unwrap_or_default()));
                })*
                figures
            }
        }

        impl $change {
            /// Puts the figures in their places; says which of them are others than before.
            fn apply(&self, to: &mut $name) -> Vec<&'static str> {
                let mut changed = Vec::new();
                $(if let Some(value) = self.$field {
                    if to.$field != value {
                        changed.push(stringify!($field));
                    }
                    to.$field = value;
                })*
                changed
            }
        }
    };
}

/// A two-part moulding silicone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Silicone {
    /// Our own generic name.
    pub name: String,
    /// Parts of A by mass in the mix.
    pub a_parts: f64,
    /// Parts of B by mass in the mix.
    pub b_parts: f64,
    /// Density of the cured rubber, g/cm³.
    pub density_g_cm3: f64,
    /// Hardness, Shore A.
    pub shore_a: f64,
    /// Elongation at break, per cent.
    pub elongation_pct: f64,
    /// Mixed viscosity, Pa·s.
    pub viscosity_pa_s: f64,
    /// Pot life at 23 °C, seconds.
    pub pot_life_s: f64,
    /// Cure at 23 °C, seconds.
    pub cure_s: f64,
    /// Cure at other temperatures, warmest last: °C and seconds.
    #[serde(default)]
    pub warm_cures: Vec<(f64, f64)>,
    /// Share of the mix that stays in pots, 0 to 1.
    pub loss_share: f64,
    /// Pot volume over liquid volume that degassing needs.
    pub foam_factor: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A two-part casting resin.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Resin {
    /// Our own generic name.
    pub name: String,
    /// Parts of A by mass in the mix.
    pub a_parts: f64,
    /// Parts of B by mass in the mix.
    pub b_parts: f64,
    /// Density of the mix, g/cm³.
    pub density_g_cm3: f64,
    /// Mixed viscosity at 25 °C, Pa·s.
    pub viscosity_pa_s: f64,
    /// Pot life, seconds, for the batch mass beside it.
    pub pot_life_s: f64,
    /// Batch mass at which the pot life was stated, grams.
    pub pot_life_batch_g: f64,
    /// Linear shrinkage, per cent.
    pub shrinkage_pct: f64,
    /// Mould temperature for casting, °C.
    pub mould_c: f64,
    /// Time in the oven before demoulding, seconds.
    pub demould_s: f64,
    /// Casts that one block of rubber gives with this resin, lowest and highest usual.
    pub tool_life: (u32, u32),
    /// Hardness of a soft resin, Shore A; 0 for a rigid one.
    #[serde(default)]
    pub shore_a: f64,
    /// Hottest that a cast bears without losing its shape, °C; 0 where it is not stated.
    #[serde(default)]
    pub bears_c: f64,
    /// Where the figures come from.
    pub source: String,
}

impl Resin {
    /// True for a soft one, which is cast over a hard part.
    pub fn is_soft(&self) -> bool {
        self.shore_a > 0.0
    }
}

/// A blade that rubber is cut with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blade {
    /// Our own generic name.
    pub name: String,
    /// Width of the blade, edge to back, millimetres.
    pub width_mm: f64,
    /// How deep it reaches into rubber from its handle, millimetres.
    pub reach_mm: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A board that the box is built from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Our own generic name.
    pub name: String,
    /// Thickness, millimetres.
    pub thickness_mm: f64,
    /// Young's modulus, megapascals.
    pub modulus_mpa: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A rod that a master hangs on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HangRod {
    /// Our own generic name.
    pub name: String,
    /// Young's modulus, megapascals.
    pub modulus_mpa: f64,
    /// What its glued end holds in a straight pull, megapascals.
    pub glue_mpa: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A vacuum chamber or an oven.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vessel {
    /// Our own generic name.
    pub name: String,
    /// Free room inside: width, depth and height, millimetres.
    pub inside_mm: [f64; 3],
    /// Its door: width and height, millimetres. A chamber that opens at the top has its mouth here.
    pub door_mm: [f64; 2],
    /// Height kept free over the block: in a chamber for the resin's cup that is tipped, in an oven for the air,
    /// millimetres.
    pub free_above_mm: f64,
    /// Hottest that it may be set, °C; room temperature for a chamber without heat.
    pub hottest_c: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A way to keep the halves together while casting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Closing {
    /// In words, as on the sheet.
    pub name: String,
    /// Force that it holds across the cut, newtons.
    pub holds_n: f64,
    /// Where the figures come from.
    pub source: String,
}

/// What a rubber of one hardness lets go.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UndercutLine {
    /// Hardness, Shore A.
    pub shore_a: f64,
    /// Stretch or squeeze that it lets go by itself, and with care, per cent.
    pub stretch_pct: [f64; 2],
    /// The same as a depth, millimetres.
    pub depth_mm: [f64; 2],
}

figures! {
    /// Limits of the shop.
    Limits, LimitsChange {
        /// Smallest pocket of air that matters, mm³.
        air_pocket_mm3: f64,
        /// How far from level the block may stand at the bench, degrees.
        lean_deg: f64,
        /// Surface facing up within this of level holds bubbles, degrees.
        near_level_deg: f64,
        /// Near-level ceilings smaller than this are not told; less on a shown surface, mm².
        ceiling_mm2: f64,
        /// How far the closed block may be propped up for casting, degrees.
        prop_deg: f64,
        /// Absolute pressure in the chamber while resin is poured, pascals.
        chamber_pa: f64,
        /// Smallest bubble after let-up that is a fault, diameter in millimetres.
        bubble_mm: f64,
        /// The same on a shown surface.
        bubble_shown_mm: f64,
        /// Thinnest wall that casts well, millimetres.
        thinnest_wall_mm: f64,
        /// Undercuts smaller than this are ignored, mm².
        undercut_mm2: f64,
        /// Undercuts shallower than this let go by themselves, millimetres.
        undercut_depth_mm: f64,
        /// What rubber lets go by hardness, softest first.
        undercut_lines: [UndercutLine; 4],
        /// Shares of the elongation at break that stretch stays under, by itself and with care, 0 to 1.
        stretch_share: [f64; 2],
        /// Length over thickness from which rubber that stands free wants watching, and from which it wants a core.
        slenderness: [f64; 2],
        /// Widest rubber in a hole that is torn rather than cut, millimetres.
        torn_mm: f64,
        /// Islands of the wrong half smaller than this are absorbed, mm².
        island_mm2: f64,
        /// Usual vent diameter, millimetres.
        vent_mm: f64,
        /// Share of the wall under it that a vent may be wide, 0 to 1.
        vent_wall_share: f64,
        /// Diameter of a gate over the wall where it stands on a rim, at most.
        gate_rim_share: f64,
        /// The same where it stands on a face, over the wall under it.
        gate_face_share: f64,
        /// Least rubber between two things in the block, millimetres.
        least_rubber_mm: f64,
        /// Least resin round an insert, millimetres.
        resin_round_insert_mm: f64,
        /// Head of resin from the gate to the cup that drives the fill when none is drawn, millimetres.
        head_mm: f64,
        /// Share of the shot added for what stays in pots and cup, 0 to 1.
        cup_loss_share: f64,
        /// Pool of resin left over every mouth, millimetres.
        pool_mm: f64,
        /// Rubber wall for parts up to 100 mm, up to 300 mm and above, millimetres.
        wall_mm: [f64; 3],
        /// Rubber above the part, millimetres.
        above_mm: f64,
        /// How deep the longest blade cuts, millimetres.
        blade_reach_mm: f64,
        /// Largest bow of a box panel under liquid rubber, millimetres.
        bow_mm: f64,
        /// Free wall over the rubber where the box itself goes into the chamber, as a share of the depth of rubber.
        freeboard_share: f64,
        /// Free wall over the rubber where it was degassed in a pot before, millimetres.
        freeboard_mm: f64,
        /// Heaviest block that one person lifts, kilograms.
        lift_kg: f64,
        /// What rods, glue and closing must hold, over the force that is reckoned.
        holding_safety: f64,
        /// How far the mass ratio of a resin may be off, per cent of the smaller component.
        ratio_pct: f64,
        /// Flash that keeps the halves apart, thinnest and thickest usual, millimetres.
        flash_mm: [f64; 2],
        /// Spread of a cast's size that practice allows: millimetres at least.
        size_spread_mm: f64,
        /// The same for long dimensions, per cent of the length.
        size_spread_pct: f64,
        /// How much smaller than the insert its dummy is made, on each side, so that the rubber grips, millimetres.
        pocket_fit_mm: f64,
        /// Shortest length of an insert in its pocket, millimetres.
        pocket_length_mm: f64,
        /// Thickest section that casts without sink and heat, millimetres.
        thickest_wall_mm: f64,
        /// How near the surfaces of two shots come to count as touching, beside what their facets carry, millimetres.
        shots_touch_mm: f64,
        /// How far apart the surfaces of two shots may be and still be meant to touch, millimetres.
        shots_gap_mm: f64,
        /// Time from demoulding the hard cast to pouring the soft one, least and longest for a bond, seconds.
        shots_wait_s: [f64; 2],
        /// Share of the hard part's shadow that its bare surface must have in every direction to be held in the rubber.
        shots_held_share: f64,
    }
}

figures! {
    /// Habits of the shop that are no limits.
    Habits, HabitsChange {
        /// Casts that one block gives in a working day.
        casts_a_day: u32,
        /// Length of a working day, seconds.
        work_day_s: f64,
        /// Viscosity of a resin at the end of its pot life over that at mixing.
        pot_life_times: f64,
        /// Kelvin by which a resin must be warmer for half the viscosity.
        viscosity_halves_k: f64,
        /// Kelvin by which a resin must be warmer for half the pot life.
        pot_life_halves_k: f64,
        /// Linear thermal expansion of the cured rubber, 1/K.
        rubber_expansion_per_k: f64,
        /// Temperature at which the rubber sets, °C.
        rubber_set_c: f64,
        /// Density of a master where nobody weighed it, g/cm³.
        master_density_g_cm3: f64,
        /// Largest pot that rubber is degassed in, litres.
        pot_litres: f64,
        /// Time to mix one pot of rubber, seconds.
        rubber_mix_s: f64,
        /// Time in the chamber for one pot of rubber, seconds.
        rubber_degas_s: f64,
        /// Rubber that is poured in a thin stream, grams in a second.
        rubber_pour_g_s: f64,
        /// Cup volume over resin volume that degassing needs.
        resin_foam_factor: f64,
        /// Time to mix the resin, seconds.
        resin_mix_s: f64,
        /// Time in the chamber after mixing, seconds.
        resin_degas_s: f64,
        /// Time to pour the resin and see it rise in every vent, seconds.
        resin_fill_s: f64,
        /// Share of the pot life in which the resin shall be where it belongs, 0 to 1.
        pot_life_share: f64,
        /// Thermal diffusivity of the cured rubber, mm²/s.
        rubber_diffusivity_mm2_s: f64,
        /// Share of the step in temperature that may be missing in the middle of a heated block, 0 to 1.
        heated_within: f64,
        /// Time that a block needs back in the oven between two casts, as a share of heating it from cold.
        reheat_share: f64,
        /// Poisson's ratio of the cured rubber.
        rubber_poisson: f64,
        /// Linear thermal expansion of the master, 1/K.
        master_expansion_per_k: f64,
        /// Density of an insert where nobody gave it, g/cm³.
        insert_density_g_cm3: f64,
        /// Friction of rubber on an insert.
        rubber_friction: f64,
        /// Share of the casts that are thrown away, 0 to 1.
        reject_share: f64,
        /// Casts that are made to set the job up, for the whole job.
        set_up_casts: u32,
        /// Working days to finish a master.
        master_days: u32,
        /// Days of rest after the last cast until it has its full strength.
        rest_days: u32,
    }
}
