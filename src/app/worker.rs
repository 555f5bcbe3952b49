//! The threads that compute: the latest plan wins, and what is known so far comes back as it comes.
//!
//! What a hand on the part waits for has threads of its own. The others take over for what takes longer, and may not stop
//! at once (a union of meshes cannot be stopped), so while plans follow each other quickly they wait for the hand to rest.

use crate::app::known::{Known, SinceIssue};
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::mesh::{Bounds, Mesh};
use crate::plan::Plan;
use crate::sheet::changes;
use crate::sheet::job::SheetJob;
use crate::sheet::page::Paper;
use crate::shop::Shop;
use crate::solve::run::Run;
use crate::study::bench::{Bench, Facts, StudyError};
use crate::study::findings;
use crate::study::report::Report;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::{Duration, Instant};

/// Plans that follow each other faster than this belong to one stroke of the hand.
const STROKE: Duration = Duration::from_millis(150);
/// How often it is looked whether the hand went on.
const LOOK: Duration = Duration::from_millis(10);

/// A plan to be looked into.
#[derive(Clone, Debug)]
struct Job {
    version: u64,
    plan: Arc<Plan>,
    folder: Option<PathBuf>,
    run: Run,
    /// When it was asked for.
    asked: Instant,
    /// It followed another one at once: the hand may well go on.
    in_stroke: bool,
}

impl Job {
    /// Waits until the hand rests, where it may well go on. True if this is still the newest plan then.
    fn rests(&self) -> bool {
        while self.in_stroke && self.asked.elapsed() < STROKE && !self.run.is_cancelled() {
            std::thread::sleep(LOOK);
        }
        !self.run.is_cancelled()
    }
}

/// Computes the facts of plans on threads of its own.
#[derive(Debug)]
pub struct Worker {
    jobs: Mailbox<Job>,
    /// Jobs whose quick facts are there.
    begun: Mailbox<(Job, Facts)>,
    results: Mailbox<Known>,
    /// The run of the newest job.
    run: Run,
    /// When the newest job was asked for.
    asked: Option<Instant>,
    what: Arc<Mutex<&'static str>>,
    /// Jobs asked for and not yet over.
    open: Arc<AtomicUsize>,
}

impl Worker {
    /// Starts the threads.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Worker {
        let worker = Worker {
            jobs: Mailbox::default(),
            begun: Mailbox::default(),
            results: Mailbox::default(),
            run: Run::new(),
            asked: None,
            what: Arc::default(),
            open: Arc::default(),
        };
        let desk = Arc::new(Desk {
            bench,
            waker,
            results: worker.results.clone(),
            newest: Mutex::new(0),
            what: worker.what.clone(),
            bounds: Mutex::default(),
            seen: AtomicU64::new(0),
        });
        let (jobs, begun, open, quick) = (worker.jobs.clone(), worker.begun.clone(), worker.open.clone(), desk.clone());
        // In a pool shared with the slow facts the quick ones would wait for the end of a union. Without a pool of their
        // own they wait, but come.
        let pool = rayon::ThreadPoolBuilder::new().thread_name(|i| format!("quick facts {i}")).build().ok();
        let work = move || {
            while let Some(job) = jobs.wait() {
                let facts = match &pool {
                    Some(pool) => pool.install(|| quick.quick(&job)),
                    None => quick.quick(&job),
                };
                let over = match quick.over(&job, facts).flatten() {
                    // What nobody has taken up yet and is replaced now is over.
                    Some(facts) => begun.put((job, facts)).is_some(),
                    None => true,
                };
                if over {
                    open.fetch_sub(1, Ordering::AcqRel);
                    quick.waker.wake();
                }
            }
        };
        let (begun, open) = (worker.begun.clone(), worker.open.clone());
        let later = move || {
            while let Some((job, facts)) = begun.wait() {
                if job.rests() {
                    desk.over(&job, desk.slow(&job, facts));
                }
                open.fetch_sub(1, Ordering::AcqRel);
                desk.waker.wake();
            }
        };
        // Without the threads nothing is computed; the plan can still be edited and saved.
        let _ = std::thread::Builder::new().name("quick facts".into()).spawn(work);
        let _ = std::thread::Builder::new().name("slow facts".into()).spawn(later);
        worker
    }

    /// Asks for the facts of a plan; what was being computed for an older one is dropped.
    pub fn ask(&mut self, version: u64, plan: Arc<Plan>, folder: Option<PathBuf>) {
        self.run.cancel();
        self.run = Run::new();
        self.open.fetch_add(1, Ordering::AcqRel);
        let asked = Instant::now();
        let in_stroke = self.asked.replace(asked).is_some_and(|before| asked.duration_since(before) < STROKE);
        let job = Job { version, plan, folder, run: self.run.clone(), asked, in_stroke };
        if self.jobs.put(job).is_some() {
            self.open.fetch_sub(1, Ordering::AcqRel);
        }
    }

    /// Stops the computation under way.
    pub fn cancel(&self) {
        self.run.cancel();
    }

    /// What came in since the last call.
    pub fn collect(&self) -> Option<Known> {
        self.results.take()
    }

    /// What is being computed and the share that is done; none where nothing is.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        if self.open.load(Ordering::Acquire) == 0 {
            return None;
        }
        Some((*self.what.lock().unwrap_or_else(PoisonError::into_inner), self.run.done()))
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.run.cancel();
        self.jobs.close();
        self.begun.close();
    }
}

