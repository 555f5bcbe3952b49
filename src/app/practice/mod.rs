//! Practice: the computer's answers are hidden, the apprentice hangs, feeds and vents, pours, and is told how it went.
//!
//! The job that was open is laid aside whole, with its history, and comes back as it was. Nothing of practice is saved.

use super::App;
use super::bottom_strip::Level;
use super::canvas::tool::Tool;
use super::document::Document;
use super::known::Known;
use super::mailbox::Mailbox;
use super::waker::Waker;
use crate::plan::{Feed, Hang, Plan};
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::findings::Step;
use crate::study::lessons::practice::exercises::{EXERCISES, Exercise};
use crate::study::lessons::practice::{Marks, Side, computed, is_about, judged};
use std::sync::Arc;

/// The steps that practice is about.
pub const STEPS: [Step; 3] = [Step::Hang, Step::Feed, Step::Vents];

/// How far it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    /// The apprentice plans; answers are hidden.
    Planning,
    /// The resin rises on what was planned.
    Pouring,
    /// It was judged, for this version of the document.
    Judged { version: u64 },
}

/// What the program would do, or why it is not known.
type Answer = Result<(Plan, Side), String>;

/// Practice under way.
#[derive(Debug)]
pub struct Practice {
    /// The job that was open, and its step.
    aside: Option<(Document, Step)>,
    /// The exercise; none where the part is the job's own.
    exercise: Option<usize>,
    stage: Stage,
    /// All that is known, hidden while it is planned.
    full: Arc<Known>,
    answers: Mailbox<Answer>,
    answer: Option<Answer>,
    run: Run,
    marks: Option<Arc<Marks>>,
    /// The apprentice's plan with its history, while the computed one is looked at.
    mine: Option<Document>,
}

impl Practice {
    fn start(
        bench: Arc<Bench>,
        waker: Waker,
        document: &Document,
        aside: Option<(Document, Step)>,
        exercise: Option<usize>,
    ) -> Practice {
        let practice = Practice {
            aside,
            exercise,
            stage: Stage::Planning,
            full: Arc::default(),
            answers: Mailbox::default(),
            answer: None,
            run: Run::new(),
            marks: None,
            mine: None,
        };
        let (answers, run, plan) = (practice.answers.clone(), practice.run.clone(), document.shared());
        let folder = document.folder();
        let work = move || {
            bench.set_folder(folder.as_deref());
            let answer = computed(&bench, &plan, &run).map_err(|e| e.to_string());
            if !run.is_cancelled() {
                answers.put(answer);
                waker.wake();
            }
        };
        if std::thread::Builder::new().name("practice".into()).spawn(work).is_err() {
            practice
                .answers
                .put(Err("The plan to compare with could not be made. Close other programs and try again".into()));
        }
        practice
    }

    /// The judgement, once there is one.
    pub fn marks(&self) -> Option<Arc<Marks>> {
        self.marks.clone().filter(|_| matches!(self.stage, Stage::Judged { .. }))
    }

    /// The number of the exercise that comes next; none after the last, and where the part is the job's own.
    pub fn next_exercise(&self) -> Option<usize> {
        self.exercise.map(|i| i + 1).filter(|i| *i < EXERCISES.len())
    }

    /// The exercise; none where the part is the job's own.
    pub fn exercise(&self) -> Option<&'static Exercise> {
        self.exercise.map(|i| &EXERCISES[i])
    }

    /// True while answers are hidden: until it is judged.
    pub fn hides_answers(&self) -> bool {
        !matches!(self.stage, Stage::Judged { .. })
    }

    /// True while the resin rises, or is up and waited for.
    pub fn is_pouring(&self) -> bool {
        self.stage == Stage::Pouring
    }

    /// Why there is no plan to compare with, in words.
    pub fn trouble(&self) -> Option<&str> {
        self.answer.as_ref().and_then(|a| a.as_ref().err()).map(String::as_str)
    }

    /// True where the computed plan is the one that is shown.
    pub fn shows_computed(&self) -> bool {
        self.mine.is_some()
    }
}

impl Drop for Practice {
    fn drop(&mut self) {
        self.run.cancel();
    }
}

impl App {
    /// Practice, where it is under way.
    pub fn practice(&self) -> Option<&Practice> {
        self.practice.as_ref()
    }

    /// True where the program keeps its answers to itself.
    pub fn hides_answers(&self) -> bool {
        self.practice.as_ref().is_some_and(Practice::hides_answers)
    }

    /// Starts an exercise, the open job laid aside.
    pub fn practise(&mut self, exercise: usize) {
        let document = Document::bundled(EXERCISES[exercise].plan());
        self.begin_practice(document, Some(exercise));
    }

    /// Starts practice on the part of the open job: hang, feed and vents are put back to nothing.
    pub fn practise_on_this_part(&mut self) {
        let Some(open) = &self.document else { return };
        let mut plan = open.plan().clone();
        plan.hang = Hang::default();
        plan.feed = Feed { cup: plan.feed.cup, ..Feed::default() };
        plan.vents.clear();
        plan.stage = Default::default();
        let document = Document::for_practice(plan, open.folder());
        self.begin_practice(document, None);
    }

