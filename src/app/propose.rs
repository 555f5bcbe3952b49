//! Proposals: made on a thread of their own, taken in as one edit if the plan is still the one they were made for.

use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::findings::{Severity, judge};
use crate::study::job::loose_bodies::{first_not_said, part_bodies_into};
use crate::study::propose::{self, Given};
use std::sync::Arc;

/// What is to be proposed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Everything: hang, draw, gate, vents.
    Whole,
    /// The hang alone.
    Hang,
    /// Rows for a set that was hung another way up, and its runners.
    HangAs,
    /// The draw.
    Draw,
    /// The gate.
    Feed,
    /// The vents.
    Vents,
    /// Rows for the set, and its runners.
    LayOut,
    /// A copy of a part that the plan holds already, and its place.
    AddCopy,
    /// A part that the plan names last: its unit, and its place.
    AddPart,
    /// A part for each of the loose bodies in the file of this part, and rows for them.
    EachBody(usize),
    /// Runners of all gates, where the gates are.
    Runners,
}

impl Wanted {
    /// What the edit is called.
    pub fn name(self) -> &'static str {
        match self {
            Wanted::Whole => "Propose a whole plan",
            Wanted::Hang => "Propose the hang",
            Wanted::HangAs => "Hang it this way up",
            Wanted::Draw => "Propose the draw",
            Wanted::Feed => "Propose the feed",
            Wanted::Vents => "Propose vents",
            Wanted::LayOut => "Lay the set out anew",
            Wanted::AddCopy => "Add a copy",
            Wanted::AddPart => "Add another part",
            Wanted::EachBody(_) => "Make each body a part of the set",
            Wanted::Runners => "Lay the runners anew",
        }
    }

    /// True where it would be made in vain before it is known whether loose bodies in one file are one part.
    pub fn waits_for_bodies(self) -> bool {
        !matches!(self, Wanted::EachBody(_) | Wanted::AddCopy | Wanted::AddPart)
    }

    /// What is said while it is made.
    pub fn doing(self) -> &'static str {
        match self {
            Wanted::Whole => "Proposing a plan",
            Wanted::Hang => "Looking for a hang",
            Wanted::Draw => "Looking for a draw",
            Wanted::Feed => "Looking for a gate",
            Wanted::Vents => "Looking for vents",
            Wanted::HangAs | Wanted::LayOut => "Laying the set out",
            Wanted::AddCopy => "Placing the copy",
            Wanted::AddPart => "Placing the part",
            Wanted::EachBody(_) => "Placing the parts",
            Wanted::Runners => "Looking for ways for the runners",
        }
    }
}

/// What was made.
#[derive(Debug)]
pub struct Made {
    /// The plan.
    pub plan: Plan,
    /// Why it is as it is.
    pub reasons: Vec<String>,
    /// The Stop that it leaves, in words.
    pub stop: Option<String>,
}

/// A finished proposal.
#[derive(Debug)]
pub struct Proposed {
    /// What was wanted.
    pub wanted: Wanted,
    /// The version of the document that it was made for.
    pub version: u64,
    /// The plan, or why there is none.
    pub outcome: Result<Made, String>,
}

/// Makes proposals.
#[derive(Debug)]
pub struct Proposer {
    bench: Arc<Bench>,
    waker: Waker,
    done: Mailbox<Proposed>,
    under_way: Option<(Wanted, Run)>,
}

impl Proposer {
    /// A proposer at the same bench.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Proposer {
        Proposer { bench, waker, done: Mailbox::default(), under_way: None }
    }

    /// Starts a proposal; one under way is dropped.
    pub fn start(&mut self, wanted: Wanted, plan: Plan, version: u64) {
        self.cancel();
        self.done.take();
        let run = Run::new();
        self.under_way = Some((wanted, run.clone()));
        let (bench, waker, done) = (self.bench.clone(), self.waker.clone(), self.done.clone());
        let work = move || {
            let waits = wanted.waits_for_bodies().then(|| not_said(&bench, &plan)).flatten();
            let outcome = waits.map_or_else(|| make(&bench, wanted, plan, &run).map_err(|e| e.to_string()), Err);
            let outcome = outcome.map(|(plan, reasons)| {
                let stop = stops_left(&bench, wanted, &plan, &run);
                Made { plan, reasons, stop }
            });
            if !run.is_cancelled() {
                done.put(Proposed { wanted, version, outcome });
                waker.wake();
            }
        };
        if std::thread::Builder::new().name("proposer".into()).spawn(work).is_err() {
            self.under_way = None;
        }
    }

    /// Drops the proposal under way.
    pub fn cancel(&mut self) {
        if let Some((_, run)) = self.under_way.take() {
            run.cancel();
        }
    }

    /// True while something is being proposed.
    pub fn is_under_way(&self) -> bool {
        self.under_way.is_some()
    }

    /// What is being proposed and the share that is done.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        self.under_way.as_ref().map(|(w, run)| (w.doing(), run.done()))
    }

    /// The finished proposal, once.
    pub fn collect(&mut self) -> Option<Proposed> {
        let proposed = self.done.take()?;
        self.under_way = None;
        Some(proposed)
    }
}