/// What the thread works with.
struct Desk {
    bench: Arc<Bench>,
    waker: Waker,
    results: Mailbox<Known>,
    /// The newest version that was posted: what comes later about an older one is dropped.
    newest: Mutex<u64>,
    what: Arc<Mutex<&'static str>>,
    bounds: Mutex<Vec<(Weak<Mesh>, Bounds)>>,
    /// The placed parts that were shown last.
    seen: AtomicU64,
}

impl Desk {
    fn say(&self, what: &'static str) {
        *self.what.lock().unwrap_or_else(PoisonError::into_inner) = what;
    }

    fn post(&self, job: &Job, facts: &Facts, trouble: Option<String>, complete: bool) {
        let shop = self.bench.shop();
        let findings = findings::judge(&job.plan, shop, facts);
        let report = complete.then(|| Arc::new(crate::study::report::of::report_of(&job.plan, shop, facts, &findings)));
        let since_issue = report.as_ref().map_or(SinceIssue::NoRecord, |r| since_issue(&job.plan, shop, facts, r));
        self.put(Known {
            version: job.version,
            plan: job.plan.clone(),
            since_issue,
            facts: Some(Arc::new(facts.clone())),
            part_bounds: facts
                .setting
                .placed
                .meshes
                .iter()
                .chain(facts.setting.other_whole().map(|o| &o.mesh))
                .map(|m| self.bounds_of(m))
                .collect(),
            findings,
            report,
            trouble,
            complete,
            last_parting: None,
        });
        self.waker.wake();
    }

    /// Hands over what is known, unless something newer was.
    fn put(&self, known: Known) {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        if known.version >= *newest {
            *newest = known.version;
            self.results.put(known);
        }
    }

