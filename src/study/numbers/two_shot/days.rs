//! The days of both shots: hard casts are made as the soft ones need them, and none is cast over before it has waited.
//!
//! Assumed: both blocks are worked on side by side in equal boxes and ovens, with as many masters each; a hard cast is cast
//! over on the next working day at the earliest; where the soft part's block is poured round the first hard cast, its box
//! is built on the day after that cast. Hard casts are made no sooner than soft shots need them, so that none lies about
//! but over days off.

use crate::plan::{Plan, Shot, SoftCavity, Stage};
use crate::shop::Shop;
use crate::study::numbers::diary::{Calendar, Route, When, casts_to_make};

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

/// Both calendars.
#[derive(Clone, Debug, PartialEq)]
pub struct BothDays {
    /// Of the hard part.
    pub hard: Calendar,
    /// Of the soft part.
    pub soft: Calendar,
    /// Hard casts to make, rejects and set-up casts with them.
    pub hard_casts: u32,
    /// Soft shots to make, likewise.
    pub soft_casts: u32,
    /// Days from a hard cast until it may be cast over.
    pub wait_days: u32,
    /// Longest that a hard cast waits in these calendars, days.
    pub longest_wait_days: u32,
    /// True where this block would be done sooner if it had not to wait for the other.
    pub waits_for_other: bool,
}

/// The days of both shots of `plan`, whose own block goes the way of `own`; none where there is one shot. `other_a_day` is how
/// many casts the other block gives in a working day.
pub fn both_days(plan: &Plan, shop: &Shop, own: &Route, other_a_day: u32) -> Option<BothDays> {
    let second = plan.second_shot.as_ref()?;
    let habits = &shop.habits;
    let reject = plan.quantity.reject_share.unwrap_or(habits.reject_share);
    let set_up = plan.quantity.set_up.unwrap_or(habits.set_up_casts);
    // Every soft shot, good or not, takes a good hard cast.
    let other_casts = match second.makes {
        Shot::Soft => casts_to_make(own.casts, reject, set_up),
        Shot::Hard => plan.quantity.good,
    };
    let life = second.resin(shop).tool_life.0;
    let other = Route {
        casts: other_casts,
        life,
        // A block that is cut has a sister that is cut.
        left_in_block: if plan.stage >= Stage::Cut { life } else { 0 },
        casts_a_day: other_a_day,
        ..own.clone()
    };
    let (hard, soft) = if second.makes == Shot::Hard { (own, &other) } else { (&other, own) };
    let wait_days = (second.wait_s(shop) / DAY_S).ceil().clamp(1.0, 1000.0) as u32;
    let first = |c: &Calendar| c.casts_by_day.first().map_or(0, |d| d.0);
    let alone = hard.calendar();
    let poured = plan.stage >= Stage::Poured;
    let pour_from = match second.cavity {
        SoftCavity::RoundFirstCast if !poured => first(&alone) + 1,
        _ => 0,
    };
    // Hard casts that lie there already, and soft shots that wait for those still to come.
    let logged = plan.log.iter().filter(|c| c.good).count() as u32;
    let ready = match second.makes {
        Shot::Hard if hard.casts == 0 => soft.casts,
        Shot::Hard => logged.min(soft.casts),
        Shot::Soft => 0,
    };
    let to_come = soft.casts - ready;
    // Soft shots as they would follow if every hard cast were there when the first is, and hard casts no sooner than these
    // need them.
    let all_there = [(0, ready), (first(&alone) + wait_days, to_come)];
    let wanted = soft.calendar_when(&When { pour_from, supply: Some(&all_there) }).casts_by_day;
    let hard_for = |soft_casts: u32| share(soft_casts.saturating_sub(ready), hard.casts, to_come, true);
    let needs = by_day(&wanted, hard_for, |day| hard.last_working(day.saturating_sub(wait_days)));
    let hard_days = hard.calendar_when(&When { pour_from: 0, supply: Some(&needs) });
    // Good ones, as they come.
    let good_of = |hard_casts: u32| share(hard_casts, to_come, hard.casts, false);
    let mut supply = by_day(&hard_days.casts_by_day, good_of, |day| day + wait_days);
    if ready > 0 {
        supply.insert(0, (0, ready));
    }
    let soft_days = soft.calendar_when(&When { pour_from, supply: Some(&supply) });
    let waits_for_other = second.makes == Shot::Soft && soft_days.days > soft.calendar().days;
    Some(BothDays {
        longest_wait_days: longest_wait(&supply, &soft_days.casts_by_day) + wait_days,
        hard: hard_days,
        soft: soft_days,
        hard_casts: hard.casts,
        soft_casts: soft.casts,
        wait_days,
        waits_for_other,
    })
}

/// `part` of `of` as the same share of `whole`, rounded up or down.
fn share(part: u32, whole: u32, of: u32, up: bool) -> u32 {
    let (product, of) = (u64::from(part) * u64::from(whole), u64::from(of.max(1)));
    (if up { product.div_ceil(of) } else { product / of }) as u32
}

/// What comes on which day, given what was made by then, as `count` and `when` have it.
fn by_day(made: &[(u32, u32)], count: impl Fn(u32) -> u32, when: impl Fn(u32) -> u32) -> Vec<(u32, u32)> {
    let mut so_far = 0;
    let more = made.iter().map(|&(day, casts)| {
        let before = count(so_far);
        so_far += casts;
        (when(day), count(so_far) - before)
    });
    more.collect()
}

/// The longest that anything waits between the day on which it is there and that on which it is taken, first come first
/// served.
fn longest_wait(there: &[(u32, u32)], taken: &[(u32, u32)]) -> u32 {
    let (mut longest, mut at, mut left) = (0, 0, there.first().map_or(0, |t| t.1));
    for &(day, count) in taken {
        let mut wanted = count;
        while wanted > 0 && at < there.len() {
            if left == 0 {
                at += 1;
                left = there.get(at).map_or(0, |t| t.1);
                continue;
            }
            longest = longest.max(day.saturating_sub(there[at].0));
            let took = wanted.min(left);
            (wanted, left) = (wanted - took, left - took);
        }
    }
    longest
}
