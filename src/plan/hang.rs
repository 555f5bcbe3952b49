//! Which way up the master hangs in the rubber, and how the closed block stands for casting.

use glam::{DQuat, DVec3};
use serde::{Deserialize, Serialize};

/// Which direction of the set points up, and how it is turned about that direction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Attitude {
    /// Up, a unit vector in `set`.
    pub up: DVec3,
    /// Turn about up, radians, counter-clockwise seen from above.
    #[serde(default)]
    pub turn: f64,
}

impl Default for Attitude {
    fn default() -> Attitude {
        Attitude { up: DVec3::Z, turn: 0.0 }
    }
}

impl Attitude {
    /// The rotation that brings `up` to +Z and then turns about it. The shortest turn is taken; straight down turns
    /// about X.
    pub fn upright_from_set(&self) -> DQuat {
        let up = self.up.try_normalize().unwrap_or(DVec3::Z);
        let tip = if up.z < -1.0 + 1e-9 {
            DQuat::from_rotation_x(std::f64::consts::PI)
        } else {
            DQuat::from_rotation_arc(up, DVec3::Z)
        };
        DQuat::from_rotation_z(self.turn) * tip
    }

    /// The attitude whose [`Attitude::upright_from_set`] is this rotation.
    pub fn of_rotation(upright_from_set: DQuat) -> Attitude {
        let upright_from_set = upright_from_set.normalize();
        let up = (upright_from_set.inverse() * DVec3::Z).normalize();
        // What is left over is a turn about up.
        let tip = Attitude { up, turn: 0.0 }.upright_from_set();
        let x = (upright_from_set * tip.inverse()) * DVec3::X;
        Attitude { up, turn: x.y.atan2(x.x) }
    }
}

/// What is weighed when ways up are compared: how many high points more each would be put up with to be rid of.
///
/// They belong to the job, not to the shop: which trade is right follows from this part's shown surfaces, the height of
/// the chamber it goes into and how it parts. So they are kept with the plan and undone with it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct HangWeights {
    /// One high point.
    pub high_point: f64,
    /// Air that stays in the leaning block with a vent at each high point, for a bubble as large as the shop's limit.
    pub air: f64,
    /// One recess of the master that keeps air while rubber is poured.
    pub rubber_air: f64,
    /// A near-level ceiling as large as the whole upper side.
    pub ceiling: f64,
    /// Standing as tall as the part's diagonal.
    pub height: f64,
    /// A block as large as one round a cube of the part's diagonal.
    pub block: f64,
    /// The whole surface undercut for the best level draw.
    pub undercut_level: f64,
    /// The whole surface undercut for an upright draw.
    pub undercut_upright: f64,
    /// A shown surface facing straight up while resin is poured.
    pub shown: f64,
}

impl Default for HangWeights {
    /// Set here.
    fn default() -> HangWeights {
        HangWeights {
            high_point: 1.0,
            air: 1.0,
            rubber_air: 1.0,
            ceiling: 8.0,
            height: 1.0,
            block: 1.0,
            undercut_level: 10.0,
            undercut_upright: 2.0,
            shown: 2.0,
        }
    }
}

/// The two attitudes of the block, and what a way up is judged by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hang {
    /// While rubber is poured.
    pub rubber: Attitude,
    /// While resin is poured; `None` where the block stands as it was poured.
    #[serde(default)]
    pub cast: Option<Attitude>,
    /// What is weighed when ways up are compared.
    #[serde(default)]
    pub weights: HangWeights,
}

impl Hang {
    /// The attitude while resin is poured.
    pub fn cast_attitude(&self) -> Attitude {
        self.cast.unwrap_or(self.rubber)
    }
}
