//! Casts, blocks and days of a plan.

use super::cast_log;
use super::diary::{Bottleneck, Calendar, Event, Route, casts_to_make};
use super::figures::{BlockReport, CastsReport, DaysReport, EventReport, LightCastReport, ResinReport, SiliconeReport};
use super::quantities::{cure_s, shortened};
use super::two_shot::days::BothDays;
use crate::plan::{Plan, Shot, Stage};
use crate::shop::{Shop, Vessel};
use crate::solve::{civil_date, conduction};
use crate::study::numbers::facts::NumberFacts;

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;
/// What a slender core of rubber leaves of the tool life: it halves it (common practice, no source).
const CORES_LEAVE: f64 = 0.5;

/// Shares of the resin's tool life that undercuts and slender cores leave.
pub fn life_shares(plan: &Plan, shop: &Shop, facts: &NumberFacts) -> [f64; 2] {
    let undercuts = facts.release.map_or(1.0, |r| r.life(plan.silicone(shop), &shop.limits));
    let slender = facts.rubber.is_some_and(|r| r.pieces.iter().any(|p| p.slenderness() > shop.limits.slenderness[1]));
    [undercuts, if slender { CORES_LEAVE } else { 1.0 }]
}

/// Casts that a block gives, lowest and highest usual: as the resin allows, of which the worse of undercuts and slender
/// cores leaves its share.
pub fn tool_life(plan: &Plan, shop: &Shop, facts: &NumberFacts) -> (u32, u32) {
    let [undercuts, cores] = life_shares(plan, shop, facts);
    shortened(plan.resin(shop).tool_life, undercuts.min(cores))
}

/// Casts and blocks for the quantity; `part_g` is what a cast weighs by its volume.
pub fn casts(plan: &Plan, shop: &Shop, facts: &NumberFacts, part_g: f64) -> CastsReport {
    let (low, high) = tool_life(plan, shop, facts);
    let [undercut_share, core_share] = life_shares(plan, shop, facts);
    let reject_share = plan.quantity.reject_share.unwrap_or(shop.habits.reject_share);
    let made_good = plan.log.iter().filter(|c| c.good).count() as u32;
    let good = plan.good_shots();
    let set_up = plan.quantity.set_up.unwrap_or(shop.habits.set_up_casts).saturating_sub(plan.log.len() as u32);
    let to_make = casts_to_make(good.saturating_sub(made_good), reject_share, set_up);
    let tools = |life: u32| to_make.saturating_sub(left_in_block(plan, life)).div_ceil(life.max(1));
    let expected = cast_log::expected(plan, shop, facts, part_g);
    CastsReport {
        good,
        yields: super::yields::yields(plan),
        made_good,
        reject_share,
        set_up,
        to_make,
        tool_life: [low, high],
        undercut_share,
        core_share,
        tools: [tools(high), tools(low)],
        expected_g: expected.map(|e| e.mass_g),
        doubt_g: expected.map(|e| e.doubt_g),
        light: cast_log::light_casts(plan, shop, facts, part_g).iter().map(light_report).collect(),
    }
}

fn light_report(light: &cast_log::Light) -> LightCastReport {
    LightCastReport {
        shot: light.shot,
        missing_g: light.missing_g,
        missing_mm3: light.missing_mm3,
        pockets_mm3: light.suspects.iter().map(|s| s.pocket_mm3).collect(),
    }
}

/// Casts that the block in use still gives.
fn left_in_block(plan: &Plan, life: u32) -> u32 {
    let made = plan.log.len() as u32;
    if made == 0 {
        return if plan.stage >= Stage::Cut { life } else { 0 };
    }
    match made % life.max(1) {
        0 => 0,
        used => life - used,
    }
}

/// Blocks of this size that stand in a vessel side by side, each turned the same way.
pub fn places(vessel: &Vessel, [wide, deep, _]: [f64; 3]) -> u32 {
    let [room_wide, room_deep, _] = vessel.inside_mm;
    let grid = |w: f64, d: f64| (room_wide / w).floor() * (room_deep / d).floor();
    grid(wide.max(1.0), deep.max(1.0)).max(grid(deep.max(1.0), wide.max(1.0))).clamp(0.0, 1000.0) as u32
}

/// The way of a plan's own job, and what its days are made of.
#[derive(Clone, Debug)]
pub struct Way {
    /// The route.
    pub route: Route,
    preheat_s: f64,
    reheat_s: f64,
    cycle_s: f64,
    /// Casts that a block gives in a working day with a resin that stays in the oven so long.
    by_oven: CastsADay,
}

/// What limits the casts of a day.
#[derive(Clone, Copy, Debug)]
struct CastsADay {
    besides_s: f64,
    day_s: f64,
    most: u32,
}

impl Way {
    /// Casts that a block gives in a working day with a resin that stays in the oven so long before it is demoulded.
    pub fn casts_a_day(&self, demould_s: f64) -> u32 {
        self.by_oven.with(demould_s)
    }
}

impl CastsADay {
    fn with(&self, demould_s: f64) -> u32 {
        let by_oven = (self.day_s / (self.besides_s + demould_s) + 1e-9).floor().clamp(1.0, 1e6) as u32;
        self.most.min(by_oven).max(1)
    }
}