impl Drop for Proposer {
    fn drop(&mut self) {
        self.cancel();
    }
}

fn make(bench: &Bench, wanted: Wanted, mut plan: Plan, run: &Run) -> Result<(Plan, Vec<String>), StudyError> {
    let mut reasons = Vec::new();
    match wanted {
        Wanted::Whole => {
            let proposal = propose::propose(bench, &plan, Given::default(), run)?;
            return Ok((proposal.plan, proposal.reasons));
        }
        Wanted::Hang => {
            propose::propose_hang_into(bench, &mut plan, &mut reasons, run)?;
            propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run)?;
        }
        Wanted::Draw => {
            propose::propose_draw_into(bench, &mut plan, None, &mut reasons, run)?;
            propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run)?;
        }
        Wanted::Feed => propose::propose_feed_into(bench, &mut plan, &mut reasons, run)?,
        Wanted::Vents => propose::propose_vents_into(bench, &mut plan, &mut reasons, run)?,
        Wanted::HangAs => {
            match propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run) {
                Err(StudyError::Cancelled(c)) => return Err(c.into()),
                // A person chose how it hangs, so it hangs so whatever else cannot be found yet.
                Err(e) => reasons.push(format!("Hung so, but not all of the rows and runners could be laid: {e}")),
                Ok(()) => {}
            }
            if !(plan.vents.is_empty() && plan.feed.gates.is_empty()) {
                reasons.push("Gates and vents are where they were on the parts: look at them again".to_owned());
            }
        }
        Wanted::LayOut | Wanted::AddCopy => {
            propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run)?;
        }
        Wanted::AddPart => {
            if let Some(mut part) = plan.parts.pop() {
                let (loaded, said) = bench.load_beside(&part.mesh, &plan)?;
                (part.unit, part.digest) = (loaded.unit, loaded.digest.clone());
                plan.parts.push(part);
                reasons.push(said);
            }
            propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run)?;
            reasons.push("Place its gate and vents, or have the feed and the vents proposed anew".into());
        }
        Wanted::EachBody(i) => {
            if let Some(part) = plan.parts.get(i) {
                let loaded = bench.load(&part.mesh, part.unit)?;
                part_bodies_into(&mut plan, i, &loaded);
                let (n, file) = (loaded.loose(), part_file(&plan, i));
                reasons.push(format!("{file} is {n} parts of a set now, each named after its body"));
            }
            propose::lay_out_with_runners_into(bench, &mut plan, &mut reasons, run)?;
        }
        Wanted::Runners => propose::lay_runners_into(bench, &mut plan, &mut reasons, run)?,
    }
    Ok((plan, reasons))
}

fn part_file(plan: &Plan, i: usize) -> String {
    let path = plan.parts.get(i).map_or("", |p| p.mesh.as_str());
    std::path::Path::new(path).file_name().map_or(path.into(), |f| f.to_string_lossy().into_owned())
}

/// Why nothing can be proposed for the plan yet: nobody has said what loose bodies of one of its files are.
fn not_said(bench: &Bench, plan: &Plan) -> Option<String> {
    let loaded: Result<Vec<_>, _> = plan.parts.iter().map(|p| bench.load_part(p)).collect();
    // What cannot be read is told by the proposal itself.
    let (i, n) = first_not_said(plan, &loaded.ok()?)?;
    Some(say_first(&part_file(plan, i), n))
}

/// Asks for the answer that a proposal waits for.
pub fn say_first(file: &str, bodies: usize) -> String {
    format!(
        "Nothing was proposed yet: {file} holds {bodies} bodies that do not touch. Say at the head of the Part step whether \
         they are one part or {bodies} parts of a set"
    )
}

/// What of the plan is a Stop still, in words: a proposal that leaves one says so. None also where that cannot be told.
fn stops_left(bench: &Bench, wanted: Wanted, plan: &Plan, run: &Run) -> Option<String> {
    // Of a whole plan everything is looked at; a step waits only for what is quick.
    let facts = if wanted == Wanted::Whole { bench.facts(plan, run) } else { bench.quick_facts(plan, run) }.ok()?;
    let stops = judge(plan, bench.shop(), &facts).into_iter().filter(|f| f.severity == Severity::Stop);
    let stops: Vec<String> = stops.map(|f| f.message).collect();
    match stops.len() {
        0 => None,
        1 => Some(format!("One Stop is left: {}", stops[0])),
        n => Some(format!("{n} Stops are left, the first: {}", stops[0])),
    }
}
