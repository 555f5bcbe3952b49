//! What a judgement is.

use crate::plan::{Attitude, LoosePiece, PieceOf, ReliefCut, Spot, Unit};
use glam::Vec3;
use serde::Serialize;

/// The steps of the job card, in the order of the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// The mesh and what it is.
    Part,
    /// Which way up.
    Hang,
    /// Where the block opens.
    Parting,
    /// Where resin comes in.
    Feed,
    /// Where air goes out.
    Vents,
    /// What is moulded in.
    Inserts,
    /// The box and the rubber.
    Block,
    /// Resin, shots and days.
    Casting,
    /// The setup sheet.
    Sheet,
}

impl Step {
    /// All steps in order.
    pub const ALL: [Step; 9] = [
        Step::Part,
        Step::Hang,
        Step::Parting,
        Step::Feed,
        Step::Vents,
        Step::Inserts,
        Step::Block,
        Step::Casting,
        Step::Sheet,
    ];

    /// Its name on the job card.
    pub fn name(self) -> &'static str {
        match self {
            Step::Part => "Part",
            Step::Hang => "Hang",
            Step::Parting => "Parting",
            Step::Feed => "Feed",
            Step::Vents => "Vents",
            Step::Inserts => "Inserts",
            Step::Block => "Block",
            Step::Casting => "Casting",
            Step::Sheet => "Sheet",
        }
    }
}

/// A judgement on the facts of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// Stable code, kebab case, the rule's file name.
    pub code: &'static str,
    /// The step of the job card that it belongs to.
    pub step: Step,
    /// What is wrong, with its number and limit.
    pub message: String,
    /// Why it matters at the bench.
    pub why: String,
    /// What to do, in words.
    pub remedy: String,
    /// Where, in `work`.
    pub place: Option<Vec3>,
    /// What the program can do about it itself.
    pub remedies: Vec<Remedy>,
}

/// An edit that the program offers for a finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// Put a new vent here.
    AddVent(Spot),
    /// Move the vent with this number here.
    MoveVent(u32, Spot),
    /// Make the vent with this number so wide, millimetres.
    NarrowVent(u32, f64),
    /// Cut the vent with this number as a groove in the parting face, its mouth here.
    GrooveVent(u32, Spot),
    /// Take this vent out.
    RemoveVent(u32),
    /// Put a gate here.
    AddGate(Spot),
    /// Lead the runner of the gate with this number off the part, and up beside it.
    LeadRound(u32),
    /// Make the gate with this number so wide, millimetres.
    NarrowGate(u32, f64),
    /// Stand the closed block so while resin is poured.
    PropBlock(Attitude),
    /// Make a whole set of vents anew.
    ProposeVents,
    /// Make the gate anew.
    ProposeFeed,
    /// Make the draw anew.
    ProposeDraw,
    /// Lay the parts of the set out anew.
    LayOutSet,
    /// Plan this relief cut.
    AddReliefCut(ReliefCut),
    /// Plan this loose piece.
    AddLoosePiece(LoosePiece),
    /// Let go of the held loop with this place in the plan.
    LetGoOfLoop(usize),
    /// Leave the shut-off of this choice of the plan where it is proposed.
    LeaveShutOff(usize),
    /// Take the pin with this place in the plan out.
    RemovePin(usize),
    /// Take the mark with this place in the plan out.
    RemoveMark(usize),
    /// Seek the line instead of parting by a plane.
    SeekLine,
    /// Read the mesh as inches, or as millimetres again.
    SwitchUnit(usize, Unit),
    /// Take the file of this part, with this digest, as the one that is meant, for every copy of it.
    AcceptMesh(usize, String),
    /// The same of the other shot's part.
    AcceptOtherMesh(String),
    /// Make the master so many times as long as the part.
    ScaleMaster(f64),
}

impl Remedy {
    /// What its button says.
    pub fn label(&self) -> String {
        match self {
            Remedy::AddVent(_) => "Put a vent here".into(),
            Remedy::MoveVent(n, _) => format!("Move vent {n} to the peak"),
            Remedy::NarrowVent(n, mm) => format!("Make vent {n} Ø{mm:.1} mm"),
            Remedy::GrooveVent(n, _) => format!("Cut vent {n} as a groove"),
            Remedy::RemoveVent(n) => format!("Take vent {n} out"),
            Remedy::AddGate(_) => "Put a gate here".into(),
            Remedy::LeadRound(n) => format!("Lead gate {n} round the part"),
            Remedy::NarrowGate(n, mm) => format!("Make gate {n} Ø{mm:.1} mm"),
            Remedy::PropBlock(_) => "Prop the block so".into(),
            Remedy::ProposeVents => "Propose vents".into(),
            Remedy::ProposeFeed => "Propose a gate".into(),
            Remedy::ProposeDraw => "Propose a draw".into(),
            Remedy::LayOutSet => "Lay the set out anew".into(),
            Remedy::AddReliefCut(_) => "Plan a relief cut here".into(),
            Remedy::AddLoosePiece(piece) if piece.of == PieceOf::Metal => "Plan a metal core here".into(),
            Remedy::AddLoosePiece(_) => "Plan a loose piece here".into(),
            Remedy::LetGoOfLoop(i) => format!("Let go of held loop {}", i + 1),
            Remedy::LeaveShutOff(_) => "Leave it where it is proposed".into(),
            Remedy::RemovePin(i) => format!("Take pin {} out", i + 1),
            Remedy::RemoveMark(i) => format!("Take mark {} out", i + 1),
            Remedy::SeekLine => "Seek the line again".into(),
            Remedy::SwitchUnit(_, unit) => format!("Read it in {}", unit.name()),
            Remedy::AcceptMesh(..) | Remedy::AcceptOtherMesh(_) => "Accept the new mesh".into(),
            Remedy::ScaleMaster(f) => format!("Make the master {:.2} %", f * 100.0),
        }
    }
}

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The block must not be poured like this.
    Stop,
    /// It may go wrong; look.
    Warn,
    /// Good to know.
    Note,
}
