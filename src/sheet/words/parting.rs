//! The page of the parting.

use crate::study::report::Verdict;

/// Under the views.
pub fn drawn(scale: &str) -> String {
    format!(
        "{scale}. Double line: parting line; dashed double line: shut-off. Feed, vents and inserts are left out here."
    )
}
/// How the halves come apart along a parting line.
pub const CUT: &str = "cut with the blade, wavy beyond the last 5 mm beside the part";
/// No line is known.
pub const NO_LINES: &str = "No parting line is known yet";
/// All parting lines together.
pub const ALL_PARTING: &str = "Parting lines in all";
/// All shut-offs together.
pub const ALL_SHUT_OFFS: &str = "Shut-offs in all";
/// An undercut.
pub const UNDERCUT: &str = "Undercut";
/// What the rubber makes of an undercut.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::LetsGo => "lets go",
        Verdict::WithCare => "lets go with care",
        Verdict::ReliefCut => "wants a relief cut",
        Verdict::LoosePiece => "wants a loose piece",
    }
}
/// A thing with its number.
pub fn numbered(name: &str, number: usize) -> String {
    format!("{name} {number}")
}
/// Things that are not listed.
pub fn more(count: usize) -> String {
    format!("{count} more are not printed; see the bench plan")
}
/// How deep the knife goes.
pub const KNIFE_DEPTH: &str = "Knife, from the wall to the part";
/// The least rubber over or under the cut.
pub const LEAST_RUBBER: &str = "Least rubber over or under the cut";
/// Crests and furrows of the wave.
pub const KEYS: &str = "Keys: crests and furrows of the wave";
/// Tape on the master.
pub const TAPE: &str = "Tape along the parting lines on the master";
/// From least to greatest.
pub fn range(least: &str, greatest: &str) -> String {
    format!("{least} to {greatest}")
}
/// Where the knife's way is drawn.
pub const MARKS: &str =
    "The strip of the templates that wraps the block has the knife's way at full size, with its depth every 10 mm";
