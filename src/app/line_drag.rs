//! The parting line in the hand: it follows the cursor at once and roughly, on a thread of its own; where the hand rests or
//! lets go a pin is put and the whole parting computed afresh. The last line stays, greyed, until then.

use crate::app::App;
use crate::app::canvas::grab::Grab;
use crate::app::mailbox::Mailbox;
use crate::app::thing::Thing;
use crate::app::waker::Waker;
use crate::plan::Pin;
use crate::solve::run::Run;
use crate::study::parting::PartingFacts;
use crate::study::parting::live::{Dragged, Ways};
use glam::Vec3;
use std::sync::Arc;
use std::time::Duration;

/// How long the hand rests before the parting is computed afresh, seconds.
const REST_S: f64 = 0.2;
/// How near to a crease the line jumps onto it, points of the window.
const STICK_PT: f32 = 12.0;
/// What the edit is called.
const NAME: &str = "Drag the parting line";

/// What is asked of the thread.
#[derive(Clone, Debug)]
struct Request {
    number: u64,
    parting: Arc<PartingFacts>,
    line: usize,
    held: Vec<usize>,
    grabbed: usize,
    hand: Vec3,
    /// Distance to a crease that draws the hand to it; none where it is free.
    stick_mm: Option<f32>,
    run: Run,
}

/// What came of it.
#[derive(Clone, Debug)]
struct Answer {
    number: u64,
    /// Where the line is held now.
    hand: Vec3,
    dragged: Option<Dragged>,
}

/// Finds ways for the dragged line on a thread of its own; the latest wish wins.
#[derive(Debug)]
pub struct Dragger {
    requests: Mailbox<Request>,
    answers: Mailbox<Answer>,
    run: Run,
}

impl Dragger {
    /// Starts the thread.
    pub fn new(waker: Waker) -> Dragger {
        let dragger = Dragger { requests: Mailbox::default(), answers: Mailbox::default(), run: Run::new() };
        let (requests, answers) = (dragger.requests.clone(), dragger.answers.clone());
        let work = move || {
            let mut ways: Option<(Arc<PartingFacts>, Ways)> = None;
            while let Some(request) = requests.wait() {
                if ways.as_ref().is_none_or(|(of, _)| !Arc::ptr_eq(of, &request.parting)) {
                    let made = Ways::of(&request.parting.surface, request.parting.draw);
                    ways = Some((request.parting.clone(), made));
                }
                if let Some((_, ways)) = &mut ways
                    && let Some(answer) = answer(ways, &request)
                {
                    answers.put(answer);
                    waker.wake();
                }
            }
        };
        // Without the thread the line is not seen to follow; letting go still computes it.
        let _ = std::thread::Builder::new().name("line".into()).spawn(work);
        dragger
    }
}

impl Drop for Dragger {
    fn drop(&mut self) {
        self.run.cancel();
        self.requests.close();
    }
}

fn answer(ways: &mut Ways, request: &Request) -> Option<Answer> {
    let line = request.parting.lines.get(request.line)?;
    let stuck = request.stick_mm.and_then(|within| ways.on_crease_near(request.hand, within));
    let hand = stuck.unwrap_or(request.hand);
    let free = request.stick_mm.is_none();
    let (held, grabbed) = (&request.held, request.grabbed);
    let dragged = ways.dragged(&line.points, line.closed, held, grabbed, hand, free, &request.run).ok()?;
    Some(Answer { number: request.number, hand, dragged })
}

/// The line in the hand.
#[derive(Debug)]
pub struct LineDrag {
    parting: Arc<PartingFacts>,
    grab: Grab,
    /// The pin that follows the hand, once there is one, by its place in the plan.
    pin: Option<usize>,
    /// The edit under way, once something was written.
    begun: bool,
    name: String,
    number: u64,
    moved_at: f64,
    answer: Option<Answer>,
    /// The request whose answer was written into the plan.
    written: u64,
    let_go: bool,
}

/// What the view draws of a dragged line.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveLine {
    /// The line that is left, by its place in the parting.
    pub line: usize,
    /// How it goes now.
    pub points: Vec<Vec3>,
    /// Closed.
    pub closed: bool,
    /// Where the hand holds it.
    pub hand: Vec3,
}

impl App {
    /// Takes hold of a line, or of a pin on it.
    pub(super) fn grab_line(&mut self, grab: Grab, pin: Option<usize>) {
        let Some((parting, _)) = self.known.parting_to_draw() else { return };
        let name = pin.map_or(NAME.to_owned(), |i| Thing::Pin(i).move_name());
        self.line_drag = Some(LineDrag {
            parting: parting.clone(),
            grab,
            pin,
            begun: false,
            name,
            number: 0,
            moved_at: self.now,
            answer: None,
            written: 0,
            let_go: false,
        });
        self.chosen = pin.map(Thing::Pin);
    }

    /// Leads the held line to a place of `work`; `free` lets it leave creases.
    pub(super) fn lead_line(&mut self, hand: Vec3, free: bool) {
        let stick_mm = (!free).then(|| self.canvas.mm_per_point(hand) * STICK_PT);
        let held = self.held_on_line();
        let Some(drag) = &mut self.line_drag else { return };
        drag.number += 1;
        drag.moved_at = self.now;
        self.dragger.run.cancel();
        self.dragger.run = Run::new();
        self.dragger.requests.put(Request {
            number: drag.number,
            parting: drag.parting.clone(),
            line: drag.grab.line,
            held,
            grabbed: drag.grab.index,
            hand,
            stick_mm,
            run: self.dragger.run.clone(),
        });
    }

