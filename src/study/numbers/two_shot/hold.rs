//! What holds the hard cast in the tool that the soft part is cast in: rubber against the surface that the soft part leaves
//! bare.
//!
//! A body that is to move one way is stopped by rubber that stands in front of it. How much does is told by the shadow of
//! the bare surface that looks that way, as a share of the shadow of the whole surface; for a turn likewise, each piece
//! with the way that it is carried (first-order form closure; Reuleaux, *Theoretische Kinematik*, 1875). Friction and the
//! squeeze of a tight socket are left out: a warm mould has grown and grips less. Shifts are looked at to many sides, turns
//! about the axes of the box only.

use super::sample::{Sample, State};
use glam::Vec3;
use std::f32::consts::PI;

/// Directions on the sphere that are tried besides the six along the box.
const DIRECTIONS: usize = 192;
/// A surface that a turn carries along itself, as a share of what it could be carried, is round about that axis: set here,
/// over what facets of a round body leave.
const ROUND_SHARE: f64 = 0.03;

/// One way to move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Direction of a shift, or axis of a right-handed turn; a unit vector in `work`.
    pub along: Vec3,
    /// True for a turn.
    pub turn: bool,
    /// Bare surface in front, as seen along the way, mm²; for a turn about its mean lever.
    pub stopped_mm2: f64,
    /// Share of the whole surface in front; `None` for a turn about which the part is round.
    pub share: Option<f64>,
}

/// What holds the hard cast.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Shifts along the box: +X, −X, +Y, −Y, +Z, −Z.
    pub shifts: [Way; 6],
    /// Turns about them.
    pub turns: [Way; 6],
    /// The shift that least stands against, of many directions.
    pub weakest: Way,
    /// Share of the whole surface that is bare.
    pub bare_share: f64,
}

impl Hold {
    /// What holds a hard part of these pieces about its middle; `axes` are the box's X, Y and Z in `work`.
    pub fn of(samples: &[Sample], middle: Vec3, axes: [Vec3; 3]) -> Hold {
        let six: [Vec3; 6] = std::array::from_fn(|i| if i % 2 == 0 { axes[i / 2] } else { -axes[i / 2] });
        let shifts = six.map(|d| shift(samples, d));
        let golden = PI * (3.0 - 5f32.sqrt());
        let spiral = (0..DIRECTIONS).map(|i| {
            let z = 1.0 - (2.0 * i as f32 + 1.0) / DIRECTIONS as f32;
            let (s, c) = (golden * i as f32).sin_cos();
            let r = (1.0 - z * z).max(0.0).sqrt();
            Vec3::new(r * c, r * s, z)
        });
        let share = |w: &Way| w.share.unwrap_or(1.0);
        // One along the box is told rather than one beside it that is held as little.
        let mut weakest = shifts[0];
        for way in shifts.iter().copied().chain(spiral.map(|d| shift(samples, d))) {
            if share(&way) < share(&weakest) - 1e-3 {
                weakest = way;
            }
        }
        let area = |bare: bool| -> f64 {
            samples.iter().filter(|s| !bare || s.state == State::Bare).map(|s| s.area_mm2).sum()
        };
        Hold {
            shifts,
            turns: six.map(|a| turn(samples, middle, a)),
            weakest,
            bare_share: area(true) / area(false).max(1e-12),
        }
    }

    /// Every way along and about the box, and the weakest shift.
    pub fn ways(&self) -> impl Iterator<Item = &Way> {
        self.shifts.iter().chain(&self.turns).chain([&self.weakest])
    }
}

fn shift(samples: &[Sample], along: Vec3) -> Way {
    let (mut bare, mut whole) = (0.0, 0.0);
    for s in samples {
        let shadow = s.area_mm2 * f64::from(s.normal.dot(along).max(0.0));
        whole += shadow;
        bare += if s.state == State::Bare { shadow } else { 0.0 };
    }
    Way { along, turn: false, stopped_mm2: bare, share: Some(bare / whole.max(1e-12)) }
}

fn turn(samples: &[Sample], middle: Vec3, along: Vec3) -> Way {
    let (mut bare, mut whole, mut most, mut area) = (0.0, 0.0, 0.0, 0.0);
    for s in samples {
        let carried = along.cross(s.at - middle);
        let pushed = s.area_mm2 * f64::from(s.smooth.dot(carried).max(0.0));
        whole += pushed;
        bare += if s.state == State::Bare { pushed } else { 0.0 };
        most += s.area_mm2 * f64::from(carried.length());
        area += s.area_mm2;
    }
    let lever = most / f64::max(area, 1e-12);
    let round = whole < ROUND_SHARE * most;
    Way { along, turn: true, stopped_mm2: bare / lever.max(1e-9), share: (!round).then(|| bare / whole.max(1e-12)) }
}
