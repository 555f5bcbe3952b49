//! What the toolmaker decides: the document, its file, edits and undo history.
//!
//! A [`Plan`] holds what a person decided and nothing that can be computed. It is small, plain, compared with `==` and
//! undone by snapshot. Meshes are named by path and digest; they live in `study::bench`.
//!
//! Frames: `part` = the mesh's own coordinates in millimetres (after the unit factor), in double precision; `set` = the
//! common frame of all parts of the plan, reached from each `part` by its [`Pose`]. Directions of hang and draw are in
//! `set`. A point a person put on a surface is a [`Spot`] in `part`, never a triangle index, so that it survives a
//! re-export of the mesh.

pub mod bodies;
pub mod casting;
pub mod channels;
pub mod faults;
pub mod file;
pub mod hang;
pub mod history;
pub mod inserts;
pub mod issue;
pub mod master;
pub mod parting;
pub mod parts;
pub mod second_shot;
pub mod set;
pub mod stamp;
pub mod swap;

pub use bodies::Bodies;
pub use casting::{Along, BlockPlan, CastEntry, Diary, Dimension, Held, MaterialsUsed, Quantity};
pub use channels::{Cup, Feed, Gate, GateKind, Made, Vent, usual_land_mm};
pub use hang::{Attitude, Hang, HangWeights};
pub use inserts::{Insert, InsertKind, PocketMade, Threads};
pub use issue::{Decision, Issue};
pub use master::{Master, MasterCore, MasterMaterial};
pub use parting::{HalfMark, HeldLoop, LoosePiece, Parting, PieceOf, Pin, ReliefCut, Separation, ShutOffChoice};
pub use parts::{Part, Pose, Scale, ShownSurface, Spot, Unit};
pub use second_shot::{SecondShot, Shot, SoftCavity};
pub use set::Kind;

use crate::shop::{HangRod, Panel, Resin, Shop, Silicone};
use serde::{Deserialize, Serialize};

/// One of the two halves of the block. Half 1 lifts off along +W, the draw direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Half {
    /// The half that lifts off along +W.
    One,
    /// The half that lifts off along −W.
    Two,
}

impl Half {
    /// The half across the cut.
    pub fn other(self) -> Half {
        match self {
            Half::One => Half::Two,
            Half::Two => Half::One,
        }
    }
}

/// How far the job has come; what is fixed at a stage can no longer be advised on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Stage {
    /// Everything can still be changed.
    #[default]
    Planned,
    /// The rubber is poured: hang, block, rods and inserts' dummies are fixed.
    Poured,
    /// The block is cut: the parting is fixed too.
    Cut,
    /// Casts are being made.
    Casting,
}

/// A step back to an earlier stage: what was fixed was opened again, for a reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unlocking {
    /// The stage left.
    pub from: Stage,
    /// The stage gone back to.
    pub to: Stage,
    /// Why.
    pub reason: String,
}

/// A whole bench plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Job name, as on the card and on the sheet.
    pub name: String,
    /// Revision number, counted up each time a changed plan is issued as a sheet.
    #[serde(default)]
    pub revision: u32,
    /// Date of that revision, `YYYY-MM-DD`; empty before the first issue. The sheet prints this and no other date.
    #[serde(default)]
    pub revision_date: String,
    /// How far the job has come.
    #[serde(default)]
    pub stage: Stage,
    /// Times that a person went back to an earlier stage, and why.
    #[serde(default)]
    pub unlocked: Vec<Unlocking>,
    /// The parts cast from this block.
    pub parts: Vec<Part>,
    /// Which way up the master hangs and the closed block stands.
    #[serde(default)]
    pub hang: Hang,
    /// The master and what holds it.
    #[serde(default)]
    pub master: Master,
    /// Where the block opens.
    #[serde(default)]
    pub parting: Parting,
    /// Where resin comes in.
    #[serde(default)]
    pub feed: Feed,
    /// Where air goes out.
    #[serde(default)]
    pub vents: Vec<Vent>,
    /// What is moulded in.
    #[serde(default)]
    pub inserts: Vec<Insert>,
    /// The other part of a two-shot job.
    #[serde(default)]
    pub second_shot: Option<SecondShot>,
    /// Surfaces that are shown on the finished part.
    #[serde(default)]
    pub shown: Vec<ShownSurface>,
    /// The box and the block of rubber.
    #[serde(default)]
    pub block: BlockPlan,
    /// Materials by name, with the figures that they had when the plan was made.
    #[serde(default)]
    pub materials: MaterialsUsed,
    /// How many casts are wanted.
    #[serde(default)]
    pub quantity: Quantity,
    /// Dimensions that somebody cares for.
    #[serde(default)]
    pub dimensions: Vec<Dimension>,
    /// When work is done.
    #[serde(default)]
    pub diary: Diary,
    /// Casts made so far.
    #[serde(default)]
    pub log: Vec<CastEntry>,
    /// The last issues of the sheet, oldest first.
    #[serde(default)]
    pub issues: Vec<Issue>,
    /// Free notes; printed on the sheet.
    #[serde(default)]
    pub notes: String,
}

