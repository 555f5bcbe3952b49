//! The fill of the cavity, followed on a thread of its own with pictures on the way.

use crate::app::App;
use crate::app::canvas::sight::Colouring;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::plan::Plan;
use crate::solve::cell_field::CellField;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::pour::fill::Fill;
use crate::study::pour::fill::fineness::Fineness;
use crate::study::pour::fill::finer::Finer;
use crate::study::pour::fill::viscosity::Pace;
use std::sync::Arc;
use std::time::Instant;

/// When resin comes to every cell of the cavity, as far as it was followed.
#[derive(Clone, Debug, PartialEq)]
pub struct FillTimes {
    /// Seconds after the pour began; infinite where resin does not come, or has not come yet.
    pub seconds: Arc<CellField>,
    /// The latest of them that is finite, at least a tenth of a second.
    pub longest_s: f32,
    /// True where it was followed to its end.
    pub whole: bool,
}

impl FillTimes {
    fn of(filled_at: &CellField, pace: &Pace, whole: bool) -> FillTimes {
        let seconds = filled_at.map(|at| pace.seconds(at as f64) as f32);
        let longest_s = seconds.values().iter().copied().filter(|s| s.is_finite()).fold(0.1, f32::max);
        FillTimes { seconds: Arc::new(seconds), longest_s, whole }
    }
}

/// What comes back from the thread.
#[derive(Debug)]
struct News {
    times: Option<FillTimes>,
    /// How it ended, once it has: what came of it, and how many seconds it took.
    end: Option<Result<(Option<Arc<Fill>>, f64), String>>,
}

/// Follows fills.
#[derive(Debug)]
pub struct Filler {
    bench: Arc<Bench>,
    waker: Waker,
    news: Mailbox<News>,
    under_way: Option<(u64, Run)>,
    /// The version of the plan that pictures are of.
    pictured: Option<u64>,
    /// The last one that came to its end, and how many seconds it took.
    took: Option<(Arc<Fill>, f64)>,
}

impl Filler {
    /// A filler at the same bench.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Filler {
        Filler { bench, waker, news: Mailbox::default(), under_way: None, pictured: None, took: None }
    }

    fn start(&mut self, plan: Arc<Plan>, version: u64, fineness: Fineness) {
        self.cancel();
        let run = Run::new();
        self.under_way = Some((version, run.clone()));
        let (bench, waker, news) = (self.bench.clone(), self.waker.clone(), self.news.clone());
        let work = move || {
            let start = Instant::now();
            let end = follow(&bench, &plan, fineness, &run, |times| {
                if !run.is_cancelled() {
                    news.put(News { times: Some(times), end: None });
                    waker.wake();
                }
            });
            if !run.is_cancelled() {
                let (times, end) = match end {
                    Ok(fill) => {
                        let times = fill.as_ref().map(|f| FillTimes::of(&f.filled_at, &f.cup, true));
                        (times, Ok((fill, start.elapsed().as_secs_f64())))
                    }
                    Err(e) => (None, Err(e.to_string())),
                };
                news.put(News { times, end: Some(end) });
                waker.wake();
            }
        };
        if std::thread::Builder::new().name("filler".into()).spawn(work).is_err() {
            self.under_way = None;
        }
    }

    /// Drops the fill under way.
    pub fn cancel(&mut self) {
        if let Some((_, run)) = self.under_way.take() {
            run.cancel();
            self.news = Mailbox::default();
        }
    }

    /// Drops the fill under way if it is not that of this version of the plan; true where one was dropped.
    pub fn cancel_others(&mut self, version: u64) -> bool {
        let other = self.under_way.as_ref().is_some_and(|u| u.0 != version);
        if other {
            self.cancel();
        }
        other
    }

    /// What is being done and the share that is done.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        self.under_way.as_ref().map(|(_, run)| ("Following the fill", run.done()))
    }
}

impl Drop for Filler {
    fn drop(&mut self) {
        self.cancel();
    }
}

fn follow(
    bench: &Bench,
    plan: &Plan,
    fineness: Fineness,
    run: &Run,
    mut watch: impl FnMut(FillTimes),
) -> Result<Option<Arc<Fill>>, StudyError> {
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    bench.fill(plan, &setting, &body, fineness, run, |p| watch(FillTimes::of(&p.filled_at, &p.cup, false)))
}

