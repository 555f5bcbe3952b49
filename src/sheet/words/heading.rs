//! Headings of the pages.

/// First page.
pub const GLANCE: &str = "At a glance";
/// Figures that are weighed or set.
pub const SET: &str = "Weigh or set";
/// Other figures.
pub const KEY: &str = "Key figures";
/// The drawing.
pub const HANG: &str = "Hang and box";
/// Tables beside the drawing.
pub const POSITIONS: &str = "Positions and sizes";
/// Rubber.
pub const SILICONE: &str = "Silicone";
/// Resin.
pub const RESIN: &str = "Resin, for each shot";
/// Steps.
pub const STEPS: &str = "Bench steps";
/// Open findings.
pub const FINDINGS: &str = "Findings still open";
/// Cautions.
pub const CAUTIONS: &str = "Cautions";
/// Handing over.
pub const HANDOVER: &str = "Handover";
/// Tally.
pub const TALLY: &str = "Casts from this block";
/// Notes of the plan.
pub const NOTES: &str = "Notes";
/// Sections through the pockets.
pub const INSERTS: &str = "Inserts and their pockets";
/// The parting.
pub const PARTING: &str = "Parting";
/// Lines between the halves.
pub const LINES: &str = "Lines between the halves";
/// What the knife meets.
pub const KNIFE: &str = "Knife and keys";
/// Undercuts.
pub const UNDERCUTS: &str = "Undercuts";
/// Relief cuts.
pub const RELIEF_CUTS: &str = "Relief cuts";
/// Loose pieces and cores.
pub const LOOSE_PIECES: &str = "Loose pieces and cores";
