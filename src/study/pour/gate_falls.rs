//! How far resin falls from each gate before it gathers, and how thick it runs down the wall there.

use crate::solve::run::{Cancelled, Run};
use crate::study::air::closed_off::upside_down;
use crate::study::air::{AirTree, Mouth, MouthOf};
use crate::study::job::body::Body;
use glam::Vec3;

/// Falls under this are no matter, millimetres: set here.
pub const LEAST_FALL_MM: f64 = 5.0;

/// A gate above the floor of the basin that it feeds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GateFall {
    /// Number of the gate.
    pub gate: u32,
    /// From the lower rim of the gate down to where resin gathers, millimetres.
    pub height_mm: f64,
    /// The lowest place of what hangs together below the gate.
    pub floor: Vec3,
}

/// How far resin falls from each gate that is on the body: down to the lowest place of what hangs together under the gate's
/// height, in the join tree of the body seen upside down. A gate at the lowest place falls nothing: it rises from there.
///
/// # Errors
/// [`Cancelled`].
pub fn gate_falls(body: &Body, level: &AirTree, gates: &[Mouth], run: &Run) -> Result<Vec<GateFall>, Cancelled> {
    let Some(tree) = upside_down(body, level, run)? else { return Ok(Vec::new()) };
    let join = tree.tree();
    let fall = |mouth: &Mouth| {
        let MouthOf::Gate(gate) = mouth.of else { return None };
        let rim = tree.rim(mouth)?;
        let height_mm = (join.branches[rim.branch as usize].summit - rim.height).max(0.0);
        Some(GateFall { gate, height_mm, floor: tree.summit_point(rim.branch) })
    };
    Ok(gates.iter().filter_map(fall).collect())
}

/// Thickness of the film in which resin runs down a wall, millimetres: a stream of width w carries w·ρg·δ³/(3μ) (Nusselt
/// 1916; Bird, Stewart & Lightfoot, *Transport Phenomena*, section 2.2), and a gate lets ρg·H/(μ·R) through, so that
/// δ³ = 3H/(R·w) whatever the resin. `head_mm` stands over a channel of `resistance` 1/mm³.
pub fn film_mm(head_mm: f64, resistance: f64, width_mm: f64) -> f64 {
    (3.0 * head_mm.max(0.0) / (resistance * width_mm)).cbrt()
}

#[cfg(test)]
mod tests {
    use super::film_mm;

    /// What the film carries is what the gate lets through: both sides by hand for a head of 60 mm on Ø3 over 5 mm.
    #[test]
    fn a_film_carries_what_the_gate_lets_through() {
        let resistance = crate::study::pour::fill::drive::channel_resistance(5.0, 1.5);
        let (weight, head, width) = (10.8, 60.0, 3.0);
        let film = film_mm(head, resistance, width);
        assert!((width * weight * film.powi(3) / 3.0 / (weight * head / resistance) - 1.0).abs() < 1e-12);
        assert!((film - 2.727).abs() < 0.005, "{film}");
        assert_eq!(film_mm(-1.0, resistance, width), 0.0);
    }
}