impl App {
    /// Starts to follow the fill of the plan as it is now, and shows it; one that was followed to its end is only shown.
    pub fn follow_the_fill(&mut self) {
        let version = self.document.as_ref().map(|d| d.version());
        let here = Some(self.known.version) == version;
        match self.known.facts.as_ref().and_then(|f| f.fill.clone()).filter(|_| here) {
            Some(fill) => {
                self.fill_times = Some(Arc::new(FillTimes::of(&fill.filled_at, &fill.cup, true)));
                self.filler.pictured = version;
                self.fill_share = 1.0;
                self.canvas.colouring = Some(Colouring::Fill);
            }
            None => self.follow_it_on(Fineness::USUAL),
        }
    }

    /// Follows it once more on finer cells than last time.
    pub fn follow_the_fill_finer(&mut self) {
        let finer = self.known.facts.as_ref().and_then(|f| Finer::than(f.fill.as_ref()?));
        if let Some(finer) = finer {
            self.follow_it_on(finer.fineness);
        }
    }

    /// Seconds that a fill would take which takes so many times as long as the one that is known; none where nobody saw how
    /// long that took.
    pub fn fill_would_take_s(&self, times_as_long: f64) -> Option<f64> {
        let known = self.known.facts.as_ref()?.fill.as_ref()?;
        let (_, took_s) = self.filler.took.as_ref().filter(|(fill, _)| Arc::ptr_eq(fill, known))?;
        Some(took_s * times_as_long)
    }

    fn follow_it_on(&mut self, fineness: Fineness) {
        if let Some(document) = &self.document {
            self.filler.start(document.shared(), document.version(), fineness);
            self.fill_share = 1.0;
            self.canvas.colouring = Some(Colouring::Fill);
        }
    }

    /// True while a fill is followed.
    pub fn is_filling(&self) -> bool {
        self.filler.doing().is_some()
    }

    /// True where there are times to be shown.
    pub fn has_fill_times(&self) -> bool {
        self.fill_times.is_some()
    }

    /// When resin comes where, as far as it was followed; the share of the whole time that is shown may be changed.
    pub fn fill_times(&mut self) -> Option<(Arc<FillTimes>, &mut f64)> {
        self.fill_times.clone().map(|times| (times, &mut self.fill_share))
    }

    /// Takes in what came of the fill.
    pub(super) fn take_in_fill(&mut self) {
        let Some(news) = self.filler.news.take() else { return };
        if let Some(times) = news.times {
            let version = self.filler.under_way.as_ref().map(|u| u.0);
            let of_this_plan = self.filler.pictured == version;
            // The last good picture stays until there is a better one.
            if times.whole || !of_this_plan || self.fill_times.as_ref().is_none_or(|t| !t.whole) {
                self.fill_times = Some(Arc::new(times));
                self.filler.pictured = version;
            }
        }
        match news.end {
            Some(Ok((fill, took_s))) => {
                self.filler.under_way = None;
                // One that was known already took no time, which tells nothing.
                if let Some(fill) = fill
                    && self.filler.took.as_ref().is_none_or(|(known, _)| !Arc::ptr_eq(known, &fill))
                {
                    self.filler.took = Some((fill, took_s));
                }
                // Facts and findings hold it now.
                self.asked = 0;
            }
            Some(Err(words)) => {
                self.filler.under_way = None;
                self.notices.trouble(words);
            }
            None => {}
        }
    }

    /// Stops the fill under way. What was followed to its end before stays; else the last picture does, and says how far
    /// it goes.
    pub(super) fn stop_the_fill(&mut self) {
        self.filler.cancel();
    }

    /// Takes away the picture of a fill that an edit put an end to: it is of another plan, and not even whole.
    pub(super) fn drop_half_a_fill(&mut self) {
        self.fill_times = self.fill_times.take().filter(|t| t.whole);
    }

    /// Lets go of a fill that is of another plan than the facts, and shows one again that is of theirs.
    pub(super) fn drop_stale_fill(&mut self) {
        if self.is_filling() || !self.known.complete {
            return;
        }
        let Some(facts) = &self.known.facts else { return };
        let version = self.document.as_ref().map(|d| d.version());
        match &facts.fill {
            None if version != self.filler.pictured => self.fill_times = None,
            Some(fill) if self.fill_times.is_none() => {
                self.filler.pictured = version;
                self.fill_times = Some(Arc::new(FillTimes::of(&fill.filled_at, &fill.cup, true)));
            }
            _ => {}
        }
    }
}