    fn begin_practice(&mut self, document: Document, exercise: Option<usize>) {
        self.end_practice();
        if let Some(open) = &self.document
            && open.history.is_unsaved()
        {
            self.keeping.keep_unsaved(open.work());
        }
        let aside = self.document.take().map(|d| (d, self.step));
        self.clear_desk();
        let document = document.counted_from(self.asked + 1);
        self.practice = Some(Practice::start(self.bench.clone(), self.waker.clone(), &document, aside, exercise));
        self.document = Some(document);
        self.step = Step::Hang;
    }

    /// Ends practice; the job that was open comes back as it was.
    pub fn end_practice(&mut self) {
        let Some(mut practice) = self.practice.take() else { return };
        self.clear_desk();
        self.document = None;
        if let Some((document, step)) = practice.aside.take() {
            let document = document.counted_from(self.asked + 1);
            // Its copy is seen to anew: it may have been impossible to keep one.
            self.kept = 0;
            self.document = Some(document);
            self.step = step;
        }
    }

    /// Lets the resin rise on what was planned.
    pub fn pour_in_practice(&mut self) {
        let Some(practice) = &mut self.practice else { return };
        practice.stage = Stage::Pouring;
        practice.marks = None;
        // What is known of the plan before the last change is nothing to be poured.
        let here = self.document.as_ref().is_some_and(|d| d.version() == practice.full.version);
        self.known = Arc::new(if here { practice.full.while_poured() } else { practice.full.without_answers() });
        self.tool = Tool::Look;
        self.chosen = None;
        self.level = Level { share: Some(0.0), playing: true };
    }

    /// Goes back to planning with the same plan, answers hidden again.
    pub fn try_again(&mut self) {
        self.show_in_practice(false);
        if let Some(practice) = &mut self.practice {
            practice.stage = Stage::Planning;
            self.known = Arc::new(practice.full.without_answers());
            self.level = Level::default();
        }
    }

    /// Shows the computed plan, or that of the apprentice with its history. Neither is an edit: undo leads to no answer.
    pub fn show_in_practice(&mut self, computed: bool) {
        let (Some(practice), Some(document)) = (&mut self.practice, &mut self.document) else { return };
        let next = document.version() + 1;
        match (&practice.answer, practice.mine.take()) {
            (Some(Ok((plan, _))), None) if computed => {
                let shown = Document::for_practice(plan.clone(), document.folder()).counted_from(next);
                practice.mine = Some(std::mem::replace(document, shown));
            }
            (_, Some(mine)) if !computed => *document = mine.counted_from(next),
            (_, mine) => {
                practice.mine = mine;
                return;
            }
        }
        practice.stage = Stage::Judged { version: document.version() };
        self.line_drag = None;
        self.forget_what_is_gone();
    }

    /// What may be seen of what is known.
    pub(super) fn seen(&mut self, known: Arc<Known>) -> Arc<Known> {
        let Some(practice) = &mut self.practice else { return known };
        let mut known = known;
        Arc::make_mut(&mut known).findings.retain(is_about);
        practice.full = known.clone();
        match practice.stage {
            Stage::Planning => Arc::new(known.without_answers()),
            Stage::Pouring => Arc::new(known.while_poured()),
            Stage::Judged { .. } => known,
        }
    }

    /// Goes on with practice: takes the answer in, judges once the resin is up, hides answers again after an edit.
    pub(super) fn keep_up_with_practice(&mut self) {
        let limits = &self.shop.limits;
        let (Some(practice), Some(document)) = (&mut self.practice, &self.document) else { return };
        if let Some(answer) = practice.answers.take() {
            practice.answer = Some(answer);
        }
        if let (Stage::Judged { version }, true) = (practice.stage, practice.shows_computed())
            && version != document.version()
        {
            self.show_in_practice(false);
            self.notices.trouble("The computed plan is there to be looked at. Here is yours again, to be changed");
            return;
        }
        match practice.stage {
            Stage::Pouring if !self.level.playing => {
                let known = &practice.full;
                let here = known.version == document.version() && known.complete;
                if let (true, Some(facts), Some(Ok((_, side)))) = (here, &known.facts, &practice.answer) {
                    practice.marks =
                        Some(Arc::new(judged(document.plan(), facts, &known.findings, side.clone(), limits)));
                    practice.stage = Stage::Judged { version: document.version() };
                    self.known = practice.full.clone();
                } else if practice.trouble().is_some() || (here && known.facts.is_none()) {
                    practice.stage = Stage::Planning;
                    self.known = Arc::new(practice.full.without_answers());
                }
            }
            Stage::Judged { version } if version != document.version() => {
                practice.stage = Stage::Planning;
                self.known = Arc::new(practice.full.without_answers());
                self.level = Level::default();
            }
            _ => {}
        }
    }

    /// True while practice waits for something.
    pub(super) fn practice_is_waiting(&self) -> bool {
        self.practice.as_ref().is_some_and(|p| p.answer.is_none() || p.is_pouring())
    }
}
