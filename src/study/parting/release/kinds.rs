//! How rubber gets past what catches it, what becomes of an undercut, and what a piece of the rubber itself is.

use serde::Serialize;

/// How rubber gets past an undercut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UndercutKind {
    /// A ring outside the part that stretches over a head.
    Collar,
    /// Rubber inside the part that is squeezed through a neck.
    Core,
    /// Rubber that bends or moves out one way.
    Tongue,
}

/// What becomes of an undercut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The rubber lets go by itself.
    LetsGo,
    /// It lets go, but each time tires it.
    WithCare,
    /// It wants a further cut.
    ReliefCut,
    /// It wants a piece that comes out with the part.
    LoosePiece,
}

/// What a piece of rubber that stands into the part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RubberKind {
    /// It fills a hole up to the other half.
    Plug,
    /// It fills a blind hole.
    Core,
    /// It is wider than thick and fills a slot.
    Tongue,
}
