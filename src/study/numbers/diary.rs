//! The job as a calendar: master, box and pour, cure, cut, heating through, casts, rest.
//!
//! Whole days are counted from the day on which work starts. Assumed: masters are finished side by side; a box is built and
//! poured in one working day; rubber cures by day and night; a block is cut on the first working day after its cure, and
//! its master goes into the next box on that same day; it is heated through overnight, and cast from the next working
//! day on; each block gives so many casts in a working day, and as many blocks are in use as the oven holds.

/// What the calendar is made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Casts to make, rejects and set-up casts with them.
    pub casts: u32,
    /// Casts that a block gives.
    pub life: u32,
    /// Casts that the block in use still gives; 0 where none is cut yet.
    pub left_in_block: u32,
    /// Masters.
    pub masters: u32,
    /// Working days to finish them.
    pub master_days: u32,
    /// Days of cure.
    pub cure_days: u32,
    /// Days of heating through after the cut, at least one.
    pub heat_days: u32,
    /// Casts that a block gives in a working day.
    pub casts_a_day: u32,
    /// Blocks that the oven holds at once.
    pub oven_places: u32,
    /// Days of rest after the last cast.
    pub rest_days: u32,
    /// Days that are worked, by days since the start.
    pub works: [bool; 7],
}

/// What a day brings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// Masters are finished.
    MastersDone,
    /// This block is poured, counted from 1.
    Poured(u32),
    /// This block is cut.
    Cut(u32),
    /// This block gives its first cast.
    FirstCast(u32),
    /// The last cast of all.
    LastCast,
    /// All casts have their full strength.
    FullStrength,
}

/// The calendar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Calendar {
    /// Blocks that are poured.
    pub tools: u32,
    /// What happens on which day, from 0, in order.
    pub events: Vec<(u32, Event)>,
    /// Days from the first to that of the last cast, both counted; 0 where nothing is left to do.
    pub days: u32,
    /// Of these, days that are worked.
    pub working_days: u32,
    /// Days on which something is cast.
    pub casting_days: u32,
    /// Places of the oven that were taken, summed over those days.
    pub places_taken: u32,
    /// Casts made on each of those days, in order.
    pub casts_by_day: Vec<(u32, u32)>,
}

/// What a job has to wait for besides itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct When<'a> {
    /// No box is poured before this day.
    pub pour_from: u32,
    /// What each cast takes one of, and on which day how many of them come, the earliest first; none where it takes nothing.
    pub supply: Option<&'a [(u32, u32)]>,
}

/// What keeps a job from being done sooner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bottleneck {
    /// One master for several blocks.
    Masters,
    /// Casts that a block gives in a day.
    CastsADay,
    /// Places in the oven.
    OvenPlaces,
    /// Casts that a block gives before it is worn out.
    Life,
    /// Curing, cutting and finishing, which have to be waited for.
    Waiting,
}

/// Most days that a calendar is followed for.
const LONGEST: u32 = 20_000;
/// Most blocks that it is followed for.
const MOST_TOOLS: u32 = 2000;

impl Route {
    fn works(&self, day: u32) -> bool {
        self.works[(day % 7) as usize]
    }

    /// The first working day from `day` on.
    fn working(&self, day: u32) -> u32 {
        (day..day.saturating_add(7)).find(|d| self.works(*d)).unwrap_or(day)
    }

    /// The working day that comes `count` working days after `day`, itself a working day.
    fn after(&self, mut day: u32, count: u32) -> u32 {
        for _ in 0..count {
            day = self.working(day + 1);
        }
        day
    }

    /// Blocks that have to be poured.
    pub fn tools(&self) -> u32 {
        self.casts.saturating_sub(self.left_in_block).div_ceil(self.life.max(1)).min(MOST_TOOLS)
    }

    /// The last working day up to `day`; that day itself where none of the week before is worked.
    pub fn last_working(&self, day: u32) -> u32 {
        (day.saturating_sub(6)..=day).rev().find(|d| self.works(*d)).unwrap_or(day)
    }

    /// Follows the job day by day.
    pub fn calendar(&self) -> Calendar {
        self.calendar_when(&When::default())
    }

