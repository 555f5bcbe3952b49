//! What is weighed and counted at the bench, put together from the plan and its facts.

use super::bench::Facts;
use super::hanging;
use super::insert_shapes::InsertShape;
use super::quantities::{self, ShotVolumes};
use super::report::{BlockReport, DaysReport, HangingReport, ResinReport, SiliconeReport};
use crate::mesh::measure::Measures;
use crate::plan::{Insert, Plan, PocketMade};
use crate::shop::Shop;

/// Block, rubber, resin and days of a plan.
#[derive(Clone, Debug, Default)]
pub struct BenchNumbers {
    /// The block.
    pub block: BlockReport,
    /// How the master hangs.
    pub hanging: HangingReport,
    /// Rubber to weigh.
    pub silicone: SiliconeReport,
    /// Resin to weigh for each shot.
    pub resin: ResinReport,
    /// Casts and days.
    pub days: DaysReport,
}

impl BenchNumbers {
    /// The numbers of `plan`. While the cavity is still being united, its volume is the sum of body and channels.
    ///
    /// Box, rods and rubber belong to the master: with a scaled master the master displaces the rubber, the cast part
    /// the resin.
    pub fn of(plan: &Plan, shop: &Shop, facts: &Facts) -> BenchNumbers {
        let setting = &facts.setting;
        let block = &setting.block;
        let channels = setting.channels.vents_mm3() + setting.channels.feed_mm3();
        let part_mm3 = facts.body.as_ref().map_or(0.0, |b| b.measures.volume_mm3.abs());
        let cavity_mm3 = facts.cavity.as_ref().map_or(part_mm3 + channels, |c| c.volume_mm3);
        // A projection in the mesh is part of the body with its inserts already; a pocket that is drilled later is
        // rubber while the block is poured.
        let dummies = setting.inserts.iter().zip(&plan.inserts).filter(|(_, i)| i.pocket == PocketMade::DummyOnMaster);
        let pockets_mm3: f64 = dummies.map(|(s, i)| pocket_mm3(s, i)).sum();
        let inserts_inside_mm3: f64 = facts.body.as_ref().map_or(0.0, |b| b.displaced_mm3.iter().sum());
        let silicone = plan.silicone(shop);
        let resin = plan.resin(shop);
        let scaled = plan.master_factor().powi(3);
        let master_mm3 = (part_mm3 + inserts_inside_mm3) * scaled + pockets_mm3;
        let left_out_mm3 = master_mm3 + (cavity_mm3 - part_mm3) * scaled;
        let rubber = quantities::rubber(block.volume_mm3(), left_out_mm3, silicone);
        let mouths = plan.vents.iter().map(|v| v.diameter_mm);
        let cup = (!plan.feed.gates.is_empty()).then_some(plan.feed.cup.diameter_mm);
        let volumes = ShotVolumes {
            part_mm3,
            feed_mm3: cavity_mm3 - part_mm3 - setting.channels.vents_mm3(),
            vents_mm3: setting.channels.vents_mm3(),
            pool_mm3: quantities::pool_mm3(shop.limits.pool_mm, mouths.chain(cup)),
        };
        let shot = quantities::shot(&volumes, resin, shop.limits.cup_loss_share);
        let tool_life = tool_life(plan, shop, facts);
        let schedule = quantities::schedule(plan.quantity.good, &plan.log, silicone, resin, tool_life.0, &shop.habits);
        BenchNumbers {
            block: BlockReport {
                size_mm: block.size_mm.to_array(),
                volume_mm3: block.volume_mm3(),
                wall_mm: block.wall_mm,
                below_mm: block.below_mm,
                above_mm: block.above_mm,
                channels_mm3: cavity_mm3 - part_mm3,
            },
            hanging: hanging::hanging(plan, shop, facts, master_mm3),
            silicone: SiliconeReport {
                name: silicone.name.clone(),
                volume_mm3: rubber.volume_mm3,
                mass_g: rubber.mix.mass_g,
                a_g: rubber.mix.a_g,
                b_g: rubber.mix.b_g,
                pot_litres: rubber.pot_litres,
                pot_life_s: silicone.pot_life_s,
                cure_s: silicone.cure_s,
            },
            resin: ResinReport {
                name: resin.name.clone(),
                part_mm3,
                cavity_mm3,
                part_g: shot.part_g,
                shot_g: shot.mix.mass_g,
                a_g: shot.mix.a_g,
                b_g: shot.mix.b_g,
                pot_life_s: resin.pot_life_s,
            },
            days: DaysReport {
                good: plan.quantity.good,
                tool_life: [tool_life.0, tool_life.1],
                tools: schedule.tools,
                days: schedule.days,
            },
        }
    }
}

/// The part of an insert that stands in its pocket, mm³.
fn pocket_mm3(shape: &InsertShape, insert: &Insert) -> f64 {
    if shape.length_mm <= 0.0 {
        return 0.0;
    }
    Measures::of(&shape.solid).volume_mm3 * (insert.in_pocket_mm / shape.length_mm).clamp(0.0, 1.0)
}

/// Casts that a block gives, lowest and highest usual: as the resin allows, of which undercuts leave their share.
pub fn tool_life(plan: &Plan, shop: &Shop, facts: &Facts) -> (u32, u32) {
    let left = facts.release.as_ref().map_or(1.0, |r| r.life(plan.silicone(shop), &shop.limits));
    quantities::shortened(plan.resin(shop).tool_life, left)
}
