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
}

/// The two attitudes of the block.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hang {
    /// While rubber is poured.
    pub rubber: Attitude,
    /// While resin is poured; `None` where the block stands as it was poured.
    #[serde(default)]
    pub cast: Option<Attitude>,
}

impl Hang {
    /// The attitude while resin is poured.
    pub fn cast_attitude(&self) -> Attitude {
        self.cast.unwrap_or(self.rubber)
    }
}
