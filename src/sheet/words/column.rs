//! Column headings.

/// Name.
pub const THING: &str = "What";
/// A part of a set.
pub const PART: &str = "Part";
/// Length, width and height of a part as it hangs.
pub const PART_SIZE: &str = "Long × wide × high";
/// Rubber to the nearest other part.
pub const NEXT: &str = "To next";
/// From the left wall.
pub const LEFT: &str = "Left wall";
/// From the front wall.
pub const FRONT: &str = "Front wall";
/// Above the floor.
pub const FLOOR: &str = "Floor";
/// Diameter.
pub const DIAMETER: &str = "Ø";
/// Length to cut of a rod, length of what else makes a channel.
pub const LENGTH: &str = "Cut to";
/// How it is made.
pub const HOW: &str = "How it is made";
/// In the pocket.
pub const POCKET: &str = "In pocket";
/// Axis.
pub const AXIS: &str = "Points to";
/// Component.
pub const COMPONENT: &str = "Component";
/// Mass.
pub const MASS: &str = "Weigh";
/// Weighed.
pub const WEIGHED: &str = "Weighed";
/// Batch.
pub const BATCH: &str = "Batch";
/// Value.
pub const VALUE: &str = "Figure";
/// Where.
pub const WHERE: &str = "Left · front · floor";
/// Finding.
pub const FINDING: &str = "Finding and what to do";
/// Severity.
pub const SEVERITY: &str = "Kind";
/// Of the rubber in each pot of a pour; the pour is told where there are several.
pub fn pots(pour: Option<usize>, pots: u32) -> String {
    let each = if pots == 1 { "one pot".to_owned() } else { format!("each of {pots} pots") };
    match pour {
        Some(pour) => format!("Pour {pour}, {each}"),
        None => format!("In {each}"),
    }
}
/// How the halves are kept apart.
pub const HALVES: &str = "How the halves come apart";
/// Area.
pub const AREA: &str = "Area";
/// Depth.
pub const DEPTH: &str = "Depth";
/// Along the draw.
pub const ALONG_DRAW: &str = "Along the draw";
/// What a relief cut or a loose piece is there for.
pub const FOR: &str = "For";
/// Made of.
pub const OF: &str = "Of";
/// Diameter and length.
pub const SIZE: &str = "Ø × long";
/// The way a loose piece leaves.
pub const LEAVES: &str = "Leaves towards";
/// Name of a file.
pub const FILE: &str = "File";
/// What the rubber makes of an undercut.
pub const RUBBER: &str = "The rubber";
