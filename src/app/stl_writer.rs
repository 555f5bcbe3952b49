//! Writes solids of the job, loose pieces and halves, to files on a thread of its own.

use super::App;
use super::mailbox::Mailbox;
use super::waker::Waker;
use crate::files::output::Guard;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, Facts};
use crate::study::cut::half_files;
use crate::study::release::piece_files;
use std::path::{Path, PathBuf};

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

fn pieces(facts: &Facts, folder: &Path, guard: &Guard) -> Outcome {
    let release = facts.release.as_ref().ok_or("The loose pieces are not made yet; wait until the work is done")?;
    let frames = &facts.setting.frames;
    let (written, failed) =
        piece_files::write(folder, &release.pieces, &frames.box_from_work, guard).map_err(|e| e.to_string())?;
    if !failed.is_empty() {
        return Err(failed.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    }
    Ok(match written.as_slice() {
        [one] => format!("Loose piece written: {}", one.path.display()),
        all => format!("{} loose pieces written to {}", all.len(), folder.display()),
    })
}

fn halves(bench: &Bench, plan: &Plan, beside: Option<&Path>, folder: &Path, guard: &Guard, run: &Run) -> Outcome {
    half_files::may_write(folder, guard).map_err(|e| e.to_string())?;
    bench.set_folder(beside);
    let said = |e: crate::study::bench::StudyError| format!("The halves could not be made: {e}");
    let setting = bench.setting(plan).map_err(said)?;
    let body = bench.body(plan, &setting, run).map_err(said)?;
    let halves = bench.halves(plan, &setting, &body, run).map_err(said)?;
    half_files::write(folder, &halves, &setting.frames.box_from_work, guard).map_err(|e| e.to_string())?;
    Ok(format!("Both halves written to {}", folder.display()))
}

impl App {
    /// Writes every loose piece to a folder.
    pub fn write_pieces_to(&mut self, folder: PathBuf) {
        let guard = self.guard();
        if let Some(facts) = self.known.facts.clone() {
            self.solids.write("Writing loose pieces", move |_| pieces(&facts, &folder, &guard));
        }
    }

    /// Writes both halves of the cut block to a folder.
    pub fn write_halves_to(&mut self, folder: PathBuf) {
        let guard = self.guard();
        if let Some(document) = &self.document {
            let (bench, plan, beside) = (self.bench.clone(), document.shared(), document.folder());
            self.solids.write("Writing both halves", move |run| {
                halves(&bench, &plan, beside.as_deref(), &folder, &guard, run)
            });
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
