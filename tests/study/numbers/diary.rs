//! The calendar against cases worked by hand.

use super::a_job::{Job, near};
use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::plan::{CastEntry, Stage};
use mouldbench::study::numbers::diary::{Bottleneck, Event, Route, casts_to_make};

fn route() -> Route {
    Route {
        casts: 10,
        life: 20,
        left_in_block: 0,
        masters: 1,
        master_days: 1,
        cure_days: 1,
        heat_days: 1,
        casts_a_day: 2,
        oven_places: 4,
        rest_days: 7,
        works: [true; 7],
    }
}

#[test]
fn casts_to_make_by_hand() {
    // 25 good at 90 % are 27.8, so 28, and 2 to set up: 30.
    assert_eq!(casts_to_make(25, 0.1, 2), 30);
    // 18 at 90 % are 20 sharp, whatever rounding says.
    assert_eq!(casts_to_make(18, 0.1, 0), 20);
    assert_eq!(casts_to_make(27, 0.1, 0), 30);
    assert_eq!(casts_to_make(10, 0.0, 0), 10);
    assert_eq!(casts_to_make(0, 0.1, 2), 0);
}

#[test]
fn one_block_by_hand() {
    // Master on day 0, poured on 1, cut on 2, cast on 3 to 7 with two a day, rest until 14.
    let c = route().calendar();
    let expected = [
        (0, Event::MastersDone),
        (1, Event::Poured(1)),
        (2, Event::Cut(1)),
        (3, Event::FirstCast(1)),
        (7, Event::LastCast),
        (14, Event::FullStrength),
    ];
    assert_eq!(c.events, expected);
    assert_eq!((c.tools, c.days, c.working_days, c.casting_days, c.places_taken), (1, 8, 8, 5, 5));
    // From a Friday with a free weekend: poured on Monday (3), cut on Tuesday, cast from Wednesday (5) to Friday, and on
    // Monday and Tuesday (10, 11).
    let friday = Route { works: [true, false, false, true, true, true, true], ..route() };
    let c = friday.calendar();
    assert_eq!(
        c.events[1..5],
        [(3, Event::Poured(1)), (4, Event::Cut(1)), (5, Event::FirstCast(1)), (11, Event::LastCast)]
    );
    assert_eq!((c.days, c.working_days), (12, 8));
    assert_eq!(Route { casts: 0, ..route() }.calendar().days, 0);
}

#[test]
fn three_blocks_from_one_master_finish_later_by_twice_the_time_from_box_to_cut() {
    for cure_days in [1, 3] {
        let one = Route { casts: 60, cure_days, ..route() };
        let three = Route { masters: 3, ..one.clone() };
        let (one, three) = (one.calendar(), three.calendar());
        assert_eq!((one.tools, three.tools), (3, 3));
        assert_eq!(one.days - three.days, 2 * cure_days);
        // One master stands in one box at a time: each pour waits for the cut before.
        let on = |c: &mouldbench::study::numbers::diary::Calendar, event| {
            c.events.iter().find(|e| e.1 == event).map(|e| e.0)
        };
        assert_eq!(on(&one, Event::Poured(2)), on(&one, Event::Cut(1)));
        assert_eq!(on(&three, Event::Poured(3)), on(&three, Event::Poured(1)));
    }
}

#[test]
fn the_oven_holds_blocks_up() {
    // 60 casts from three blocks at once: 20 each at two a day is 10 days. In an oven for one: 30 days.
    let wide = Route { casts: 60, masters: 3, ..route() };
    let narrow = Route { oven_places: 1, ..wide.clone() };
    assert_eq!((wide.calendar().casting_days, narrow.calendar().casting_days), (10, 30));
    assert_eq!((wide.calendar().places_taken, narrow.calendar().places_taken), (30, 30));
    // A second place lets two blocks go side by side: 15 days saved, more than anything else.
    assert_eq!(narrow.bottleneck(), (Bottleneck::OvenPlaces, 10));
    let slow = Route { casts: 60, cure_days: 30, ..route() };
    assert_eq!(slow.bottleneck(), (Bottleneck::Masters, 30));
    assert_eq!(Route { casts: 1, ..route() }.bottleneck(), (Bottleneck::Waiting, 0));
    assert_eq!(route().bottleneck(), (Bottleneck::CastsADay, 1));
}

#[test]
fn a_block_in_use_gives_what_is_left_in_it() {
    // Five left, six more from a block that is poured on the first day.
    let c = Route { casts: 11, left_in_block: 5, master_days: 0, ..route() }.calendar();
    assert_eq!(c.tools, 1);
    assert_eq!(c.events[0], (0, Event::Poured(1)));
    // 2, 2 from the old one; on day 2 one from it and two from the new one, then 2, 2: day 4.
    assert_eq!(c.days, 5);
    assert_eq!(Route { casts: 5, left_in_block: 5, ..route() }.calendar().tools, 0);
}

#[test]
fn the_report_goes_by_plan_shop_and_log() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 40.0));
    let job = Job::new(&mesh).with(|plan, shop| {
        plan.quantity.good = 25;
        plan.diary.start = "2026-01-02".into();
        shop.habits.casts_a_day = 2;
        shop.resins[0].tool_life = (30, 40);
    });
    let report = job.report();
    assert_eq!((report.casts.to_make, report.casts.tools), (30, [1, 1]));
    // 2 January 2026 is a Friday: masters on it, poured on Monday the 5th, cut on the 6th, 15 days of two casts from
    // Wednesday the 7th to Tuesday the 27th; seven days of rest.
    assert_eq!(report.days.finish_date.as_deref(), Some("2026-01-27"));
    assert_eq!(report.days.full_strength_date.as_deref(), Some("2026-02-03"));
    assert_eq!(report.days.days, 18);
    // A block of 130 × 90 × 85 heats through to 5 % faster than a slab of 85 alone, 105.24 min · (85/50)².
    assert!(report.days.preheat_s < 105.24 * 60.0 * (85.0f64 / 50.0).powi(2) && report.days.preheat_s > 3600.0);
    near(report.days.reheat_s, 0.25 * report.days.preheat_s, 1e-9);
    // Ten casts logged, one of them scrap: 16 good still wanted are 18 casts, nothing to set up, all from this block.
    let mut log: Vec<CastEntry> = (1..=10).map(|shot| CastEntry { shot, good: true, ..CastEntry::default() }).collect();
    log[4].good = false;
    let later = job.with(|plan, _| (plan.log, plan.stage) = (log, Stage::Casting)).report();
    assert_eq!((later.casts.made_good, later.casts.set_up, later.casts.to_make), (9, 0, 18));
    assert_eq!((later.casts.tools, later.days.days), ([0, 0], 9));
}
