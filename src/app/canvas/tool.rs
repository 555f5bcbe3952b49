//! What a click or a stroke on the part does, and what came of one.

use super::grab::Grab;
use crate::app::thing::Thing;
use crate::plan::{Half, Spot};
use crate::view::palette::{self, Colour};
use glam::{DQuat, Vec3};

/// What a click or a drag on the part does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// Only looks: a click chooses what is there.
    #[default]
    Look,
    /// A drag turns the part in the block.
    Turn,
    /// A click makes the face the lowest.
    FaceDown,
    /// A click makes the face the highest.
    FaceUp,
    /// A click puts a pin for the parting line.
    Pin,
    /// A stroke gives faces to a half.
    Mark(Half),
    /// A stroke marks what shows on the finished part.
    Shown,
    /// A stroke lays a relief cut.
    ReliefCut,
    /// A click puts a loose piece.
    LoosePiece,
    /// A click puts a gate.
    Gate,
    /// A click puts a vent.
    Vent,
    /// A click puts an insert.
    Insert,
    /// A click says where a cast came out wrong.
    Fault,
}

impl Tool {
    /// What its button says.
    pub fn label(self) -> &'static str {
        match self {
            Tool::Look => "Look",
            Tool::Turn => "Turn",
            Tool::FaceDown => "Face to the floor",
            Tool::FaceUp => "Face to the top",
            Tool::Pin => "Pin the line",
            Tool::Mark(Half::One) => "Give to half 1",
            Tool::Mark(Half::Two) => "Give to half 2",
            Tool::Shown => "Mark shown surface",
            Tool::ReliefCut => "Lay a relief cut",
            Tool::LoosePiece => "Put a loose piece",
            Tool::Gate => "Place gates",
            Tool::Vent => "Place vents",
            Tool::Insert => "Place inserts",
            Tool::Fault => "Point at the fault",
        }
    }

    /// What it does, in one line.
    pub fn tooltip(self) -> &'static str {
        match self {
            Tool::Look => "Click a tag to choose it, drag empty space to look round",
            Tool::Turn => "Drag the part to turn it in the block; the block stays upright",
            Tool::FaceDown => "Click a face to stand the part on it",
            Tool::FaceUp => "Click a face to bring it to the top",
            Tool::Pin => "Click where the parting line must pass",
            Tool::Mark(_) => "Stroke over faces to give them to this half by hand",
            Tool::Shown => "Stroke over what shows on the finished part; no line, gate or vent should mark it",
            Tool::ReliefCut => "Stroke along the part where the rubber shall be slit",
            Tool::LoosePiece => "Click where the piece sits; it leaves square to the surface there",
            Tool::Gate => "Click the part where resin shall come in",
            Tool::Vent => "Click the part where air shall go out",
            Tool::Insert => "Click the part where the insert stands",
            Tool::Fault => "Click the part where the cast is wrong",
        }
    }

    /// What stands under the cursor before a click.
    pub fn promise(self) -> Option<&'static str> {
        match self {
            Tool::Look | Tool::Turn => None,
            Tool::FaceDown => Some("Stand on this face"),
            Tool::FaceUp => Some("This face to the top"),
            Tool::Pin => Some("Pin the line here"),
            Tool::Mark(Half::One) => Some("Give to half 1"),
            Tool::Mark(Half::Two) => Some("Give to half 2"),
            Tool::Shown => Some("Mark as shown"),
            Tool::ReliefCut => Some("Slit the rubber along here"),
            Tool::LoosePiece => Some("Put a loose piece here"),
            Tool::Gate => Some("Put a gate here"),
            Tool::Vent => Some("Put a vent here"),
            Tool::Insert => Some("Put the insert here"),
            Tool::Fault => Some("It is wrong here"),
        }
    }

    /// What is said of a click that hit nothing of the part.
    pub fn missed(self) -> Option<&'static str> {
        match self {
            Tool::Look | Tool::Turn => None,
            Tool::FaceDown | Tool::FaceUp => Some("Nothing hit: click a face of the part"),
            Tool::Pin => Some("Nothing hit: click the part where the line must pass"),
            Tool::Mark(_) | Tool::Shown | Tool::ReliefCut => Some("Nothing hit: stroke over the part"),
            Tool::LoosePiece => Some("Nothing hit: click the part where the piece sits"),
            Tool::Gate => Some("Nothing hit: click the part where resin shall come in"),
            Tool::Vent => Some("Nothing hit: click the part where air shall go out"),
            Tool::Insert => Some("Nothing hit: click the part where the insert stands"),
            Tool::Fault => Some("Nothing hit: click the part where the cast is wrong"),
        }
    }

    /// The colour that it leaves.
    pub fn colour(self) -> Colour {
        match self {
            Tool::Mark(Half::One) => palette::HALF_1,
            Tool::Mark(Half::Two) => palette::HALF_2,
            Tool::Shown => palette::BLUE,
            Tool::ReliefCut | Tool::Fault => palette::VERMILION,
            Tool::LoosePiece => palette::BLUE,
            Tool::Gate => palette::FEED,
            Tool::Vent => palette::VENT,
            Tool::Insert => palette::INSERT,
            _ => palette::LINE_DARK,
        }
    }

    /// True where it works by strokes.
    pub fn strokes(self) -> bool {
        matches!(self, Tool::Mark(_) | Tool::Shown | Tool::ReliefCut)
    }

    /// True where it puts a thing by a click.
    pub fn places(self) -> bool {
        matches!(self, Tool::Pin | Tool::LoosePiece | Tool::Gate | Tool::Vent | Tool::Insert | Tool::Fault)
    }
}

/// What a person did in the view.
#[derive(Clone, Debug, PartialEq)]
pub enum Gesture {
    /// Clicked the part with a placing tool.
    Place(Tool, Spot),
    /// Clicked a face, whose outward normal in `work` is given.
    Face(Tool, Vec3),
    /// Clicked beside the part with a tool that works on it.
    Missed,
    /// Chose a thing, or nothing.
    Choose(Option<Thing>),
    /// Moved a thing along the surface; the drag still goes on.
    Move(Thing, Spot),
    /// Let go of the thing.
    Dropped,
    /// Took hold of the parting line, or of one of its pins, by its place in the plan.
    GrabLine(Grab, Option<usize>),
    /// Led the line to a place of the surface, in `work`; free of creases where the key for that is held.
    LeadLine {
        /// Where.
        hand: Vec3,
        /// Free of creases.
        free: bool,
    },
    /// Let go of the line.
    LetGoOfLine,
    /// Drew a stroke.
    Stroke(Tool, Vec<Spot>),
    /// Turned the part by this much, in the upright frame; the drag still goes on.
    Turn(DQuat),
}
