//! The report of a two-shot job: how the parts meet, what is weighed for each, and the days of both.

use super::days::BothDays;
use super::hold::Way;
use crate::plan::{Plan, Shot, SoftCavity};
use crate::shop::Shop;
use crate::study::numbers::facts::NumberFacts;
use crate::study::numbers::figures::{EventReport, ResinReport};
use crate::study::numbers::quantities::{self, ShotVolumes};
use crate::study::numbers::schedule;
use glam::DVec3;
use serde::Serialize;

/// A two-shot job.
#[derive(Clone, Debug, Default, Serialize)]
pub struct SecondShotReport {
    /// Name of the other part.
    pub other: String,
    /// The shot that this block makes: `hard` or `soft`.
    pub makes: &'static str,
    /// How the soft part's cavity comes to be: `own_tool` or `round_first_cast`.
    pub cavity: &'static str,
    /// Why both parts could not be compared, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
    /// Area of the hard part that the soft one covers, where they bond.
    pub contact_mm2: f64,
    /// Area of the hard part that it leaves bare.
    pub bare_mm2: f64,
    /// What counted as touching at most: the shop's figure and what the facets of both meshes carry.
    pub tolerance_mm: f64,
    /// From one part to the other where they do not touch.
    pub apart_mm: f64,
    /// Volume that both parts take up, where they do so beyond the tolerance.
    pub overlap_mm3: f64,
    /// How deep one stands in the other.
    pub overlap_depth_mm: f64,
    /// Area over which they run side by side but apart.
    pub gap_mm2: f64,
    /// Narrowest and widest gap.
    pub gap_mm: [f64; 2],
    /// What holds the hard cast in this block; none where it makes the hard part.
    pub hold: Option<HoldReport>,
    /// The hard shot.
    pub hard: ShotReport,
    /// The soft shot.
    pub soft: ShotReport,
    /// Mass of one trimmed part, hard and soft together.
    pub together_g: f64,
    /// Time from demoulding the hard cast to pouring the soft one.
    pub wait_s: f64,
    /// Least and longest that the shop allows for it.
    pub wait_limits_s: [f64; 2],
    /// Hottest that the hard cast bears; 0 where it is not stated.
    pub hard_bears_c: f64,
    /// Temperature of the mould while the soft part is cast and cured.
    pub soft_mould_c: f64,
    /// Days from a hard cast until it may be cast over.
    pub wait_days: u32,
    /// Longest that a hard cast lies in the calendar, days.
    pub longest_wait_days: u32,
    /// What happens when, both shots together.
    pub events: Vec<EventReport>,
}

/// What holds the hard cast.
#[derive(Clone, Debug, Default, Serialize)]
pub struct HoldReport {
    /// Share of the hard part's surface that rubber touches.
    pub bare_share: f64,
    /// Share that must stand in front of it whichever way it is to move.
    pub needed_share: f64,
    /// The ways to move, as the block stands while rubber is poured; the last is the shift that least stands against.
    pub ways: Vec<WayReport>,
}

/// One way to move.
#[derive(Clone, Debug, Default, Serialize)]
pub struct WayReport {
    /// In words.
    pub way: String,
    /// True for a turn.
    pub turn: bool,
    /// Its direction, or the axis of a right-handed turn, in the box.
    pub along: [f64; 3],
    /// Rubber that stands in front, as seen along it, mm².
    pub stopped_mm2: f64,
    /// Share of the whole part's shadow; none for a turn about which the part is round.
    pub share: Option<f64>,
}

impl WayReport {
    /// True where less than `needed` stands in the way.
    pub fn is_free(&self, needed: f64) -> bool {
        self.share.is_some_and(|s| s < needed)
    }
}

/// What is weighed for one of both shots.
#[derive(Clone, Debug, Default, Serialize)]
pub struct ShotReport {
    /// Resin.
    pub resin: String,
    /// Volume of the part.
    pub part_mm3: f64,
    /// What feed, vents and pools hold.
    pub channels_mm3: f64,
    /// True where that was taken over from the block of this plan.
    pub channels_taken_over: bool,
    /// Mass of the trimmed part.
    pub part_g: f64,
    /// Mass to mix for one shot, with losses.
    pub shot_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Room that its cup must have, with that for the foam, litres.
    pub cup_litres: f64,
    /// Pot life.
    pub pot_life_s: f64,
    /// Shots to make, rejects and set-up with them.
    pub casts: u32,
    /// First and last day on which it is cast, from 1.
    pub cast_days: [u32; 2],
}

