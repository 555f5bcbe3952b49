//! Labels of figures on the first page.

/// Component A of the rubber.
pub const SILICONE_A: &str = "Silicone A";
/// Component B of the rubber.
pub const SILICONE_B: &str = "Silicone B";
/// Component A of the resin.
pub const RESIN_A: &str = "Resin A, each shot";
/// Component B of the resin.
pub const RESIN_B: &str = "Resin B, each shot";
/// Mould temperature.
pub const MOULD: &str = "Mould and oven";
/// Chamber pressure.
pub const CHAMBER: &str = "Chamber, absolute";
/// Box.
pub const BOX: &str = "Box inside, L × W × H";
/// Pot.
pub const POT: &str = "Degassing pot, at least";
/// Rubber pot life.
pub const SILICONE_LIFE: &str = "Silicone pot life, 23 °C";
/// Rubber cure.
pub const CURE: &str = "Silicone cure, 23 °C";
/// Resin pot life.
pub const RESIN_LIFE: &str = "Resin pot life";
/// Time in the oven.
pub const DEMOULD: &str = "Oven before demould";
/// Feed, vents, inserts.
pub const COUNTS: &str = "Gates · vents · inserts";
/// Trapped air.
pub const AIR: &str = "Air that stays, level; leaning";
/// Trimmed part.
pub const PART: &str = "Trimmed cast weighs";
/// The same of all parts that one shot gives.
pub const PARTS: &str = "All parts trimmed weigh";
/// Casts.
pub const CASTS: &str = "Casts wanted · a block gives";
/// Life.
pub const LIFE: &str = "Casts a block gives";
/// Days.
pub const DAYS: &str = "Blocks · working days";
