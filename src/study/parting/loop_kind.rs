//! What a loop between the halves is.

use serde::Serialize;

/// Kind of a loop between the halves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LoopKind {
    /// The parting line of a body.
    Parting,
    /// Round a through-hole.
    ShutOff,
    /// Round an island.
    Island,
}
