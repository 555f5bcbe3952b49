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
/// Rod length.
pub const LENGTH: &str = "Long";
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
/// All of the rubber in one pot.
pub const ONE_POT: &str = "In one pot";
/// Half of it.
pub const TWO_POTS: &str = "Each of two";
/// A third of it.
pub const THREE_POTS: &str = "Each of three";
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