/// The report of the two shots of `plan`; none where there is one.
pub fn second_shot(
    plan: &Plan,
    shop: &Shop,
    facts: &NumberFacts,
    resin: &ResinReport,
    both: Option<&BothDays>,
) -> Option<SecondShotReport> {
    let second = plan.second_shot.as_ref()?;
    let met = facts.two_shot.cloned().unwrap_or_default();
    let own = ShotReport {
        resin: resin.name.clone(),
        part_mm3: resin.part_mm3,
        channels_mm3: resin.feed_mm3 + resin.vents_mm3 + resin.pool_mm3,
        part_g: resin.part_g,
        shot_g: resin.shot_g,
        a_g: resin.a_g,
        b_g: resin.b_g,
        cup_litres: resin.cup_litres / f64::from(resin.blocks_a_batch.max(1)),
        pot_life_s: resin.pot_life_s,
        ..ShotReport::default()
    };
    let other = other_shot(plan, shop, facts, own.channels_mm3);
    let [mut hard, mut soft] = if second.makes == Shot::Hard { [own, other] } else { [other, own] };
    let mut events = Vec::new();
    if let Some(both) = both {
        for (shot, calendar, name) in [(&mut hard, &both.hard, Shot::Hard), (&mut soft, &both.soft, Shot::Soft)] {
            let of = |e: EventReport| EventReport { what: format!("{}: {}", name.name(), e.what), ..e };
            events.extend(schedule::event_reports(plan, calendar).into_iter().map(of));
            let ends = [calendar.casts_by_day.first(), calendar.casts_by_day.last()];
            shot.cast_days = ends.map(|d| d.map_or(0, |d| d.0 + 1));
        }
        (hard.casts, soft.casts) = (both.hard_casts, both.soft_casts);
        // Hard before soft on one day.
        events.sort_by_key(|e| e.day);
    }
    let [hard_resin, soft_resin] = plan.both_resins(shop)?;
    let hold = met.hold.as_ref().map(|hold| HoldReport {
        bare_share: hold.bare_share,
        needed_share: shop.limits.shots_held_share,
        ways: hold.ways().map(|w| way_report(facts, w)).collect(),
    });
    let mut report = SecondShotReport {
        other: second.name.clone(),
        makes: second.makes.name(),
        cavity: if second.cavity == SoftCavity::OwnTool { "own_tool" } else { "round_first_cast" },
        trouble: trouble(facts),
        hold,
        together_g: hard.part_g + soft.part_g,
        wait_s: second.wait_s(shop),
        wait_limits_s: shop.limits.shots_wait_s,
        hard_bears_c: hard_resin.bears_c,
        soft_mould_c: soft_resin.mould_c,
        wait_days: both.map_or(0, |b| b.wait_days),
        longest_wait_days: both.map_or(0, |b| b.longest_wait_days),
        hard,
        soft,
        events,
        ..SecondShotReport::default()
    };
    if let Some(meeting) = &met.meeting {
        report.contact_mm2 = meeting.contact_mm2;
        report.bare_mm2 = meeting.bare_mm2;
        report.tolerance_mm = meeting.tolerance_mm;
        report.apart_mm = meeting.apart_mm;
        report.overlap_mm3 = meeting.overlap.map_or(0.0, |o| o.volume_mm3);
        report.overlap_depth_mm = meeting.overlap.map_or(0.0, |o| o.depth_mm);
        report.gap_mm2 = meeting.gap.map_or(0.0, |g| g.area_mm2);
        report.gap_mm = meeting.gap.map_or([0.0; 2], |g| g.width_mm);
    }
    Some(report)
}

/// Why both parts could not be compared, in words.
pub fn trouble(facts: &NumberFacts) -> Option<String> {
    let other = match facts.setting.other.as_ref()? {
        Ok(other) => other,
        Err(why) => return Some(why.clone()),
    };
    if let Some(why) = &other.trouble {
        return Some(why.clone());
    }
    let body = facts.body?;
    body.trouble.as_ref().map(|why| format!("this block's own part could not be taken as one body: {why}"))
}

/// The shot of the other block. Its feed, vents and pools are taken over from this one where nobody gave them.
fn other_shot(plan: &Plan, shop: &Shop, facts: &NumberFacts, channels_mm3: f64) -> ShotReport {
    let Some(second) = &plan.second_shot else { return ShotReport::default() };
    let resin = second.resin(shop);
    let other = facts.setting.other.as_ref().and_then(|o| o.as_ref().ok());
    let part_mm3 = other.map_or(0.0, |o| o.volume_mm3.abs());
    let channels = second.channels_mm3.unwrap_or(channels_mm3);
    let volumes = ShotVolumes { part_mm3, feed_mm3: channels, vents_mm3: 0.0, pool_mm3: 0.0 };
    let shot = quantities::shot(&volumes, resin, shop.limits.cup_loss_share);
    ShotReport {
        resin: resin.name.clone(),
        part_mm3,
        channels_mm3: channels,
        channels_taken_over: second.channels_mm3.is_none(),
        part_g: shot.part_g,
        shot_g: shot.mix.mass_g,
        a_g: shot.mix.a_g,
        b_g: shot.mix.b_g,
        cup_litres: shot.mix.mass_g / resin.density_g_cm3 / 1000.0 * shop.habits.resin_foam_factor,
        pot_life_s: resin.pot_life_s,
        ..ShotReport::default()
    }
}

fn way_report(facts: &NumberFacts, way: &Way) -> WayReport {
    let along = facts.setting.frames.box_from_work.transform_vector3(way.along.as_dvec3());
    WayReport {
        way: if way.turn { turn_words(along) } else { shift_words(along) },
        turn: way.turn,
        along: along.to_array(),
        stopped_mm2: way.stopped_mm2,
        share: way.share,
    }
}

/// Where a direction of the box points, as one stands before it.
pub fn shift_words(along: DVec3) -> String {
    const SIDES: [[&str; 2]; 3] = [["right", "left"], ["back", "front"], ["top", "bottom"]];
    let mut named: Vec<(f64, &str)> = (0..3).map(|k| (along[k].abs(), SIDES[k][usize::from(along[k] < 0.0)])).collect();
    named.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<&str> = named.iter().filter(|n| n.0 > 0.35).map(|n| n.1).collect();
    format!("towards the {}", words.join(" and "))
}

/// A right-handed turn by its axis, in the box.
fn turn_words(along: DVec3) -> String {
    let k = (0..3).max_by(|&a, &b| along[a].abs().total_cmp(&along[b].abs())).unwrap_or(2);
    format!("round {}{} of the box", if along[k] < 0.0 { "−" } else { "+" }, ["X", "Y", "Z"][k])
}
