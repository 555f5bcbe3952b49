//! Issues of the sheet: what each one told, so that the next can say what was changed since.

use serde::{Deserialize, Serialize};

/// Issues that a plan keeps; older ones are of no use at the bench.
pub const KEPT: usize = 3;
/// Decisions that an issue may hold.
pub const MOST_DECISIONS: usize = 5000;

/// One issue of the sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Issue {
    /// Its revision.
    pub revision: u32,
    /// Its date, `YYYY-MM-DD`.
    pub date: String,
    /// What it told, in words: one entry a thing.
    #[serde(default)]
    pub decisions: Vec<Decision>,
}

/// What one thing was, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// The thing, such as a vent by its number.
    pub what: String,
    /// How it was.
    pub how: String,
}
