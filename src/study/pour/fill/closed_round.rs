//! Gas that resin closes round.

use crate::study::pour::fill::front::Front;
use glam::Vec3;

/// Pressure of the open air, Pa (ISO 2533).
pub const OPEN_AIR_PA: f64 = 101_325.0;

/// Gas that resin closed round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedRound {
    /// A place in it, in `work`.
    pub position: Vec3,
    /// Its volume at the end of the pour, mm³.
    pub volume_mm3: f64,
    /// What is left of it once the chamber is let up, mm³.
    pub after_let_up_mm3: f64,
}

/// What resin closed round, followed to the end of the pour and then squeezed by the open air (Boyle).
pub(super) fn closed_round(front: &Front) -> Vec<ClosedRound> {
    let centre = |c: u32| front.creep().cells.centre(c);
    let standing = front.regions().iter().filter(|r| !r.open && r.gas_pa_mm3 > 0.0).map(|r| ClosedRound {
        position: centre(r.cell),
        volume_mm3: r.void_mm3,
        after_let_up_mm3: (r.gas_pa_mm3 / OPEN_AIR_PA).min(r.void_mm3),
    });
    let squeezed = front.closed.iter().map(|c| ClosedRound {
        position: centre(c.cell),
        volume_mm3: c.void_mm3,
        after_let_up_mm3: c.gas_pa_mm3 / OPEN_AIR_PA,
    });
    let mut all: Vec<ClosedRound> = standing.chain(squeezed).collect();
    all.sort_by(|a, b| b.after_let_up_mm3.total_cmp(&a.after_let_up_mm3));
    all
}