impl Plan {
    /// The lowest number from 1 that no gate carries.
    pub fn free_gate_number(&self) -> u32 {
        free_number(self.feed.gates.iter().map(|g| g.number))
    }

    /// The lowest number from 1 that no vent carries.
    pub fn free_vent_number(&self) -> u32 {
        free_number(self.vents.iter().map(|v| v.number))
    }

    /// A vent at `at`, to be pulled as a rod: as wide as the last one, or `usual_mm` where it is the first.
    pub fn next_vent(&self, at: Spot, usual_mm: f64) -> Vent {
        let diameter_mm = self.vents.last().map_or(usual_mm, |v| v.diameter_mm);
        Vent { number: self.free_vent_number(), name: String::new(), at, diameter_mm, made: Made::RodPulled }
    }

    /// The lowest number from 1 that no insert carries.
    pub fn free_insert_number(&self) -> u32 {
        free_number(self.inserts.iter().map(|i| i.number))
    }
}

impl Plan {
    /// Every mesh file that the plan names, as it names them.
    pub fn mesh_names(&self) -> Vec<&str> {
        let inserts = self.inserts.iter().filter_map(|i| match &i.kind {
            InsertKind::Mesh { mesh } => Some(mesh.as_str()),
            _ => None,
        });
        let other = self.second_shot.iter().map(|s| s.mesh.as_str());
        self.parts.iter().map(|p| p.mesh.as_str()).chain(inserts).chain(other).collect()
    }
}

fn free_number(taken: impl Iterator<Item = u32> + Clone) -> u32 {
    (1..).find(|n| !taken.clone().any(|t| t == *n)).unwrap_or(u32::MAX)
}

impl Plan {
    /// The moulding rubber of the plan, else the shop's first.
    pub fn silicone<'a>(&'a self, shop: &'a Shop) -> &'a Silicone {
        self.materials.silicone.as_ref().unwrap_or_else(|| &shop.silicones[0])
    }

    /// The casting resin of the plan, else the shop's first.
    pub fn resin<'a>(&'a self, shop: &'a Shop) -> &'a Resin {
        self.materials.resin.as_ref().unwrap_or_else(|| &shop.resins[0])
    }

    /// The board of the box, else the shop's first.
    pub fn panel<'a>(&'a self, shop: &'a Shop) -> &'a Panel {
        self.materials.panel.as_ref().unwrap_or_else(|| &shop.panels[0])
    }

    /// The rods that the master hangs on, else the shop's first.
    pub fn rod<'a>(&'a self, shop: &'a Shop) -> &'a HangRod {
        self.materials.rod.as_ref().unwrap_or_else(|| &shop.rods[0])
    }

    /// Takes the shop's materials down for good where the plan names none yet, so that it stays true when the shop's
    /// change.
    pub fn keep_materials(&mut self, shop: &Shop) {
        let (silicone, resin) = (self.silicone(shop).clone(), self.resin(shop).clone());
        let (panel, rod) = (self.panel(shop).clone(), self.rod(shop).clone());
        let kept = &mut self.materials;
        kept.silicone.get_or_insert(silicone);
        kept.resin.get_or_insert(resin);
        kept.panel.get_or_insert(panel);
        kept.rod.get_or_insert(rod);
        if let Some(second) = &mut self.second_shot {
            let resin = second.resin(shop).clone();
            second.resin.get_or_insert(resin);
        }
    }

    /// Length of the master over that of the mesh: that of the first part, since one block has one master scale.
    pub fn master_factor(&self) -> f64 {
        match self.parts.first().map(|p| p.scale) {
            Some(Scale::Nominal { master_factor }) => master_factor,
            _ => 1.0,
        }
    }

    /// Length of the master over that of the wanted part, whichever of the two the mesh is.
    pub fn master_over_part(&self) -> f64 {
        match self.parts.first().map(|p| p.scale) {
            Some(Scale::Nominal { master_factor: f } | Scale::Master { factor: f }) => f,
            None => 1.0,
        }
    }
}