    /// The box round a part, measured once for each mesh.
    fn bounds_of(&self, mesh: &Arc<Mesh>) -> Bounds {
        let mut kept = self.bounds.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(held, _)| held.strong_count() > 0);
        let known = kept.iter().find(|(held, _)| held.upgrade().is_some_and(|m| Arc::ptr_eq(&m, mesh)));
        if let Some((_, bounds)) = known {
            return *bounds;
        }
        let bounds = mesh.bounds();
        kept.push((Arc::downgrade(mesh), bounds));
        bounds
    }

    /// What came of a stage; where it failed the window is told.
    fn over<T>(&self, job: &Job, outcome: Result<T, StudyError>) -> Option<T> {
        match outcome {
            Ok(value) => Some(value),
            Err(StudyError::Cancelled(_)) => None,
            Err(e) => {
                let trouble = Some(e.to_string());
                let (version, plan) = (job.version, job.plan.clone());
                self.put(Known { version, plan, trouble, complete: true, ..Known::default() });
                None
            }
        }
    }

    /// The facts that a hand on the part waits for; none where all others stand already.
    fn quick(&self, job: &Job) -> Result<Option<Facts>, StudyError> {
        self.bench.set_folder(job.folder.as_deref());
        let (bench, plan, run) = (&self.bench, &*job.plan, &job.run);
        self.say("Reading the part");
        let setting = bench.setting(plan)?;
        let mut facts = Facts::only(setting);
        if self.seen.swap(facts.setting.placed.id, Ordering::AcqRel) != facts.setting.placed.id {
            // The first sight of a part does not wait for anything else.
            self.post(job, &facts, None, false);
        }
        self.say("Uniting parts and inserts");
        bench.body(plan, &facts.setting, run)?;
        self.say("Looking for trapped air");
        facts = bench.quick_facts(plan, run)?;
        let complete = facts.are_complete(plan);
        self.post(job, &facts, None, complete);
        Ok((!complete).then_some(facts))
    }

    /// The other facts one after the other.
    fn slow(&self, job: &Job, mut facts: Facts) -> Result<(), StudyError> {
        let (bench, plan, run) = (&self.bench, &*job.plan, &job.run);
        run.check()?;
        let body = bench.body(plan, &facts.setting, run)?;
        let mut trouble = None;
        run.progress(0.2);
        if facts.two_shot.is_none() {
            self.say("Laying the two shots together");
            let met = bench.two_shot_facts(plan, &facts.setting, &body, run);
            keep(&mut trouble, met.map(|f| facts.two_shot = Some(f)))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        if facts.master.is_none() {
            self.say("Uniting hard and soft part");
            keep(&mut trouble, bench.master(plan, &facts.setting, &body, run).map(|m| facts.master = Some(m)))?;
        }
        if let (None, Some(master)) = (&facts.strikes, facts.master.clone()) {
            let strikes = bench.strikes(&facts.setting, &master, run);
            keep(&mut trouble, strikes.map(|s| facts.strikes = Some(s)))?;
        }
        if facts.shape.is_none() {
            self.say("Weighing the master");
            keep(&mut trouble, bench.shape(plan, &facts.setting, &body, run).map(|s| facts.shape = Some(s)))?;
        }
        if facts.parting.is_none() {
            self.say("Parting the block");
            keep(&mut trouble, bench.parting(plan, &facts.setting, &body, run).map(|p| facts.parting = Some(p)))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        if !facts.standing.are_complete() {
            self.say("Looking at recesses and basins");
            let standing = bench.standing_facts(plan, &facts.setting, &body, run);
            keep(&mut trouble, standing.map(|s| facts.standing = s))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        run.progress(0.5);
        if facts.release.is_none() {
            self.say("Measuring undercuts");
            keep(&mut trouble, bench.release(plan, &facts.setting, &body, run).map(|r| facts.release = Some(r)))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        if facts.rubber.is_none() {
            self.say("Measuring the rubber");
            keep(&mut trouble, bench.rubber(plan, &facts.setting, &body, run).map(|r| facts.rubber = Some(r)))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        if facts.walls.is_none() {
            self.say("Measuring walls");
            keep(&mut trouble, bench.walls(&body, run).map(|w| facts.walls = Some(w)))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        run.progress(0.7);
        if facts.flow.is_none() && !plan.feed.gates.is_empty() {
            self.say("Following the flow");
            keep(&mut trouble, bench.flow(plan, &facts.setting, &body, run).map(|f| facts.flow = f))?;
            self.post(job, &facts, trouble.clone(), false);
        }
        run.progress(0.9);
        if facts.cavity.is_none() {
            self.say("Uniting the channels");
            keep(&mut trouble, bench.cavity(&facts.setting, &body, run).map(|c| facts.cavity = Some(c)))?;
        }
        if facts.holds.is_none() && facts.parting.is_some() {
            self.say("Looking at what holds the inserts");
            keep(&mut trouble, bench.holds(plan, &facts.setting, &body, run).map(|h| facts.holds = Some(h)))?;
        }
        if facts.cut.is_none() && facts.parting.is_some() {
            self.post(job, &facts, trouble.clone(), false);
            self.say("Laying the cut");
            keep(&mut trouble, bench.cut(plan, &facts.setting, &body, run).map(|c| facts.cut = Some(c)))?;
        }
        if facts.feed_ways.is_none() && facts.parting.is_some() {
            self.post(job, &facts, trouble.clone(), false);
            self.say("Comparing the ways to feed it");
            let ways = bench.feed_ways(plan, &facts.setting, &body, run);
            keep(&mut trouble, ways.map(|w| facts.feed_ways = Some(w)))?;
        }
        run.progress(1.0);
        self.post(job, &facts, trouble, true);
        Ok(())
    }
}

/// What the sheet would tell otherwise now than when its revision was issued.
fn since_issue(plan: &Plan, shop: &Shop, facts: &Facts, report: &Report) -> SinceIssue {
    let Some(issue) = plan.issues.iter().find(|i| i.revision == plan.revision && plan.revision > 0) else {
        return SinceIssue::NoRecord;
    };
    let now = changes::decisions(&SheetJob::new(plan, shop, facts, report, None).input(Paper::A4));
    match changes::differences(&issue.decisions, &now) {
        lines if lines.is_empty() => SinceIssue::Same,
        lines => SinceIssue::Changed(lines),
    }
}

/// Notes the first fact that could not be had and goes on; a cancelled run ends it.
fn keep(trouble: &mut Option<String>, fact: Result<(), StudyError>) -> Result<(), StudyError> {
    match fact {
        Err(StudyError::Cancelled(c)) => Err(StudyError::Cancelled(c)),
        Err(e) => {
            trouble.get_or_insert(e.to_string());
            Ok(())
        }
        Ok(()) => Ok(()),
    }
}
