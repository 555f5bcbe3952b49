//! What was changed since the last issue.

/// A part by its place in the plan.
pub fn part(number: usize) -> String {
    format!("Part {number}")
}
/// How it hangs.
pub const HANG: &str = "Hang";
/// How the closed block stands.
pub const CAST: &str = "Stands for casting";
/// The draw.
pub const DRAW: &str = "Draw";
/// The block of rubber.
pub const BLOCK: &str = "Silicone block";
/// What the block was called in issues of before.
pub const BLOCK_BEFORE: &str = "Box";
/// Size of the master.
pub const MASTER: &str = "Master";
/// The rods that hold it and leave nothing.
pub const RODS: &str = "Holding rods";
/// The cup.
pub const CUP: &str = "Cup";
/// Through-holes.
pub const HOLES: &str = "Through-holes";
/// Pots, pours, degassing and cure.
pub const POURS: &str = "Pours and cure";
/// Notes.
pub const NOTES: &str = "Notes";
/// The rubber.
pub const SILICONE: &str = "Silicone";
/// The resin.
pub const RESIN: &str = "Resin";
/// How many casts.
pub const QUANTITY: &str = "Casts wanted";

/// Up in the part's own axes.
pub fn up(direction: &str) -> String {
    format!("up is {direction} in the part's axes")
}
/// Up in the box's axes.
pub fn up_of_box(direction: &str) -> String {
    format!("up is {direction} in the box")
}
/// Where half 1 lifts off to.
pub fn towards(side: &str) -> String {
    format!("half 1 lifts off towards the {side}")
}
/// A material with what is weighed of it.
pub fn weights(name: &str, a: &str, b: &str) -> String {
    format!("{}, A {a}, B {b}", super::name_or(name, "–"))
}

/// A shown surface.
pub fn shown(name: &str) -> String {
    format!("Shown surface {name}")
}
/// A relief cut.
pub fn relief_cut(name: &str) -> String {
    format!("Relief cut {name}")
}
/// A loose piece.
pub fn loose_piece(name: &str) -> String {
    format!("Loose piece {name}")
}
/// Rods of one diameter.
pub fn rods(count: u32, diameter: &str) -> String {
    format!("{count} of {diameter} mm")
}
/// A cup.
pub fn cup(diameter: &str, height: &str) -> String {
    format!("{diameter} × {height}")
}
/// Where the rubber is degassed, how often, and how it cures.
pub fn pours(pots: &str, in_box: bool, cure: &str, celsius: &str) -> String {
    let degassed = if in_box { "in the box" } else { "in the pot" };
    format!("pots {pots}, degassed {degassed}, cure {cure} at {celsius}")
}

/// Something that was not there before.
pub fn new(what: &str, how: &str) -> String {
    format!("{what} is new: {how}")
}
/// Something that is otherwise now.
pub fn other(what: &str, before: &str, now: &str) -> String {
    format!("{what}: now {now}; before {before}")
}
/// Something that is gone.
pub fn gone(what: &str) -> String {
    format!("{what} was left out")
}

/// Above the list.
pub fn since(revision: u32, date: &str) -> String {
    let date = date.trim();
    let of = if date.is_empty() { String::new() } else { format!(" of {}", super::short(date, 20)) };
    format!("Changed since revision {revision}{of}")
}
/// The revision of a plan that is no longer the one that was issued, for the head of every page.
pub fn in_head(revision: u32) -> String {
    format!("Changed since revision {revision}")
}
/// The same in the field of the revision.
pub fn in_field(revision: u32) -> String {
    format!("{revision}, changed")
}
/// A change that no line tells.
pub const UNLISTED: &str = "Something of the plan that this list does not name";
/// The first issue.
pub const FIRST: &str = "No earlier issue is on record in the plan";
/// An issue that tells the same.
pub const NOTHING: &str = "Nothing that is printed here";
/// Changes that are not listed.
pub fn more(count: usize) -> String {
    format!("and {count} more")
}

/// Which of the loose bodies of its file a part is.
pub fn bodies(in_file: usize, of: &str) -> String {
    match of {
        "one" => format!("one of {in_file} bodies"),
        "all" => format!("{in_file} bodies as one part"),
        _ => format!("{in_file} bodies, not said what they are"),
    }
}
