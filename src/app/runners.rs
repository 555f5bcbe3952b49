//! Runners of gates that a hand put or moved: laid clear of the part on a thread of their own, one gate after the other.

use crate::app::App;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::plan::{Gate, GateKind, Plan};
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::propose::lay_runner_into;
use std::collections::VecDeque;
use std::sync::Arc;

/// A runner that is wanted.
#[derive(Clone, Debug)]
struct Wanted {
    number: u32,
    /// Round beside the part, straight up, or whichever the place allows.
    round: Option<bool>,
    /// The edit that it belongs to.
    edit: String,
    /// The plan that it is laid in.
    plan: Arc<Plan>,
}

/// A runner that was looked for.
#[derive(Debug)]
pub struct Laid {
    wanted: Wanted,
    /// The gate with its runner; none where no way was found; words where the part could not be had.
    outcome: Result<Option<Gate>, String>,
}

/// Lays runners.
#[derive(Debug)]
pub struct Runners {
    bench: Arc<Bench>,
    waker: Waker,
    waiting: VecDeque<Wanted>,
    under_way: Option<Run>,
    done: Mailbox<Laid>,
}

impl Runners {
    /// Nothing is wanted yet.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Runners {
        Runners { bench, waker, waiting: VecDeque::new(), under_way: None, done: Mailbox::default() }
    }

    fn want(&mut self, wanted: Wanted) {
        self.waiting.retain(|w| w.number != wanted.number);
        self.waiting.push_back(wanted);
        self.start_next();
    }

    fn start_next(&mut self) {
        if self.under_way.is_some() {
            return;
        }
        let Some(wanted) = self.waiting.pop_front() else { return };
        let run = Run::new();
        self.under_way = Some(run.clone());
        let (bench, waker, done) = (self.bench.clone(), self.waker.clone(), self.done.clone());
        let work = move || {
            let mut plan = (*wanted.plan).clone();
            let laid = lay_runner_into(&bench, &mut plan, wanted.number, wanted.round, &run);
            if run.is_cancelled() {
                return;
            }
            let gate = plan.feed.gates.into_iter().find(|g| g.number == wanted.number);
            let outcome = laid.map(|found| gate.filter(|_| found)).map_err(|e| e.to_string());
            done.put(Laid { wanted, outcome });
            waker.wake();
        };
        if std::thread::Builder::new().name("runner".into()).spawn(work).is_err() {
            self.under_way = None;
        }
    }

    /// A runner that was looked for, once.
    pub fn collect(&mut self) -> Option<Laid> {
        let laid = self.done.take()?;
        self.under_way = None;
        self.start_next();
        Some(laid)
    }

    /// True while a runner is looked for.
    pub fn are_under_way(&self) -> bool {
        self.under_way.is_some()
    }

    /// Forgets what is wanted.
    pub fn cancel(&mut self) {
        self.waiting.clear();
        self.done.take();
        if let Some(run) = self.under_way.take() {
            run.cancel();
        }
    }
}

impl Drop for Runners {
    fn drop(&mut self) {
        self.cancel();
    }
}

impl App {
    /// Lays the runner of a gate as a part of the edit called `edit`.
    pub(in crate::app) fn want_runner(&mut self, number: u32, round: Option<bool>, edit: &str) {
        if let Some(document) = &self.document {
            self.runners.want(Wanted { number, round, edit: edit.to_owned(), plan: document.shared() });
        }
    }

    /// Lays the runner of a gate that was moved.
    pub(super) fn follow_with_runner(&mut self, number: u32) {
        let gate = self.plan().and_then(|p| p.feed.gates.iter().find(|g| g.number == number));
        if let Some(kind) = gate.map(|g| g.kind) {
            self.want_runner(number, Some(kind != GateKind::Top), &super::thing::Thing::Gate(number).move_name());
        }
    }

    /// Changes where a gate is fed from, and its runner with it.
    pub fn set_gate_kind(&mut self, number: u32, kind: GateKind) {
        let name = format!("Feed gate {number} another way");
        self.edit(&name, |p| {
            if let Some(gate) = p.feed.gates.iter_mut().find(|g| g.number == number) {
                gate.kind = kind;
                gate.runner.clear();
            }
        });
        self.want_runner(number, Some(kind != GateKind::Top), &name);
    }

    pub(super) fn take_in_runner(&mut self, laid: Laid) {
        let Laid { wanted, outcome } = laid;
        let Some(document) = &mut self.document else { return };
        let number = wanted.number;
        let same = |p: &Plan| p.feed.gates.iter().find(|g| g.number == number).map(|g| (g.at, g.kind));
        if same(document.plan()) != same(&wanted.plan) {
            return;
        }
        match outcome {
            Ok(Some(gate)) => document.amend(&wanted.edit, |p| {
                if let Some(one) = p.feed.gates.iter_mut().find(|g| g.number == number) {
                    (one.kind, one.runner) = (gate.kind, gate.runner);
                }
            }),
            Ok(None) => self.notices.trouble(format!(
                "No runner from gate {number} keeps {} mm of rubber between itself and the part. Move the gate, or feed \
                 it from above",
                crate::app::fields::short(self.bench.shop().limits.least_rubber_mm)
            )),
            Err(words) => self.notices.trouble(words),
        }
    }
}
