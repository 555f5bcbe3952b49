//! What drives resin through the cavity: the gates that feed it, the vents that let air out, weight, and the chamber.

use glam::Vec3;
use std::f64::consts::PI;

/// Where resin comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inlet {
    /// Number of the opening in the cells' surface.
    pub opening: u16,
    /// Height, along up, of the open level of resin that feeds it, mm.
    pub level_mm: f64,
    /// Pressure on that level over the one outside, Pa.
    pub over_pa: f64,
    /// Resistance of the channel from there, 1/mm³: pressure over flow and viscosity.
    pub resistance: f64,
}

/// Where air leaves, and resin after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlet {
    /// Number of the opening in the cells' surface.
    pub opening: u16,
    /// Radius of its channel, mm; none where the opening is open at once to the outside and drinks nothing.
    pub radius_mm: Option<f64>,
    /// Length of its channel, mm.
    pub length_mm: f64,
    /// Rise of the channel over its length, mm.
    pub rise_mm: f64,
    /// Height of the opening, along up, mm.
    pub height_mm: f64,
}

/// What drives the front.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// Where resin comes in.
    pub inlets: Vec<Inlet>,
    /// Where air leaves.
    pub outlets: Vec<Outlet>,
    /// Up, of length 1.
    pub up: Vec3,
    /// Weight of the resin, Pa/mm.
    pub weight_pa_mm: f64,
    /// Pressure outside: of the chamber, Pa.
    pub outside_pa: f64,
    /// ∫dt/μ at which the resin does not move any more, 1/Pa.
    pub until: f64,
}

/// Resistance of a round channel, 1/mm³: 8·length/(π·radius⁴) (Hagen and Poiseuille), and of its mouth in a wall 3/(2·radius³),
/// half of Sampson's orifice (Phil. Trans. A 182, 1891).
pub fn channel_resistance(length_mm: f64, radius_mm: f64) -> f64 {
    8.0 * length_mm / (PI * radius_mm.powi(4)) + 1.5 / radius_mm.powi(3)
}
