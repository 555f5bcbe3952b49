//! The days of two shots, by hand.

use mouldbench::plan::{CastEntry, Plan, Quantity, SecondShot, Shot, SoftCavity};
use mouldbench::shop::Shop;
use mouldbench::study::numbers::diary::{Event, Route};
use mouldbench::study::numbers::two_shot::days::{BothDays, both_days};

/// Every day is worked, one master is finished in a day, a night of cure, a night of heating, two casts a day.
fn route(casts: u32) -> Route {
    Route {
        casts,
        life: 20,
        left_in_block: 0,
        masters: 1,
        master_days: 1,
        cure_days: 1,
        heat_days: 1,
        casts_a_day: 2,
        oven_places: 1,
        rest_days: 7,
        works: [true; 7],
    }
}

fn plan(makes: Shot, cavity: SoftCavity, good: u32) -> Plan {
    Plan {
        second_shot: Some(SecondShot { makes, cavity, ..SecondShot::default() }),
        // Neither rejects nor set-up casts, so that counts are seen.
        quantity: Quantity { good, set_up: Some(0), reject_share: Some(0.0) },
        ..Plan::default()
    }
}

fn both(makes: Shot, cavity: SoftCavity, route: &Route) -> BothDays {
    both_days(&plan(makes, cavity, route.casts), Shop::bundled(), route, 2).expect("two shots")
}

fn day_of(events: &[(u32, Event)], wanted: Event) -> u32 {
    events.iter().find(|e| e.1 == wanted).map(|e| e.0).expect("it happens")
}

#[test]
fn a_plan_of_one_shot_has_no_other_days() {
    assert!(both_days(&Plan::default(), Shop::bundled(), &route(6), 2).is_none());
}

#[test]
fn with_a_tool_of_its_own_the_soft_shot_follows_a_day_behind() {
    // Day 0 masters, 1 both poured, 2 cut, 3 hot. Hard casts on days 3, 4, 5; soft ones a night later, on 4, 5, 6. Alone the
    // soft block would be done on day 5.
    let days = both(Shot::Soft, SoftCavity::OwnTool, &route(6));
    assert_eq!(days.hard.casts_by_day, [(3, 2), (4, 2), (5, 2)]);
    assert_eq!(days.soft.casts_by_day, [(4, 2), (5, 2), (6, 2)]);
    assert_eq!((days.soft.days, days.wait_days, days.longest_wait_days), (7, 1, 1));
    assert!(days.waits_for_other);
    // The same job, told from the other block.
    let told = both(Shot::Hard, SoftCavity::OwnTool, &route(6));
    assert_eq!((told.hard, told.soft), (days.hard, days.soft));
    assert!(!told.waits_for_other);
}

#[test]
fn round_the_first_cast_the_soft_block_starts_when_the_hard_one_casts() {
    // Hard: first cast on day 3. Soft box on 4, cut on 5, hot on 6. Hard casts go on from the day before, 5.
    let days = both(Shot::Soft, SoftCavity::RoundFirstCast, &route(6));
    assert_eq!(day_of(&days.soft.events, Event::Poured(1)), 4);
    assert_eq!(day_of(&days.soft.events, Event::Cut(1)), 5);
    assert_eq!(days.hard.casts_by_day, [(5, 2), (6, 2), (7, 2)]);
    assert_eq!(days.soft.casts_by_day, [(6, 2), (7, 2), (8, 2)]);
    assert_eq!(days.longest_wait_days, 1);
}

#[test]
fn a_slower_hard_block_sets_the_pace_and_nothing_is_cast_over_nothing() {
    let own = route(6);
    let job = plan(Shot::Soft, SoftCavity::OwnTool, 6);
    let days = both_days(&job, Shop::bundled(), &own, 1).expect("two shots");
    assert_eq!(days.hard.casts_by_day, [(3, 1), (4, 1), (5, 1), (6, 1), (7, 1), (8, 1)]);
    assert_eq!(days.soft.casts_by_day, [(4, 1), (5, 1), (6, 1), (7, 1), (8, 1), (9, 1)]);
    // A faster one makes no more than are cast over on the next day.
    let days = both_days(&job, Shop::bundled(), &own, 4).expect("two shots");
    assert_eq!(days.hard.casts_by_day, [(3, 2), (4, 2), (5, 2)]);
    assert_eq!(days.soft.casts_by_day, [(4, 2), (5, 2), (6, 2)]);
    assert_eq!(days.longest_wait_days, 1);
}

/// Six are wanted, and hard ones lie there already: soft shots begin with those, and the rest follow the hard casts to come.
#[test]
fn hard_casts_that_lie_there_are_cast_over_first() {
    let with = |logged: usize, left: u32| {
        let mut plan = plan(Shot::Hard, SoftCavity::OwnTool, 6);
        plan.log = vec![CastEntry { good: true, ..CastEntry::default() }; logged];
        both_days(&plan, Shop::bundled(), &route(left), 2).expect("two shots")
    };
    let some = with(2, 4);
    assert_eq!(some.hard.casts_by_day, [(3, 2), (4, 2)]);
    assert_eq!(some.soft.casts_by_day, [(3, 2), (4, 2), (5, 2)]);
    // None is to come, and all six are still cast over.
    let all = with(6, 0);
    assert_eq!(all.hard.casts_by_day, []);
    assert_eq!(all.soft.casts_by_day, [(3, 2), (4, 2), (5, 2)]);
}

#[test]
fn days_off_lengthen_the_wait() {
    // Starting on a Monday: hard casts on Thursday 3, Friday 4, Monday 7; Friday's are cast over on Monday, three days on.
    let own = Route { works: [true, true, true, true, true, false, false], ..route(6) };
    let days = both(Shot::Soft, SoftCavity::OwnTool, &own);
    assert_eq!(days.hard.casts_by_day, [(3, 2), (4, 2), (7, 2)]);
    assert_eq!(days.soft.casts_by_day, [(4, 2), (7, 2), (8, 2)]);
    assert_eq!(days.longest_wait_days, 3);
}

#[test]
fn a_longer_wait_and_rejects_are_counted() {
    let mut job = plan(Shot::Soft, SoftCavity::OwnTool, 6);
    // Two days and an hour: three nights.
    job.second_shot.as_mut().expect("two shots").wait_s = Some(2.0 * 86_400.0 + 3600.0);
    job.quantity.reject_share = Some(0.25);
    let days = both_days(&job, Shop::bundled(), &route(6), 2).expect("two shots");
    assert_eq!(days.wait_days, 3);
    // Six soft shots take six good hard casts: of eight, two are thrown away. Hard casts run on days 3 to 6, of which 1, 3, 4 and
    // 6 are good by then; the soft block is ready on day 3, so nothing is held back.
    assert_eq!(days.hard_casts, 8);
    assert_eq!(days.hard.casts_by_day, [(3, 2), (4, 2), (5, 2), (6, 2)]);
    assert_eq!(days.soft.casts_by_day.iter().map(|d| d.1).sum::<u32>(), 6);
    assert_eq!(days.soft.casts_by_day.first(), Some(&(6, 1)));
    assert_eq!(days.soft.casts_by_day.last().map(|d| d.0), Some(9));
}
