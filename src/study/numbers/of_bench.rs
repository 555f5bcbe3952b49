//! What is weighed and counted at the bench, put together from the plan and its facts.

use super::figures::{
    BlockReport, CastsReport, DaysReport, HangingReport, PourReport, ResinReport, SiliconeReport, SizeReport,
};
use super::quantities::{self, Mix, Rubber, Shot, ShotVolumes};
use super::two_shot::days::both_days;
use super::two_shot::figures::{SecondShotReport, second_shot};
use super::{box_panels, hanging, schedule, size};
use crate::mesh::measure::Measures;
use crate::plan::{Insert, Plan, PocketMade, SoftCavity};
use crate::shop::{COLD_CURE_C, Shop};
use crate::study::job::insert_shapes::InsertShape;
use crate::study::numbers::facts::NumberFacts;
use crate::study::pour::let_up::LetUp;

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
    /// How large the casts come out.
    pub size: SizeReport,
    /// Casts and blocks.
    pub casts: CastsReport,
    /// The calendar.
    pub days: DaysReport,
    /// The two shots; none where there is one.
    pub second_shot: Option<SecondShotReport>,
}

impl BenchNumbers {
    /// The numbers of `plan`. While the cavity is still being united, its volume is the sum of body and channels.
    ///
    /// Box, rods and rubber belong to the master: with a scaled master the master displaces the rubber, the cast part
    /// the resin.
    pub fn of(plan: &Plan, shop: &Shop, facts: &NumberFacts) -> BenchNumbers {
        let setting = facts.setting;
        let block = &setting.block;
        let channels = setting.channels.vents_mm3() + setting.channels.feed_mm3();
        let part_mm3 = facts.body.map_or(0.0, |b| b.measures.volume_mm3.abs());
        let cavity_mm3 = facts.cavity.map_or(part_mm3 + channels, |c| c.volume_mm3);
        // A projection in the mesh is part of the body with its inserts already; a pocket that is drilled later is
        // rubber while the block is poured.
        let dummies = setting.inserts.iter().zip(&plan.inserts).filter(|(_, i)| i.pocket == PocketMade::DummyOnMaster);
        let pockets_mm3: f64 = dummies.map(|(s, i)| pocket_mm3(s, i)).sum();
        let inserts_inside_mm3: f64 = facts.body.map_or(0.0, |b| b.displaced_mm3.iter().sum());
        let silicone = plan.silicone(shop);
        let resin = plan.resin(shop);
        let scaled = plan.master_factor().powi(3);
        let master_mm3 = (part_mm3 + inserts_inside_mm3) * scaled + pockets_mm3 + hard_mm3(plan, facts, scaled);
        // Rods are as thick as they are, however large the master is.
        let left_out_mm3 = master_mm3 + (cavity_mm3 - part_mm3);
        let rubber = quantities::rubber(block.volume_mm3(), left_out_mm3, silicone);
        let mouths = plan.vents.iter().map(|v| v.diameter_mm);
        let cup = (!plan.feed.gates.is_empty()).then_some(plan.feed.cup.diameter_mm);
        let volumes = ShotVolumes {
            part_mm3,
            feed_mm3: cavity_mm3 - part_mm3 - setting.channels.vents_mm3(),
            vents_mm3: setting.channels.vents_mm3(),
            // A layer that stays over every mouth, and what the let-up draws out of the cup.
            pool_mm3: quantities::pool_mm3(shop.limits.pool_mm, mouths.chain(cup))
                + LetUp::of(plan, shop, &facts.pour).draws_mm3,
        };
        let shot = quantities::shot(&volumes, resin, shop.limits.cup_loss_share);
        let mut block =
            box_panels::block_report(plan, shop, facts, rubber.in_block_g, shot.filled_g, cavity_mm3 - part_mm3);
        let silicone = silicone_report(plan, shop, facts, &rubber);
        let resin = resin_report(plan, shop, &volumes, &shot, cavity_mm3);
        let casts = schedule::casts(plan, shop, facts, resin.part_g);
        let way = schedule::way(plan, shop, &casts, &block, &silicone, &resin);
        let other_a_day = plan.second_shot.as_ref().map_or(1, |s| way.casts_a_day(s.resin(shop).demould_s));
        let both = both_days(plan, shop, &way.route, other_a_day);
        let hanging = hanging::hanging(plan, shop, facts, master_mm3);
        let beam_mm = if hanging.stuck_to_floor { 0.0 } else { hanging.beam_mm[2] };
        block.rod_beyond_mm = block.freeboard_mm + beam_mm;
        BenchNumbers {
            hanging,
            size: size::size(plan, shop),
            days: schedule::days(plan, shop, &casts, &way, both.as_ref()),
            second_shot: second_shot(plan, shop, facts, &resin, both.as_ref()),
            block,
            silicone,
            resin,
            casts,
        }
    }
}