    /// The points of the line in the hand at which other pins hold it.
    fn held_on_line(&self) -> Vec<usize> {
        let (Some(drag), Some(plan), Some(setting)) = (&self.line_drag, self.plan(), self.known.setting()) else {
            return Vec::new();
        };
        let Some(line) = drag.parting.lines.get(drag.grab.line) else { return Vec::new() };
        let reach = 3.0 * drag.parting.surface.edge_mm;
        let others = plan.parting.pins.iter().enumerate().filter(|(i, _)| Some(*i) != drag.pin);
        others
            .filter_map(|(_, pin)| {
                let at = setting.frames.spot_in_work(&pin.at);
                let away = |i: usize| line.points[i].distance(at);
                let nearest = (0..line.points.len()).min_by(|&a, &b| away(a).total_cmp(&away(b)))?;
                (away(nearest) <= reach).then_some(nearest)
            })
            .collect()
    }

    /// Lets go of the line.
    pub(super) fn let_go_of_line(&mut self) {
        match &mut self.line_drag {
            Some(drag) if drag.number > 0 => drag.let_go = true,
            _ => self.line_drag = None,
        }
    }

    /// Takes in how the line goes, and writes its pin into the plan where the hand rests.
    pub(super) fn keep_up_with_line(&mut self, ctx: &egui::Context) {
        let fresh = self.dragger.answers.take();
        let Some(drag) = &mut self.line_drag else { return };
        if let Some(answer) = fresh {
            drag.answer = Some(answer);
        }
        let newest = drag.answer.as_ref().filter(|a| a.number == drag.number).map(|a| a.hand);
        if let Some(hand) = newest
            && drag.written != drag.number
        {
            let rested = self.now - drag.moved_at;
            if !drag.let_go && rested < REST_S {
                ctx.request_repaint_after(Duration::from_secs_f64(REST_S - rested + 0.005));
                return;
            }
            drag.written = drag.number;
            self.write_pin(hand);
        }
        self.end_line_drag();
    }

    fn write_pin(&mut self, hand: Vec3) {
        let Some(spot) = self.spot_near(hand) else { return };
        let (Some(drag), Some(document)) = (&mut self.line_drag, &mut self.document) else { return };
        let pin = *drag.pin.get_or_insert(document.plan().parting.pins.len());
        let change = |p: &mut crate::plan::Plan| match p.parting.pins.get_mut(pin) {
            Some(one) => one.at = spot,
            None => p.parting.pins.push(Pin { at: spot }),
        };
        if std::mem::replace(&mut drag.begun, true) {
            document.amend(&drag.name, change);
        } else {
            document.edit(&drag.name, change);
        }
        self.chosen = Some(Thing::Pin(pin));
    }

    /// Ends the drag once the line stands as it was left.
    fn end_line_drag(&mut self) {
        let (Some(drag), Some(document)) = (&mut self.line_drag, &self.document) else { return };
        let there = self.known.version == document.version();
        let parting = self.known.facts.as_ref().and_then(|f| f.parting.clone()).filter(|_| there);
        if drag.let_go {
            if drag.written == drag.number && (parting.is_some() || (there && self.known.complete)) {
                self.line_drag = None;
            }
        } else if let Some(parting) = parting
            && drag.written == drag.number
            && !Arc::ptr_eq(&parting, &drag.parting)
            && let Some(hand) = drag.answer.as_ref().map(|a| a.hand)
            && let Some(grab) = nearest_on_lines(&parting, hand)
        {
            // It rested and stands exactly now: from here on the new line is led.
            drag.parting = parting;
            drag.grab = grab;
            drag.answer = None;
        }
    }

    /// The line in the hand, as the view draws it.
    pub(super) fn live_line(&self) -> Option<Arc<LiveLine>> {
        let drag = self.line_drag.as_ref()?;
        let answer = drag.answer.as_ref()?;
        let dragged = answer.dragged.as_ref()?;
        let closed = drag.parting.lines.get(drag.grab.line)?.closed;
        let points = dragged.points.clone();
        Some(Arc::new(LiveLine { line: drag.grab.line, points, closed, hand: answer.hand }))
    }

    /// True while the line in the hand is not where the hand is, or was let go and does not stand yet.
    pub fn line_is_behind(&self) -> bool {
        self.line_drag.as_ref().is_some_and(|d| d.let_go || d.answer.as_ref().is_none_or(|a| a.number != d.number))
    }

    /// True while a line that was let go does not stand yet.
    pub(super) fn line_is_settling(&self) -> bool {
        self.line_drag.as_ref().is_some_and(|d| d.let_go)
    }
}

/// The place of any line nearest to a point.
pub fn nearest_on_lines(parting: &PartingFacts, at: Vec3) -> Option<Grab> {
    let all = parting.lines.iter().enumerate().flat_map(|(line, one)| {
        one.points.iter().enumerate().map(move |(index, p)| (p.distance(at), Grab { line, index, at: *p }))
    });
    all.min_by(|a, b| a.0.total_cmp(&b.0)).map(|b| b.1)
}
