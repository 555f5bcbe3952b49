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
/// The block of rubber, without the wall that stands free over it.
pub const BLOCK: &str = "Silicone block, L × W × H";
/// Pot: with room for the foam where the rubber is degassed in it.
pub fn pot(degas_in_box: bool) -> &'static str {
    if degas_in_box { "Mixing pot, at least" } else { "Degassing pot, at least" }
}
/// Rubber pot life.
pub const SILICONE_LIFE: &str = "Silicone pot life, 23 °C";
/// Rubber cure.
pub fn cure(celsius: &str) -> String {
    format!("Silicone cure at {celsius}")
}
/// Resin pot life.
pub const RESIN_LIFE: &str = "Resin pot life";
/// Time in the oven.
pub const DEMOULD: &str = "Oven before demould";
/// Feed, vents, inserts.
pub const COUNTS: &str = "Gates · vents · inserts";
/// Trapped air.
pub const AIR: &str = "Air that stays, level; leaning";
/// What leaves the block weighs, with what else is in it than resin; short enough for its box on the first page.
pub fn trimmed(parts: usize, inserts: bool, hard: bool) -> String {
    let (cast, alone) =
        if parts > 1 { ("All trimmed", "All parts trimmed weigh") } else { ("Trimmed cast", "Trimmed cast weighs") };
    match (inserts, hard) {
        (false, false) => alone.to_owned(),
        (true, false) => format!("{cast}, with inserts"),
        (false, true) => format!("{cast}, with hard part"),
        (true, true) => format!("{cast}, with all in it"),
    }
}
/// What is in a cast beside the resin of its shot.
pub fn with(inserts: bool, hard: bool) -> &'static str {
    match (inserts, hard) {
        (false, false) => "",
        (true, false) => ", with inserts",
        (false, true) => ", with the hard part",
        (true, true) => ", with hard part and inserts",
    }
}
/// The resin alone that stays in the trimmed parts of a shot.
pub fn resin_in(parts: usize) -> &'static str {
    if parts > 1 { "Resin in all parts, trimmed" } else { "Resin in the part, trimmed" }
}
/// Casts.
pub const CASTS: &str = "Casts wanted · a block gives";
/// Life.
pub const LIFE: &str = "Casts a block gives";
/// Days.
pub const DAYS: &str = "Blocks · working days";
