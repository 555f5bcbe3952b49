//! The fill of the cavity, followed on a thread of its own with pictures on the way.

use crate::app::App;
use crate::app::canvas::scenery::Colouring;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::fill::viscosity::Pace;
use crate::study::fill::{CELL_BUDGET, Fill};
use std::sync::Arc;

/// When resin comes to every vertex of the body, as far as it was followed.
#[derive(Clone, Debug, PartialEq)]
pub struct FillTimes {
    /// Seconds after the pour began; infinite where resin does not come, or has not come yet.
    pub seconds: Vec<f32>,
    /// The latest of them that is finite, at least a tenth of a second.
    pub longest_s: f32,
}

impl FillTimes {
    fn of(vertex_at: &[f32], pace: &Pace) -> FillTimes {
        let seconds: Vec<f32> = vertex_at.iter().map(|at| pace.seconds(*at as f64) as f32).collect();
        let longest_s = seconds.iter().copied().filter(|s| s.is_finite()).fold(0.1, f32::max);
        FillTimes { seconds, longest_s }
    }
}

/// What comes back from the thread.
#[derive(Debug)]
struct News {
    times: Option<FillTimes>,
    /// How it ended, once it has.
    end: Option<Result<(), String>>,
}

/// Follows fills.
#[derive(Debug)]
pub struct Filler {
    bench: Arc<Bench>,
    waker: Waker,
    news: Mailbox<News>,
    under_way: Option<(u64, Run)>,
}

impl Filler {
    /// A filler at the same bench.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Filler {
        Filler { bench, waker, news: Mailbox::default(), under_way: None }
    }

    fn start(&mut self, plan: Arc<Plan>, version: u64) {
        self.cancel();
        let run = Run::new();
        self.under_way = Some((version, run.clone()));
        let (bench, waker, news) = (self.bench.clone(), self.waker.clone(), self.news.clone());
        let work = move || {
            let end = follow(&bench, &plan, &run, |times| {
                if !run.is_cancelled() {
                    news.put(News { times: Some(times), end: None });
                    waker.wake();
                }
            });
            if !run.is_cancelled() {
                let (times, end) = match end {
                    Ok(fill) => (fill.map(|f| FillTimes::of(&f.vertex_at, &f.cup)), Ok(())),
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

    /// Drops the fill under way if it is not that of this version of the plan.
    pub fn cancel_others(&mut self, version: u64) {
        if self.under_way.as_ref().is_some_and(|u| u.0 != version) {
            self.cancel();
        }
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
    run: &Run,
    mut watch: impl FnMut(FillTimes),
) -> Result<Option<Arc<Fill>>, StudyError> {
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    bench.fill(plan, &setting, &body, CELL_BUDGET, run, |p| watch(FillTimes::of(&p.vertex_at, &p.cup)))
}

impl App {
    /// Starts to follow the fill of the plan as it is now, and shows it.
    pub fn follow_the_fill(&mut self) {
        if let Some(document) = &self.document {
            self.filler.start(document.shared(), document.version());
            self.fill_share = 1.0;
            self.canvas.colouring = Some(Colouring::Fill);
        }
    }

    /// True while a fill is followed.
    pub fn is_filling(&self) -> bool {
        self.filler.doing().is_some()
    }

    /// When resin comes where, as far as it was followed; the share of the whole time that is shown may be changed.
    pub fn fill_times(&mut self) -> Option<(Arc<FillTimes>, &mut f64)> {
        self.fill_times.clone().map(|times| (times, &mut self.fill_share))
    }

    /// Takes in what came of the fill.
    pub(super) fn take_in_fill(&mut self) {
        let Some(news) = self.filler.news.take() else { return };
        if let Some(times) = news.times {
            self.fill_times = Some(Arc::new(times));
        }
        match news.end {
            Some(Ok(())) => {
                self.filler.under_way = None;
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

    /// Lets go of a fill that is of another plan than the facts.
    pub(super) fn drop_stale_fill(&mut self) {
        let stale = self.known.complete && self.known.facts.as_ref().is_some_and(|f| f.fill.is_none());
        if stale && !self.is_filling() {
            self.fill_times = None;
        }
    }
}
