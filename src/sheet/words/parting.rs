//! The page of the parting.

use crate::plan::PieceOf;
use crate::study::parting::release::kinds::Verdict;

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
/// Undercuts too shallow to matter.
pub fn shallow(count: usize, limit: &str) -> String {
    let what = if count == 1 { "1 undercut is".to_owned() } else { format!("{count} undercuts are") };
    format!("{what} shallower than {limit} and not printed: rubber lets go of so little by itself")
}
/// A relief cut without a name.
pub const RELIEF_CUT: &str = "Relief cut";
/// A loose piece without a name.
pub const LOOSE_PIECE: &str = "Loose piece";
/// What a loose piece is made of.
pub fn of(of: PieceOf) -> &'static str {
    match of {
        PieceOf::Rubber => "rubber",
        PieceOf::Metal => "metal",
    }
}
/// What a relief cut or a loose piece is there for: undercuts by number, and locked cores.
pub fn serves(undercuts: &[usize], locked: usize) -> String {
    let numbers: Vec<String> = undercuts.iter().map(|u| (u + 1).to_string()).collect();
    let under = match numbers.as_slice() {
        [] => None,
        [one] => Some(format!("undercut {one}")),
        all => Some(format!("undercuts {}", all.join(", "))),
    };
    let cores = match locked {
        0 => None,
        1 => Some("1 locked core".to_owned()),
        n => Some(format!("{n} locked cores")),
    };
    let all: Vec<String> = under.into_iter().chain(cores).collect();
    if all.is_empty() { "nothing".to_owned() } else { all.join(" and ") }
}
/// The way a loose piece leaves: the side of the box, and how far beside it where that is more than a few degrees.
pub fn leaves(side: &str, off_deg: f64) -> String {
    if off_deg < 3.0 { side.to_owned() } else { format!("{side}, {off_deg:.0}° off") }
}
/// A loose piece that has no solid.
pub const NOT_MADE: &str = "cannot be made";
/// Under the loose pieces.
pub const PIECES_NOTE: &str = "Each file is a closed mesh (STL, millimetres) as it sits in the block, with a shoulder by which it is seated in the rubber";
/// Where along its hole a shut-off lies.
pub fn along_hole(how: &str, from_half_1_mm: &str, from_half_2_mm: &str) -> String {
    format!("{how}, {from_half_1_mm} from the mouth towards half 1 and {from_half_2_mm} from the other")
}
/// How deep the knife goes.
pub const KNIFE_DEPTH: &str = "Knife, from the wall to the part";
/// The least rubber over or under the cut.
pub const LEAST_RUBBER: &str = "Least rubber over or under the cut";
/// How far one half reaches over the other.
pub const HOOKS: &str = "The halves hook into each other by";
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
