//! The page of the parting.

/// Under the views.
pub fn drawn(scale: &str) -> String {
    format!(
        "{scale}. Double line: parting line; dashed double line: shut-off. Feed, vents and inserts are left out here."
    )
}
/// How the halves come apart along a parting line.
pub const CUT: &str = "cut with the blade, wavy beyond the last 5 mm beside the part";
/// Shut-offs that are not all kept apart alike.
pub const SEE_STEPS: &str = "as the bench steps say for each";
/// No line is known.
pub const NO_LINES: &str = "No parting line is known yet";
/// All parting lines together.
pub const ALL_PARTING: &str = "Parting lines in all";
/// All shut-offs together.
pub const ALL_SHUT_OFFS: &str = "Shut-offs in all";
/// An undercut.
pub const UNDERCUT: &str = "Undercut";
/// A thing with its number.
pub fn numbered(name: &str, number: usize) -> String {
    format!("{name} {number}")
}
/// Things that are not listed.
pub fn more(count: usize) -> String {
    format!("{count} more are not printed; see the bench plan")
}
