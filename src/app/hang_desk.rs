//! Ways up, measured on a thread of its own: what came of it, how it is shown, and hanging the part by one.

use crate::app::App;
use crate::app::mailbox::Mailbox;
use crate::app::propose::Wanted;
use crate::app::steps::hang_map;
use crate::app::waker::Waker;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::propose::hang_into;
use crate::study::ways_up::subject::SubjectKey;
use crate::study::ways_up::{Criterion, HangSearch, Scored};
use glam::{DVec3, Vec3};
use std::sync::Arc;

/// What is known of the ways up, ready to be shown.
#[derive(Debug)]
pub struct Ways {
    /// What was measured.
    pub search: HangSearch,
    /// What it was measured on.
    pub of: SubjectKey,
    /// The direction that each point of the map shows, see [`hang_map::nearest_of`].
    pub nearest: Vec<u16>,
}

impl Ways {
    fn of(search: &HangSearch, of: &SubjectKey) -> Ways {
        Ways { search: search.clone(), of: of.clone(), nearest: hang_map::nearest_of(search) }
    }
}

/// What comes back from the thread.
#[derive(Debug)]
struct News {
    ways: Option<Ways>,
    /// How it ended, once it has.
    end: Option<Result<(), String>>,
}

/// Seeks ways up, and keeps those that were found.
pub struct HangDesk {
    bench: Arc<Bench>,
    waker: Waker,
    news: Mailbox<News>,
    under_way: Option<Run>,
    ways: Option<Arc<Ways>>,
    /// What the map is coloured by; none for all together.
    pub shown: Option<Criterion>,
    /// The coloured map with what it was made from.
    pub picture: Option<(hang_map::Painted, egui::TextureHandle)>,
    /// How the part hung when ways up were last asked for.
    asked_for: Option<Vec3>,
}

impl std::fmt::Debug for HangDesk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("HangDesk").field("ways", &self.ways).field("shown", &self.shown).finish_non_exhaustive()
    }
}

impl HangDesk {
    /// A desk at the same bench.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> HangDesk {
        HangDesk {
            bench,
            waker,
            news: Mailbox::default(),
            under_way: None,
            ways: None,
            shown: None,
            picture: None,
            asked_for: None,
        }
    }

    fn start(&mut self, plan: Arc<Plan>) {
        self.cancel();
        self.asked_for = Some(hung(&plan));
        let run = Run::new();
        self.under_way = Some(run.clone());
        let (bench, waker, news) = (self.bench.clone(), self.waker.clone(), self.news.clone());
        let work = move || {
            let end = seek(&bench, &plan, &run, |search, of| {
                if !run.is_cancelled() {
                    news.put(News { ways: Some(Ways::of(search, of)), end: None });
                    waker.wake();
                }
            });
            if !run.is_cancelled() {
                let (ways, end) = match end {
                    Ok(ways) => (Some(ways), Ok(())),
                    Err(e) => (None, Err(e.to_string())),
                };
                news.put(News { ways, end: Some(end) });
                waker.wake();
            }
        };
        if std::thread::Builder::new().name("ways up".into()).spawn(work).is_err() {
            self.under_way = None;
        }
    }

    /// Stops the search under way; what it found so far stays.
    pub fn cancel(&mut self) {
        if let Some(run) = self.under_way.take() {
            run.cancel();
            self.news = Mailbox::default();
        }
    }

    /// Forgets everything: another job is open.
    pub fn clear(&mut self) {
        self.cancel();
        self.ways = None;
        self.picture = None;
        self.asked_for = None;
    }

    /// What is being done and the share that is done.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        self.under_way.as_ref().map(|run| ("Measuring ways up", run.done()))
    }
}

impl Drop for HangDesk {
    fn drop(&mut self) {
        self.cancel();
    }
}

fn hung(plan: &Plan) -> Vec3 {
    plan.hang.rubber.up.normalize_or(DVec3::Z).as_vec3()
}

/// The same search as that of a proposal.
fn seek(
    bench: &Bench,
    plan: &Plan,
    run: &Run,
    mut watch: impl FnMut(&HangSearch, &SubjectKey),
) -> Result<Ways, StudyError> {
    let setting = bench.setting(plan)?;
    let subject = bench.hang_subject(plan, &setting, run)?;
    let found = bench.hang_search(plan, &setting, &subject, run, |search| watch(search, &subject.key))?;
    Ok(Ways::of(&found, &subject.key))
}

impl App {
    /// Starts to measure ways up of the part as it is now.
    pub fn measure_ways_up(&mut self) {
        if let Some(document) = &self.document {
            self.hangs.start(document.shared());
        }
    }

    /// True while ways up are measured.
    pub fn is_measuring_ways_up(&self) -> bool {
        self.hangs.doing().is_some()
    }

    /// What is known of the ways up.
    pub fn ways_up(&self) -> Option<Arc<Ways>> {
        self.hangs.ways.clone()
    }

    /// How they are shown.
    pub fn hang_desk(&mut self) -> &mut HangDesk {
        &mut self.hangs
    }

    /// True where the ways up are those of the part as it is now.
    pub fn ways_up_hold(&self, ways: &Ways) -> bool {
        let (Some(facts), Some(plan)) = (self.known.facts.as_ref(), self.plan()) else { return false };
        let of = Bench::hang_subject_key(plan, &facts.setting, facts.body.as_deref(), facts.master.as_deref());
        of.as_ref() == Some(&ways.of) && Bench::hang_asked(plan, &facts.setting) == ways.search.asked
    }

    /// Hangs the part a way up that was measured: one edit.
    pub fn hang_as(&mut self, way: &Scored) {
        self.hang_anew(Wanted::HangAs.name(), |p| hang_into(p, way));
    }

    /// Hangs what is in the block another way up: one edit. A set is laid out anew with it, since its rows would stand askew.
    pub fn hang_anew(&mut self, name: &str, hang: impl FnOnce(&mut Plan)) {
        let Some(document) = &self.document else { return };
        if document.plan().parts.len() < 2 {
            self.edit(name, hang);
            return;
        }
        let (mut plan, version) = (document.plan().clone(), document.version());
        hang(&mut plan);
        self.proposer.start(Wanted::HangAs, plan, version);
    }

    /// Measures how the part hangs now where it was hung another way since; all else is known, so that takes a moment.
    pub(super) fn keep_up_with_hang(&mut self) {
        let Some(ways) = self.hangs.ways.clone().filter(|w| w.search.complete && !self.is_measuring_ways_up()) else {
            return;
        };
        let Some(now) = self.plan().map(hung) else { return };
        if ways.search.hung.up != now && self.hangs.asked_for != Some(now) && self.ways_up_hold(&ways) {
            self.measure_ways_up();
        }
    }

    /// Takes in what was measured.
    pub(super) fn take_in_ways_up(&mut self) {
        let Some(news) = self.hangs.news.take() else { return };
        if let Some(ways) = news.ways {
            self.hangs.ways = Some(Arc::new(ways));
        }
        if let Some(end) = news.end {
            self.hangs.under_way = None;
            if let Err(words) = end {
                self.notices.trouble(words);
            }
        }
    }
}
