//! Sizes and calendar.

/// Heading of the sizes.
pub const SIZES: &str = "Sizes before and after";
/// Heading of the calendar.
pub const CALENDAR: &str = "Calendar";
/// Columns of the sizes.
pub const SIZE_COLUMNS: [&str; 6] = ["Dimension", "Wanted", "Master", "Cast", "Least to most", "Measured"];
/// Columns of the calendar.
pub const CALENDAR_COLUMNS: [&str; 3] = ["Day", "What", "Done"];
/// What the sizes rest on.
pub fn assumed(assumption: &str, factor: &str) -> String {
    format!(
        "Reckoned where {assumption}; a measured cast counts for more. A master of {factor} of the part's size cancels it."
    )
}
/// A dimension without a name.
pub const UNNAMED: &str = "Dimension";
/// A length that carries flash.
pub fn with_flash(name: &str) -> String {
    format!("{name}, across the cut")
}
/// A range.
pub fn from_to(low: &str, high: &str) -> String {
    format!("{low} to {high}")
}
/// A day without a date.
pub fn day(number: u32) -> String {
    format!("Day {number}")
}
/// How many casts and what holds them up.
pub fn casts(to_make: u32, a_day: u32, working: u32, held_up: &str) -> String {
    format!("{to_make} casts to make, {a_day} a day from one block, {working} working days; held up by {held_up}")
}
/// Heating through.
pub fn preheat(cold: &str, again: &str) -> String {
    format!("From cold {cold}, between two casts {again}; longer in still air")
}