/// The way of a plan's own job.
pub fn way(
    plan: &Plan,
    shop: &Shop,
    casts: &CastsReport,
    block: &BlockReport,
    silicone: &SiliconeReport,
    resin: &ResinReport,
) -> Way {
    let habits = &shop.habits;
    let preheat_s = conduction::time_to_heat(block.size_mm, habits.rubber_diffusivity_mm2_s, habits.heated_within);
    let reheat_s = preheat_s * habits.reheat_share;
    let demould_s = plan.resin(shop).demould_s;
    let besides_s = reheat_s + resin.work_s;
    let cycle_s = besides_s + demould_s;
    let by_oven = CastsADay { besides_s, day_s: habits.work_day_s, most: habits.casts_a_day };
    let casts_a_day = by_oven.with(demould_s);
    let oven_places = shop
        .ovens
        .iter()
        .find(|o| Some(&o.name) == block.oven.as_ref())
        .map_or(1, |o| places(o, block.standing_mm).max(1));
    let start = civil_date::read(&plan.diary.start);
    // Days are counted from Monday where no date is given.
    let first = start.map_or(0, civil_date::weekday);
    let one_pour_s = cure_s(plan.silicone(shop), silicone.cure_c);
    let pours = silicone.pours.len().max(1) as u32;
    let nights = |s: f64| (s / DAY_S - 1e-9).ceil().clamp(1.0, 1000.0) as u32;
    let life = casts.tool_life[0];
    let route = Route {
        casts: casts.to_make,
        life,
        left_in_block: left_in_block(plan, life),
        masters: plan.diary.masters,
        master_days: if plan.stage >= Stage::Poured || !plan.log.is_empty() { 0 } else { habits.master_days },
        cure_days: nights(one_pour_s) * pours,
        heat_days: nights(preheat_s),
        casts_a_day,
        oven_places,
        rest_days: habits.rest_days,
        works: std::array::from_fn(|i| plan.diary.works[(first + i) % 7]),
    };
    Way { route, preheat_s, reheat_s, cycle_s, by_oven }
}

/// The calendar of a plan; where its block has to wait for that of another shot, as both of them have it.
pub fn days(plan: &Plan, shop: &Shop, casts: &CastsReport, way: &Way, both: Option<&BothDays>) -> DaysReport {
    let (route, habits) = (&way.route, &shop.habits);
    let Way { preheat_s, reheat_s, cycle_s, .. } = *way;
    let (demould_s, oven_places, casts_a_day) = (plan.resin(shop).demould_s, route.oven_places, route.casts_a_day);
    let makes = plan.second_shot.as_ref().map(|s| s.makes);
    let calendar = match both {
        Some(both) if makes == Some(Shot::Hard) => both.hard.clone(),
        Some(both) => both.soft.clone(),
        None => route.calendar(),
    };
    let (bottleneck, saves_days) = route.bottleneck();
    let waits = both.is_some_and(|b| b.waits_for_other);
    let (bottleneck, saves_days) = if waits { ("the hard casts", 0) } else { (said(bottleneck), saves_days) };
    let start = civil_date::read(&plan.diary.start);
    let date = |day: u32| start.map(|s| civil_date::write(s + i64::from(day)));
    let finish = |wanted: Event| calendar.events.iter().find(|e| e.1 == wanted).and_then(|e| date(e.0));
    let oven_s = f64::from(calendar.casting_days) * f64::from(oven_places) * habits.work_day_s;
    DaysReport {
        good: casts.good,
        tool_life: casts.tool_life,
        tools: calendar.tools,
        days: calendar.working_days,
        calendar_days: calendar.days,
        masters: plan.diary.masters,
        preheat_s,
        reheat_s,
        cycle_s,
        casts_a_day,
        oven_places,
        cure_days: route.cure_days,
        oven_share: if oven_s > 0.0 { f64::from(casts.to_make) * (reheat_s + demould_s) / oven_s } else { 0.0 },
        fixture_share: if calendar.casting_days > 0 {
            f64::from(calendar.places_taken) / f64::from(calendar.casting_days * oven_places)
        } else {
            0.0
        },
        finish_date: finish(Event::LastCast),
        full_strength_date: finish(Event::FullStrength),
        bottleneck: bottleneck.to_owned(),
        one_more_saves_days: saves_days,
        events: event_reports(plan, &calendar),
    }
}

/// What happens when, in words.
pub fn event_reports(plan: &Plan, calendar: &Calendar) -> Vec<EventReport> {
    let start = civil_date::read(&plan.diary.start);
    let date = |day: u32| start.map(|s| civil_date::write(s + i64::from(day)));
    let report = |(day, event): &(u32, Event)| EventReport { day: day + 1, date: date(*day), what: words(*event) };
    calendar.events.iter().map(report).collect()
}

fn said(bottleneck: Bottleneck) -> &'static str {
    match bottleneck {
        Bottleneck::Masters => "masters",
        Bottleneck::CastsADay => "casts a day from one block",
        Bottleneck::OvenPlaces => "places in the oven",
        Bottleneck::Life => "tool life",
        Bottleneck::Waiting => "cure, cut and heating through",
    }
}

fn words(event: Event) -> String {
    match event {
        Event::MastersDone => "masters finished".into(),
        Event::Poured(n) => format!("block {n} boxed and poured"),
        Event::Cut(n) => format!("block {n} cut, master out"),
        Event::FirstCast(n) => format!("first cast from block {n}"),
        Event::LastCast => "last cast".into(),
        Event::FullStrength => "last cast at full strength".into(),
    }
}