    /// The same where it has to wait for something.
    pub fn calendar_when(&self, when: &When) -> Calendar {
        let tools = self.tools();
        let mut calendar = Calendar { tools, ..Calendar::default() };
        if self.casts == 0 {
            return calendar;
        }
        let life = self.life.max(1);
        // Each block: the first day on which it may be cast in, and the casts that are left in it.
        let mut blocks: Vec<(u32, u32, u32)> = Vec::new();
        if self.left_in_block > 0 {
            blocks.push((0, self.working(0), self.left_in_block));
        }
        let start = self.working(0);
        let mut free = Vec::new();
        if tools > 0 {
            let masters_done = self.after(start, self.master_days);
            if self.master_days > 0 {
                let last = (start..masters_done).rev().find(|d| self.works(*d)).unwrap_or(start);
                calendar.events.push((last, Event::MastersDone));
            }
            free = vec![masters_done.max(when.pour_from); self.masters.clamp(1, tools) as usize];
        }
        for number in 1..=tools {
            let master = (number as usize - 1) % free.len();
            let poured = self.working(free[master]);
            let cut = self.working(poured.saturating_add(self.cure_days.max(1)));
            free[master] = cut;
            let first = self.working(cut.saturating_add(self.heat_days.max(1)));
            calendar.events.push((poured, Event::Poured(number)));
            calendar.events.push((cut, Event::Cut(number)));
            blocks.push((number, first, life));
        }
        let mut rest = self.casts.min(when.supply.map_or(u32::MAX, |s| s.iter().map(|d| d.1).sum()));
        let (mut there, mut to_come) = (0u32, when.supply.unwrap_or(&[]));
        // Blocks are ready, and worn out, in about their order.
        let mut worn = 0;
        let mut day = start;
        let mut last = start;
        while rest > 0 && day < LONGEST {
            while let [(when, count), later @ ..] = to_come
                && *when <= day
            {
                (there, to_come) = (there + count, later);
            }
            if self.works(day) {
                let (mut taken, rest_before) = (0, rest);
                while worn < blocks.len() && blocks[worn].2 == 0 {
                    worn += 1;
                }
                for (number, first, left) in &mut blocks[worn..] {
                    // A block that is not ready is followed by none that is.
                    if rest == 0 || taken == self.oven_places.max(1) || *first > day {
                        break;
                    }
                    if *left == 0 {
                        continue;
                    }
                    let made = self.casts_a_day.max(1).min(*left).min(rest);
                    let made = if when.supply.is_some() { made.min(there) } else { made };
                    if made == 0 {
                        break;
                    }
                    if *left == life && *number > 0 {
                        calendar.events.push((day, Event::FirstCast(*number)));
                    }
                    there = there.saturating_sub(made);
                    (*left, rest, taken) = (*left - made, rest - made, taken + 1);
                }
                if taken > 0 {
                    last = day;
                    calendar.casts_by_day.push((day, rest_before - rest));
                    calendar.casting_days += 1;
                    calendar.places_taken += taken;
                }
            }
            day += 1;
        }
        calendar.events.push((last, Event::LastCast));
        calendar.events.push((last.saturating_add(self.rest_days), Event::FullStrength));
        calendar.events.sort_by_key(|e| e.0);
        calendar.days = last + 1;
        calendar.working_days = (0..=last).filter(|d| self.works(*d)).count() as u32;
        calendar
    }

    /// What saves most days where there is one more of it, and how many; waiting where nothing of it saves any.
    pub fn bottleneck(&self) -> (Bottleneck, u32) {
        let now = self.calendar().days;
        let more = [
            (Bottleneck::Masters, Route { masters: self.masters + 1, ..self.clone() }),
            (Bottleneck::CastsADay, Route { casts_a_day: self.casts_a_day + 1, ..self.clone() }),
            (Bottleneck::OvenPlaces, Route { oven_places: self.oven_places + 1, ..self.clone() }),
            (Bottleneck::Life, Route { life: self.life.saturating_mul(2), ..self.clone() }),
        ];
        let mut best = (Bottleneck::Waiting, 0);
        for (what, route) in more {
            let saves = now.saturating_sub(route.calendar().days);
            if saves > best.1 {
                best = (what, saves);
            }
        }
        best
    }
}

/// Casts to make for `good` good ones where `reject_share` of them is thrown away, and `set_up` more to set the job up.
pub fn casts_to_make(good: u32, reject_share: f64, set_up: u32) -> u32 {
    if good == 0 {
        return 0;
    }
    // A whole number but for rounding stays as it is.
    let made = (f64::from(good) / (1.0 - reject_share.clamp(0.0, 0.99)) - 1e-9).ceil();
    (made as u32).saturating_add(set_up)
}
