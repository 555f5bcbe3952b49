//! What letting the chamber up draws into the block, and the pool that must stand in the cup for it.
//!
//! Where every vent is full, air that comes in adds nothing but on gas that is closed in: that shrinks from the chamber's
//! pressure to the atmosphere's (Boyle), and resin follows it. It comes from the cup, which must not run empty meanwhile.
//!
//! A plan that is still the one that was issued keeps the figure that its issue was weighed with, so that one revision never
//! bears two weights, whether or not the fill is followed again, and on however fine cells.

use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::air::bubble::left_after_let_up_mm3;
use crate::study::pour::facts::PourFacts;
use std::f64::consts::FRAC_PI_4;

/// What the let-up draws.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LetUp {
    /// Volume that closed gas gives up, mm³.
    pub draws_mm3: f64,
    /// True where the fill was followed, now or for the issue; else the air that stays, level or leaning, is taken.
    pub from_fill: bool,
    /// Depth that must stand in the cup before, millimetres: what is drawn, and the layer that no air gets under.
    pub in_cup_mm: f64,
}

impl LetUp {
    /// Of what is known of `plan`.
    pub fn of(plan: &Plan, shop: &Shop, facts: &PourFacts) -> LetUp {
        // Without a gate there is no cup to draw from.
        let air = facts.air.filter(|_| !plan.feed.gates.is_empty());
        let issued = || plan.own_issue()?.draws_mm3.filter(|_| plan.as_issued().is_some());
        let followed = facts.fill.map(|fill| fill.closed_round_mm3() - fill.after_let_up_mm3());
        let (draws_mm3, from_fill) = match (issued().or(followed), air) {
            (Some(drawn), _) => (drawn, true),
            (None, Some(air)) => {
                let stays = air.worst_mm3.max(air.trapped.total_mm3);
                (stays - left_after_let_up_mm3(stays, shop.limits.chamber_pa), false)
            }
            (None, None) => (0.0, false),
        };
        let draws_mm3 = draws_mm3.max(0.0);
        let cup_mm2 = FRAC_PI_4 * plan.feed.cup.diameter_mm.powi(2);
        LetUp { draws_mm3, from_fill, in_cup_mm: shop.limits.pool_mm + draws_mm3 / cup_mm2.max(1e-9) }
    }
}
