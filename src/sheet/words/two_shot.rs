//! A hard part and a soft part over it.

use crate::plan::{Shot, SoftCavity};

/// Heading.
pub const TWO_SHOTS: &str = "Both shots";
/// Columns of what is weighed.
pub const COLUMNS: [&str; 3] = ["", "Hard part, first", "Soft part, over it"];
/// Rows of what is weighed.
pub const RESIN: &str = "Resin";
/// What of the resin stays in the trimmed part.
pub const PART: &str = "Resin in the part, trimmed";
/// Feed, vents and pools.
pub const CHANNELS: &str = "Feed, vents and pools";
/// The mix.
pub const MIX: &str = "To mix for one shot";
/// Component A.
pub const A: &str = "Component A";
/// Component B.
pub const B: &str = "Component B";
/// Cup.
pub const CUP: &str = "Cup, at least";
/// Shots.
pub const CASTS: &str = "Shots to make";
/// Days.
pub const DAYS: &str = "Cast on";
/// Which of both is made here.
pub fn made_here(shot: Shot) -> String {
    format!("This sheet is that of the {} part's block; the other column belongs to the other block", shot.name())
}
/// Channels that were taken over.
pub fn taken_over(volume: &str) -> String {
    format!("{volume}, taken over from this block")
}
/// Days from and to.
pub fn cast_on([first, last]: [u32; 2]) -> String {
    match (first, last) {
        (0, _) => "–".to_owned(),
        (a, b) if a == b => format!("day {a}"),
        (a, b) => format!("day {a} to day {b}"),
    }
}
/// The contact.
pub fn contact(area: &str, bare: &str, tolerance: &str) -> String {
    format!(
        "Contact area {area}, where both bond; {bare} of the hard part stay bare. Up to {tolerance} apart counts as touching."
    )
}
/// The parts together.
pub fn together(mass: &str) -> String {
    format!("Hard and soft part together weigh {mass}")
}
/// The time between the shots.
pub fn wait(wait: &str, least: &str, longest: &str) -> String {
    format!("From demoulding the hard cast to pouring the soft one {wait}; at least {least}, at most {longest}")
}
/// What is held.
pub fn held(way: &str, share: &str, needed: &str) -> String {
    format!(
        "The hard cast is held least against a shift {way}: rubber stands in front of {share} of its shadow, {needed} are wanted"
    )
}
/// An overlap.
pub fn overlap(volume: &str, depth: &str) -> String {
    format!("The parts overlap by {volume}, {depth} deep: see the findings")
}
/// A gap.
pub fn gap(area: &str, from: &str, to: &str) -> String {
    format!("The parts gape over {area}, {from} to {to} wide: see the findings")
}
/// What was decided, for the changes since the last issue.
pub const CHANGED: &str = "Other shot";
/// Its words.
pub fn decided(name: &str, makes: Shot, cavity: SoftCavity, contact: &str) -> String {
    let how = match cavity {
        SoftCavity::OwnTool => "a tool of its own",
        SoftCavity::RoundFirstCast => "poured round the first hard cast",
    };
    format!("{name}; this block makes the {} part, {how}; contact area {contact}", makes.name())
}

/// Master of the hard part.
pub fn both_masters(hard: &str) -> String {
    format!("Make a master of {hard} too, to the same scale, and set both together as one")
}
/// Its detail.
pub const BOTH_MASTERS: &str =
    "Glue them thinly on the contact area. Fill the seam flush, so that no rubber creeps between them.";
/// The first cast as master.
pub const FIRST_CAST: &str = "Set the soft part's master on the first hard cast";
/// Its detail.
pub const FIRST_CAST_DETAIL: &str =
    "Post-cure the cast and try the rubber on a waste one first. Seal the seam, so that no rubber creeps between them.";
/// After the cut.
pub const KEEP_FIRST: &str = "Keep the first hard cast for fitting: every other must go in as it did";
/// Release before loading.
pub const RELEASE_FIRST: &str = "Release the block, if at all, before a hard cast is near it";
/// Load.
pub const LOAD_HARD: &str = "Load a hard cast";
/// Its detail.
pub fn load_detail(area: &str, least: &str, longest: &str) -> String {
    format!(
        "Demoulded at least {least} and at most {longest} ago. Contact area {area} clean and dry. Press it home until its bare surface touches the rubber everywhere."
    )
}
/// Over the contact area of a cast of the hard block.
pub fn keep_clean(area: &str) -> String {
    format!("Keep the contact area of the cast, {area}, free of release agent, wax and finger marks")
}
/// Its detail.
pub fn cast_over(least: &str, longest: &str) -> String {
    format!("Write the time on it: it is cast over at least {least} and at most {longest} from now")
}
