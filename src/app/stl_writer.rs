//! Writes solids of the job, loose pieces and halves, to files on a thread of its own.

use super::App;
use super::mailbox::Mailbox;
use super::waker::Waker;
use crate::files::output::Guard;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::parting::cut::half_files;
use crate::study::parting::release::piece_files;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What became of writing, in words.
type Outcome = Result<String, String>;

/// Writes files, one order at a time.
#[derive(Debug)]
pub struct StlWriter {
    waker: Waker,
    done: Mailbox<Outcome>,
    under_way: Option<(&'static str, Run)>,
}

impl StlWriter {
    /// Nothing to write yet.
    pub fn new(waker: Waker) -> StlWriter {
        StlWriter { waker, done: Mailbox::default(), under_way: None }
    }

    /// What is being written.
    pub fn doing(&self) -> Option<&'static str> {
        self.under_way.as_ref().map(|(what, _)| *what)
    }

    /// Starts to write `what`; while something else is still being written, nothing happens.
    fn write(&mut self, what: &'static str, work: impl FnOnce(&Run) -> Outcome + Send + 'static) {
        if self.under_way.is_some() {
            return;
        }
        let (done, waker, run) = (self.done.clone(), self.waker.clone(), Run::new());
        let own = run.clone();
        let work = move || {
            done.put(work(&own));
            waker.wake();
        };
        if std::thread::Builder::new().name("solids to files".into()).spawn(work).is_ok() {
            self.under_way = Some((what, run));
        }
    }

    /// Stops what is under way, as far as it can be stopped.
    pub fn cancel(&self) {
        if let Some((_, run)) = &self.under_way {
            run.cancel();
        }
    }

    /// What became of the files, once; nothing is told of work that was stopped.
    fn collect(&mut self) -> Option<Outcome> {
        let outcome = self.done.take()?;
        let stopped = self.under_way.take().is_some_and(|(_, run)| run.is_cancelled());
        (!stopped).then_some(outcome)
    }
}

impl Drop for StlWriter {
    fn drop(&mut self) {
        self.cancel();
    }
}

/// Where a job stands: the bench that makes its solids, the plan, and the folder that meshes are named from.
struct Job {
    bench: Arc<Bench>,
    plan: Arc<Plan>,
    beside: Option<PathBuf>,
}

fn pieces(job: &Job, folder: &Path, guard: &Guard, run: &Run) -> Outcome {
    let (bench, plan) = (&job.bench, &job.plan);
    let names = plan.parting.loose_pieces.iter().map(|p| p.name.as_str());
    piece_files::may_write(folder, names, guard).map_err(|e| e.to_string())?;
    bench.set_folder(job.beside.as_deref());
    let said = |e: crate::study::bench::StudyError| format!("The loose pieces could not be made: {e}");
    let setting = bench.setting(plan).map_err(said)?;
    let body = bench.body(plan, &setting, run).map_err(said)?;
    let release = bench.release(plan, &setting, &body, run).map_err(said)?;
    let fitted = bench.loose_pieces(plan, &setting, &body, run).map_err(said)?;
    let (written, failed) = piece_files::write(folder, &release.pieces, &fitted, &setting.frames.box_from_work, guard)
        .map_err(|e| e.to_string())?;
    if !failed.is_empty() {
        return Err(failed.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    }
    Ok(match written.as_slice() {
        [one] => format!("Loose piece written: {}", one.path.display()),
        all => format!("{} loose pieces written to {}", all.len(), folder.display()),
    })
}

fn halves(job: &Job, folder: &Path, guard: &Guard, run: &Run) -> Outcome {
    let (bench, plan) = (&job.bench, &job.plan);
    half_files::may_write(folder, guard).map_err(|e| e.to_string())?;
    bench.set_folder(job.beside.as_deref());
    let said = |e: crate::study::bench::StudyError| format!("The halves could not be made: {e}");
    let setting = bench.setting(plan).map_err(said)?;
    let body = bench.body(plan, &setting, run).map_err(said)?;
    let halves = bench.halves(plan, &setting, &body, run).map_err(said)?;
    half_files::write(folder, &halves, &setting.frames.box_from_work, guard).map_err(|e| e.to_string())?;
    Ok(format!("Both halves written to {}", folder.display()))
}

impl App {
    fn job(&self) -> Option<Job> {
        let document = self.document.as_ref()?;
        Some(Job { bench: self.bench.clone(), plan: document.shared(), beside: document.folder() })
    }

    /// Writes every loose piece to a folder.
    pub fn write_pieces_to(&mut self, folder: PathBuf) {
        let guard = self.guard();
        if let Some(job) = self.job() {
            self.solids.write("Writing loose pieces", move |run| pieces(&job, &folder, &guard, run));
        }
    }

    /// Writes both halves of the cut block to a folder.
    pub fn write_halves_to(&mut self, folder: PathBuf) {
        let guard = self.guard();
        if let Some(job) = self.job() {
            self.solids.write("Writing both halves", move |run| halves(&job, &folder, &guard, run));
        }
    }

    /// True while solids are being written.
    pub fn is_writing(&self) -> bool {
        self.solids.doing().is_some()
    }

    pub(super) fn take_in_solids(&mut self) {
        match self.solids.collect() {
            Some(Ok(words)) => self.notices.done(words),
            Some(Err(words)) => self.notices.trouble(words),
            None => {}
        }
    }
}
