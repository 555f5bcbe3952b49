//! The page of inserts.

/// What the sections show.
pub const HOW_TO_READ: &str = "Sections through the axis of each insert, which points up out of the part into its pocket. Hatched is resin, bare \
    with a heavy outline the insert, white beside it rubber.";

/// Length in the pocket and how that is made.
pub fn in_pocket(length: &str, how: &str) -> String {
    format!("{length} in its pocket: {how}")
}

/// Where its axis points.
pub fn points_to(side: &str) -> String {
    format!("pocket towards the {side}")
}

/// Where it stands.
pub fn at(place: &str) -> String {
    format!("left wall · front wall · floor: {place}")
}

/// In which half.
pub fn sits_in(half: &str) -> String {
    format!("loaded into {half}")
}

/// An insert that stays in the cast.
pub const STAYS: &str = "stays in the cast";
/// One that does not.
pub const PULLED: &str = "pulled from the cast after demoulding";

/// Inserts that are not drawn.
pub fn more(count: usize) -> String {
    format!("{count} more inserts are not drawn; see the table of positions")
}

/// The gap that resin runs through to get past it.
pub fn past_it(gap: &str, length: &str, reach: Option<String>) -> String {
    let reach = reach.map_or(String::new(), |r| format!("; this resin reaches {r}"));
    format!("resin runs past it in a gap of {gap} over {length}{reach}")
}
