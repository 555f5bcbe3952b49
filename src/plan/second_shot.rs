//! The other part of a two-shot job: a hard part, and a soft one that is cast over it.
//!
//! A plan is that of one block, which makes one of the two. The other part is named here, in the common `set` frame, so that
//! both can be compared and the days of both reckoned.

use super::{Plan, Pose, Unit};
use crate::shop::{Resin, Shop};
use serde::{Deserialize, Serialize};

/// One of the two shots.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shot {
    /// The hard part, which is cast first.
    Hard,
    /// The soft part over it.
    #[default]
    Soft,
}

impl Shot {
    /// The other one.
    pub fn other(self) -> Shot {
        match self {
            Shot::Hard => Shot::Soft,
            Shot::Soft => Shot::Hard,
        }
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Shot::Hard => "hard",
            Shot::Soft => "soft",
        }
    }
}

/// How the soft part's cavity comes to be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SoftCavity {
    /// A block of its own, poured round a master of both parts; every hard cast is loaded into it.
    #[default]
    OwnTool,
    /// The block is poured round the first hard cast with the soft part's master on it.
    RoundFirstCast,
}

/// The other shot.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SecondShot {
    /// Name of the other part on card and sheet.
    pub name: String,
    /// Its mesh file; a relative path is looked up beside the plan file.
    pub mesh: String,
    /// SHA-256 of the mesh file in hexadecimal; empty until it was first read.
    #[serde(default)]
    pub digest: String,
    /// Unit of the file.
    #[serde(default)]
    pub unit: Unit,
    /// Where it sits in the set.
    #[serde(default)]
    pub pose: Pose,
    /// The shot that this block makes; the other mesh is that of the other shot.
    #[serde(default)]
    pub makes: Shot,
    /// How the soft part's cavity comes to be.
    #[serde(default)]
    pub cavity: SoftCavity,
    /// Resin of the other shot, with the figures that it had; `None` takes the shop's first of its kind.
    #[serde(default)]
    pub resin: Option<Resin>,
    /// Time from demoulding the hard cast to pouring the soft one, seconds; `None` takes the shop's shortest.
    #[serde(default)]
    pub wait_s: Option<f64>,
    /// What feed, vents and pools of the other tool hold, mm³; `None` takes what they hold in this one.
    #[serde(default)]
    pub channels_mm3: Option<f64>,
}

impl SecondShot {
    /// The resin of the other shot: the plan's, else the shop's first that is soft or rigid as it must be.
    pub fn resin<'a>(&'a self, shop: &'a Shop) -> &'a Resin {
        let soft = self.makes.other() == Shot::Soft;
        let usual = || shop.resins.iter().find(|r| r.is_soft() == soft).unwrap_or(&shop.resins[0]);
        self.resin.as_ref().unwrap_or_else(usual)
    }

    /// Time from demoulding the hard cast to pouring the soft one, seconds.
    pub fn wait_s(&self, shop: &Shop) -> f64 {
        self.wait_s.unwrap_or(shop.limits.shots_wait_s[0])
    }
}

impl Plan {
    /// The hard part of a two-shot job that stands in this block, since it is poured round both.
    pub fn loaded_hard(&self) -> Option<&SecondShot> {
        self.second_shot.as_ref().filter(|s| s.makes == Shot::Soft)
    }

    /// The resins of both shots, the hard one first; none where there is one shot.
    pub fn both_resins<'a>(&'a self, shop: &'a Shop) -> Option<[&'a Resin; 2]> {
        let second = self.second_shot.as_ref()?;
        let (own, other) = (self.resin(shop), second.resin(shop));
        Some(if second.makes == Shot::Hard { [own, other] } else { [other, own] })
    }
}
