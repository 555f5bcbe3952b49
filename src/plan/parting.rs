//! Where the block opens: draw, hand work on the line, shut-offs, relief cuts and loose pieces.

use super::{Half, Spot};
use glam::DVec3;
use serde::{Deserialize, Serialize};

/// A point that the parting line must pass through.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pin {
    /// Where.
    pub at: Spot,
}

/// A stretch of surface that a person gave to one half.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HalfMark {
    /// Which half.
    pub half: Half,
    /// Points of the stroke.
    pub stroke: Vec<Spot>,
    /// Radius of the stroke: half its width, millimetres.
    pub radius_mm: f64,
}

/// A loop that is kept through every recompute.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeldLoop {
    /// Points along the loop, in order, half 1 on the left seen from outside; it closes from the last to the first.
    pub points: Vec<Spot>,
}

/// How the halves are kept apart across a through-hole.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Separation {
    /// The hole is taped on the master, so that rubber meets the tape.
    #[default]
    Taped,
    /// The rubber in the hole is cut with the blade.
    Cut,
    /// The rubber in the hole is torn.
    Torn,
    /// The hole is filled in the master and drilled in each cast.
    FilledAndDrilled,
}

/// What was decided about one shut-off.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ShutOffChoice {
    /// A point near the shut-off's loop, in `part`.
    pub near: Spot,
    /// How the halves are kept apart.
    pub separation: Separation,
    /// Where it was moved to along its hole: points round the hole that its loop follows; empty where it was not moved.
    #[serde(default)]
    pub held: Vec<Spot>,
    /// How far along its hole that is from where it was proposed, millimetres towards half 1.
    #[serde(default)]
    pub moved_mm: f64,
}

/// A further cut that lets an undercut go.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReliefCut {
    /// Name on card and sheet.
    pub name: String,
    /// Points along the cut on the part's surface.
    pub points: Vec<Spot>,
    /// Depth into the rubber, millimetres.
    pub depth_mm: f64,
}

/// What a loose piece is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum PieceOf {
    /// Rubber, cut free from the block.
    #[default]
    Rubber,
    /// Metal: a core that is drawn out of the cast.
    Metal,
}

/// A piece of rubber or metal that comes out with the part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoosePiece {
    /// Name on card and sheet.
    pub name: String,
    /// Where it sits.
    pub at: Spot,
    /// Direction in which it leaves the part, in `set`.
    pub leaves_along: DVec3,
    /// Its extent round the spot, millimetres.
    pub radius_mm: f64,
    /// What it is made of.
    #[serde(default)]
    pub of: PieceOf,
}

/// The parting as a person wants it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Parting {
    /// W, the direction in which half 1 lifts off; a unit vector in `set`.
    pub draw: DVec3,
    /// The simplest parting: the plane square to the draw at this height along it, from the origin of `set`,
    /// millimetres; none where the line is sought.
    #[serde(default)]
    pub plane_mm: Option<f64>,
    /// Points that the line must pass through.
    #[serde(default)]
    pub pins: Vec<Pin>,
    /// Faces given to a half by hand.
    #[serde(default)]
    pub marks: Vec<HalfMark>,
    /// Loops kept as they are.
    #[serde(default)]
    pub held_loops: Vec<HeldLoop>,
    /// Decisions about shut-offs.
    #[serde(default)]
    pub shut_offs: Vec<ShutOffChoice>,
    /// Relief cuts.
    #[serde(default)]
    pub relief_cuts: Vec<ReliefCut>,
    /// Loose pieces.
    #[serde(default)]
    pub loose_pieces: Vec<LoosePiece>,
}

impl Default for Parting {
    fn default() -> Parting {
        Parting {
            draw: DVec3::Y,
            plane_mm: None,
            pins: Vec::new(),
            marks: Vec::new(),
            held_loops: Vec::new(),
            shut_offs: Vec::new(),
            relief_cuts: Vec::new(),
            loose_pieces: Vec::new(),
        }
    }
}