fn silicone_report(plan: &Plan, shop: &Shop, facts: &NumberFacts, rubber: &Rubber) -> SiliconeReport {
    let (silicone, habits, block) = (plan.silicone(shop), &shop.habits, &facts.setting.block);
    let height_mm = block.size_mm.z;
    let first_mm = plan.block.first_pour_mm.filter(|mm| *mm < height_mm);
    let whole = rubber.mix.mass_g;
    let degas_in_box = plan.block.degas_in_box;
    let cure_c = plan.block.cure_c.unwrap_or(COLD_CURE_C);
    // What is degassed in the box foams there and not in the pot.
    let foam = if degas_in_box { 1.0 } else { silicone.foam_factor };
    let litres = |mass_g: f64| mass_g / silicone.density_g_cm3 / 1000.0 * foam;
    let pour = |up_to_mm: f64, mass_g: f64| {
        let mix = Mix::by_mass(mass_g, silicone.a_parts, silicone.b_parts);
        let pots = quantities::pots(litres(mass_g), habits.pot_litres);
        let pot = Mix::by_mass(mass_g / f64::from(pots), silicone.a_parts, silicone.b_parts);
        PourReport {
            up_to_mm,
            mass_g,
            a_g: mix.a_g,
            b_g: mix.b_g,
            pots,
            pot_a_g: pot.a_g,
            pot_b_g: pot.b_g,
            pot_g: pot.mass_g,
            pot_litres: litres(pot.mass_g),
            cure_s: quantities::cure_s(silicone, cure_c),
        }
    };
    let pours = match (first_mm, facts.shape) {
        (Some(level), Some(shape)) => {
            // Rods stand above the part, for the most in the second pour.
            let below =
                block.size_mm.x * block.size_mm.y * level - shape.below_first_pour_mm3 * plan.master_factor().powi(3);
            let first_g = whole * (below / rubber.volume_mm3.max(1e-9)).clamp(0.0, 1.0);
            vec![pour(level, first_g), pour(height_mm, whole - first_g)]
        }
        _ => vec![pour(height_mm, whole)],
    };
    let largest = pours.iter().max_by(|a, b| a.mass_g.total_cmp(&b.mass_g)).cloned().unwrap_or_default();
    SiliconeReport {
        name: silicone.name.clone(),
        volume_mm3: rubber.volume_mm3,
        mass_g: whole,
        a_g: rubber.mix.a_g,
        b_g: rubber.mix.b_g,
        pot_litres: rubber.pot_litres,
        pot_life_s: silicone.pot_life_s,
        cure_s: silicone.cure_s,
        pots: largest.pots,
        pot_a_g: largest.pot_a_g,
        pot_b_g: largest.pot_b_g,
        each_pot_litres: largest.pot_litres,
        degas_in_box,
        pot_work_s: quantities::pot_work_s(largest.pot_g, habits),
        cure_c,
        cure_at_s: pours.iter().map(|p| p.cure_s).fold(0.0, |a, b| a + b),
        pours,
    }
}

fn resin_report(plan: &Plan, shop: &Shop, volumes: &ShotVolumes, shot: &Shot, cavity_mm3: f64) -> ResinReport {
    let (resin, habits) = (plan.resin(shop), &shop.habits);
    let blocks_a_batch = plan.diary.blocks_a_batch.max(1);
    let batch_g = shot.mix.mass_g * f64::from(blocks_a_batch);
    ResinReport {
        name: resin.name.clone(),
        part_mm3: volumes.part_mm3,
        cavity_mm3,
        part_g: shot.part_g,
        shot_g: shot.mix.mass_g,
        a_g: shot.mix.a_g,
        b_g: shot.mix.b_g,
        pot_life_s: resin.pot_life_s,
        feed_mm3: volumes.feed_mm3,
        vents_mm3: volumes.vents_mm3,
        pool_mm3: volumes.pool_mm3,
        filled_g: shot.filled_g,
        loss_g: shot.mix.mass_g - shot.filled_g,
        tolerance_g: shot.mix.a_g.min(shot.mix.b_g) * shop.limits.ratio_pct / 100.0,
        pigment_g: shot.mix.mass_g * plan.materials.pigment_pct / 100.0,
        batch_g,
        blocks_a_batch,
        pot_life_batch_g: resin.pot_life_batch_g,
        cup_litres: batch_g / resin.density_g_cm3 / 1000.0 * habits.resin_foam_factor,
        work_s: habits.resin_mix_s + habits.resin_degas_s + habits.resin_fill_s * f64::from(blocks_a_batch),
    }
}

/// What a hard part that stands in this block takes of the rubber beside the body, mm³: made to the master's scale, `scaled` times
/// the volume, except where it is a cast. While it is still being united, its own volume.
fn hard_mm3(plan: &Plan, facts: &NumberFacts, scaled: f64) -> f64 {
    let Some(second) = plan.loaded_hard() else { return 0.0 };
    let beside = match (facts.master, facts.body) {
        (Some(master), Some(body)) if master.trouble.is_none() => master.measures.volume_mm3 - body.measures.volume_mm3,
        _ => facts.setting.other_whole().map_or(0.0, |o| o.volume_mm3),
    };
    beside.max(0.0) * if second.cavity == SoftCavity::OwnTool { scaled } else { 1.0 }
}

/// The part of an insert that stands in its pocket, mm³.
fn pocket_mm3(shape: &InsertShape, insert: &Insert) -> f64 {
    if shape.length_mm <= 0.0 {
        return 0.0;
    }
    Measures::of(&shape.solid).volume_mm3 * (insert.in_pocket_mm / shape.length_mm).clamp(0.0, 1.0)
}
