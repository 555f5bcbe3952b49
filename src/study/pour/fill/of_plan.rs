//! The pour that a plan asks for.

use super::asked::{Mouth, Pour};
use super::drive::{Drive, Inlet, Outlet, channel_resistance};
use super::fineness::Fineness;
use super::viscosity::{Pace, STATED_C};
use crate::mesh::tree::Tree;
use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::air;
use crate::study::job::channels::{Channel, Rod};
use crate::study::job::gravity::STANDARD_GRAVITY;
use crate::study::job::setting::Setting;

/// How full the cup is kept while resin is poured: set here.
const CUP_SHARE: f64 = 0.5;

impl Pour {
    /// The pour of `plan`, on cells so fine; none without a gate.
    pub fn of_plan(plan: &Plan, shop: &Shop, setting: &Setting, fineness: Fineness) -> Option<Pour> {
        let up = setting.frames.cast_up();
        let high = |p: glam::Vec3| p.as_dvec3().dot(up.as_dvec3());
        let (gates, vents) = (&setting.channels.gates, &setting.channels.vents);
        if gates.is_empty() {
            return None;
        }
        let radius = |c: &Channel| c.rods.first().map_or(0.0, |r| r.radius_mm);
        let mouth = |c: &Channel| Mouth { centre: c.mouth(), radius_mm: radius(c) };
        let end = |c: &Channel| c.rods.last().map_or(c.mouth(), |r: &Rod| r.to);
        let inlet = |(i, c): (usize, &Channel)| {
            // What several gates drink through holds each of them up as if it drank alone from so much more resistance.
            let way = setting.channels.way_from_cup(i);
            let at_cup = setting.channels.at_cup(i).unwrap_or(c);
            Inlet {
                opening: i as u16,
                level_mm: high(end(at_cup)) + CUP_SHARE * plan.feed.cup.height_mm,
                over_pa: 0.0,
                resistance: way
                    .iter()
                    .map(|s| s.gates as f64 * channel_resistance(s.length_mm, s.radius_mm))
                    .fold(0.0, |a, b| a + b),
            }
        };
        let outlet = |(i, c): (usize, &Channel)| Outlet {
            opening: (gates.len() + i) as u16,
            radius_mm: Some(radius(c) as f64),
            length_mm: c.length_mm(),
            rise_mm: high(end(c)) - high(c.mouth()),
            height_mm: high(c.mouth()),
        };
        let resin = plan.resin(shop);
        let pace = |c: f64| Pace::of(resin, &shop.habits, c);
        Some(Pour {
            mouths: gates.iter().chain(vents).map(mouth).collect(),
            drive: Drive {
                inlets: gates.iter().enumerate().map(inlet).collect(),
                outlets: vents.iter().enumerate().map(outlet).collect(),
                up,
                weight_pa_mm: resin.density_g_cm3 * STANDARD_GRAVITY,
                outside_pa: shop.limits.chamber_pa,
                until: 0.0,
            },
            cup: pace(STATED_C),
            mould: pace(resin.mould_c),
            fineness,
            bubble_mm: shop.limits.bubble_mm,
        })
    }

    /// The same into the body that `tree` is of: vents that end in rubber beside it stay shut.
    pub fn with_vents_on(mut self, tree: &Tree) -> Pour {
        for outlet in &self.drive.outlets {
            let mouth = &mut self.mouths[outlet.opening as usize];
            let nearest = tree.nearest(mouth.centre);
            if !nearest.is_some_and(|n| air::Mouth::opens_at(f64::from(n.distance))) {
                mouth.radius_mm = 0.0;
            }
        }
        self
    }
}
