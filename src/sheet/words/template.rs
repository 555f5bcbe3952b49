//! Templates at full size.

use crate::sheet::figures;

/// The lid.
pub const LID: &str = "Lid";
/// The floor.
pub const FLOOR: &str = "Floor";
/// The front wall.
pub const FRONT: &str = "Front wall";
/// The back wall.
pub const BACK: &str = "Back wall";
/// The left wall.
pub const LEFT: &str = "Left wall";
/// The right wall.
pub const RIGHT: &str = "Right wall";

/// The top of the block.
pub const TOP: &str = "Top";
/// The strip with the knife's way.
pub const KNIFE: &str = "Knife: strip to wrap round the block, seen from outside";
/// The knife's way on the top or the floor.
pub fn knife_on(wall: &str) -> String {
    format!("Knife: {}", wall.to_lowercase())
}
/// What the figures along the knife's way are.
pub const DEPTHS: &str =
    "Figures: how deep the knife goes, mm, rounded down; in brackets as far as the cut from the next wall";
/// One of them.
pub fn depth(figure: &str, to_part: bool) -> String {
    if to_part { figure.into() } else { format!("({figure})") }
}
/// Below a side of the strip.
pub const LOWER_EDGE: &str = "lower edge";
/// Above it.
pub const UPPER_EDGE: &str = "upper edge";
/// An edge of a side of the strip.
pub fn edge_of(side: &str, edge: &str) -> String {
    format!("{side}, {edge}")
}

/// How the lid and the floor are looked at.
pub const FROM_ABOVE: &str = "from above";
/// How the floor of the block is looked at.
pub const FROM_BELOW: &str = "from below";
/// How a wall is looked at.
pub const FROM_OUTSIDE: &str = "from outside the box";

/// A title with how the panel is looked at.
pub fn titled(panel: &str, seen: &str) -> String {
    format!("{panel}, seen {seen}")
}

/// Beside the edge of the lid or the floor that lies at the front wall.
pub const EDGE_FRONT: &str = "front";
/// At the back wall.
pub const EDGE_BACK: &str = "back";
/// At the left wall.
pub const EDGE_LEFT: &str = "left";
/// At the right wall.
pub const EDGE_RIGHT: &str = "right";
/// At the floor.
pub const EDGE_FLOOR: &str = "floor";
/// At the upper edge of a wall.
pub const EDGE_RIM: &str = "rim of the wall";
/// At the line of the silicone's level.
pub fn level(height: &str) -> String {
    format!("silicone up to this line, {height}")
}

/// What the panels' sizes are.
pub fn panel(width: f64, height: f64, thick: f64) -> String {
    format!(
        "Saw along the outline: {} × {} mm, {} thick; the silicone lies within the thin lines",
        figures::bare_mm(width),
        figures::bare_mm(height),
        figures::mm(thick)
    )
}
/// A wall that is as long as the box outside.
pub const OVER_ENDS: &str = "goes over the ends of the two others";
/// A wall that is as long as the box inside.
pub const BETWEEN: &str = "stands between the two others";

/// At which size positions are drawn.
pub fn size(factor: f64) -> String {
    if (factor - 1.0).abs() < 5e-6 {
        "Master at the part's own size".into()
    } else {
        format!("Positions at master size, {:.3} % of the part's", factor * 100.0)
    }
}

/// Name of a tile.
pub fn tile(number: usize, count: usize, row: usize, column: usize) -> String {
    if count == 1 {
        "whole on this sheet".into()
    } else {
        format!("tile {number} of {count}, row {row}, column {column}")
    }
}

/// Where the lid is turned on the paper.
pub const TURNED: &str = "turned a quarter to save paper";

/// How tiles are joined.
pub const JOIN: &str = "Cut one tile along the dash-dot line, lay it on the next so that the crosses meet, and tape it";
/// What to look at before a template is used.
pub const MEASURE: &str = "Print at 100 %, not fitted to the page, and measure the bar before use";
/// Beside a join line.
pub fn joins(number: usize) -> String {
    format!("joins tile {number}")
}

/// Title of the file of templates.
pub fn file_title(job: &str) -> String {
    format!("Templates: {}", super::name_or(job, super::UNNAMED))
}

/// A hole's words where no balloon is drawn.
pub fn hole(kind: crate::sheet::balloons::TagKind, number: u32, diameter_mm: f64) -> String {
    use crate::sheet::balloons::TagKind;
    let kind = match kind {
        TagKind::Gate => "Gate",
        TagKind::Vent => "Vent",
        TagKind::Insert => "Insert",
    };
    format!("{kind} {number} {}", figures::diameter(diameter_mm))
}
/// Unit of the files for a cutter.
pub const UNIT: &str = "1 unit is 1 mm";
/// A template that would take too many sheets.
pub const TOO_LARGE: &str = "Too large for tiles on this paper: use the SVG or DXF file on a cutter, or larger paper";
