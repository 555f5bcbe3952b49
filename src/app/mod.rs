//! The window: the only room that knows the window toolkit.
//!
//! - [`App`] holds everything and draws itself into any `egui::Ui`, so that tests drive it without a display
//! - [`window`] opens the real one; [`document`] is the open job, [`keeping`] what is kept between runs
//! - [`job_card`], [`steps`], [`canvas`], [`top_line`], [`bottom_strip`] are its parts, [`welcome`] its first page
//! - [`action`] lists everything that can be done by name; [`edits`] are the changes that more than one place makes
//! - [`worker`], [`propose`], [`sheet_pages`] and [`canvas::painter`] work on threads of their own, so that the window
//!   never waits

pub mod action;
pub mod asking;
pub mod bottom_strip;
pub mod canvas;
pub mod demo;
pub mod document;
pub mod edits;
pub mod fields;
pub mod job_card;
pub mod keeping;
pub mod known;
pub mod mailbox;
pub mod notices;
pub mod opening;
pub mod propose;
pub mod search;
pub mod sheet_pages;
pub mod steps;
pub mod theme;
pub mod thing;
pub mod top_line;
pub mod waker;
pub mod welcome;
pub mod window;
pub mod worker;

pub use window::{AppError, run};

use crate::plan::{InsertKind, Plan};
use crate::sheet::page::Paper;
use crate::shop::Shop;
use crate::study::bench::Bench;
use crate::study::findings::Step;
use action::Action;
use asking::{Asking, Purpose, Then};
use bottom_strip::Level;
use canvas::tool::Tool;
use canvas::{Canvas, Situation};
use document::Document;
use glam::{DVec3, Vec3};
use keeping::{Keeping, Recovered};
use known::Known;
use notices::Notices;
use opening::Opening;
use propose::{Proposer, Wanted};
use search::Search;
use sheet_pages::SheetPages;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use thing::Thing;
use waker::Waker;
use worker::Worker;

/// How long a change rests before unsaved work is kept, seconds.
const KEEP_AFTER_S: f64 = 2.0;

/// What the window starts with.
#[derive(Clone, Debug)]
pub struct Setup {
    /// A plan or mesh to open.
    pub file: Option<PathBuf>,
    /// Where things are kept between runs; none keeps nothing.
    pub data_folder: Option<PathBuf>,
    /// The shop's data.
    pub shop: Shop,
}

impl Default for Setup {
    fn default() -> Setup {
        Setup { file: None, data_folder: None, shop: Shop::bundled().clone() }
    }
}

/// Which finding is opened: its step, its code, its place in the list.
type FindingKey = (Step, &'static str, usize);

/// The whole window.
pub struct App {
    waker: Waker,
    shop: Arc<Shop>,
    bench: Arc<Bench>,
    opening: Option<Opening>,
    worker: Worker,
    proposer: Proposer,
    sheet: SheetPages,
    keeping: Keeping,
    recovered: Vec<Recovered>,
    document: Option<Document>,
    known: Arc<Known>,
    canvas: Canvas,
    step: Step,
    tool: Tool,
    chosen: Option<Thing>,
    next_insert: InsertKind,
    stroke_radius_mm: f64,
    level: Level,
    lit: Option<Vec3>,
    opened_finding: Option<FindingKey>,
    notices: Notices,
    asking: Option<Asking>,
    search: Option<Search>,
    paper: Paper,
    v_pressed: bool,
    dark: bool,
    dressed: bool,
    now: f64,
    /// The version that facts were last asked for.
    asked: u64,
    /// The version that was last kept as unsaved work, and when the present one came about.
    kept: u64,
    changed: (u64, f64),
    title: String,
    may_close: bool,
}

impl App {
    /// A window with nothing drawn yet.
    pub fn new(setup: Setup) -> App {
        let waker = Waker::default();
        let shop = Arc::new(setup.shop.clone());
        let bench = Arc::new(Bench::new(setup.shop, demo::meshes()));
        let keeping = Keeping::new(setup.data_folder);
        let mut app = App {
            worker: Worker::new(bench.clone(), waker.clone()),
            proposer: Proposer::new(bench.clone(), waker.clone()),
            sheet: SheetPages::new(shop.clone(), waker.clone()),
            recovered: keeping.unsaved_of_earlier_runs(),
            opening: None,
            document: None,
            known: Arc::default(),
            canvas: Canvas::new(waker.clone()),
            step: Step::Part,
            tool: Tool::Look,
            chosen: None,
            next_insert: InsertKind::Bush { diameter_mm: 5.0, length_mm: 6.0, thread: "M3".into() },
            stroke_radius_mm: 3.0,
            level: Level::default(),
            lit: None,
            opened_finding: None,
            notices: Notices::default(),
            asking: None,
            search: None,
            paper: Paper::A4,
            v_pressed: false,
            dark: keeping.was_dark(),
            dressed: false,
            now: 0.0,
            asked: 0,
            kept: 0,
            changed: (0, 0.0),
            title: String::new(),
            may_close: false,
            keeping,
            waker,
            shop,
            bench,
        };
        if let Some(file) = setup.file {
            app.open_file(&file);
        }
        app
    }

    /// Draws one frame.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let ctx = ui.ctx().clone();
        self.waker.bind(&ctx);
        if !self.dressed {
            theme::install(&ctx);
            ctx.set_theme(if self.dark { egui::Theme::Dark } else { egui::Theme::Light });
            self.dressed = true;
            // New letters are there from the next frame on.
            ctx.request_repaint();
            return;
        }
        self.now = ui.input(|i| i.time);
        self.lit = None;
        self.take_in();
        self.closing(&ctx);
        let dropped = ui.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()));
        if let Some(path) = dropped {
            self.open_or_ask(path);
        }
        if self.asking.is_none()
            && self.search.is_none()
            && let Some(action) = action::pressed(&ctx, &mut self.v_pressed)
            && action.why_not(self).is_none()
        {
            self.perform(action);
        }
        if self.asking.is_none() && self.search.is_none() && ui.input(|i| i.key_pressed(egui::Key::Escape)) {
            self.tool = Tool::Look;
            self.chosen = None;
        }
        top_line::show(self, ui);
        let mut notices = std::mem::take(&mut self.notices);
        notices.show(ui);
        self.notices.prepend(notices);
        if self.document.is_none() {
            welcome::show(self, ui);
        } else {
            bottom_strip::show(self, ui);
            job_card::show(self, ui);
            steps::show(self, ui);
            self.middle(ui);
        }
        let waker = self.waker.clone();
        asking::show(self, ui, &waker);
        search::show(self, ui);
        self.let_go_of_strokes(ui);
        self.look_into();
        self.keep(&ctx);
        self.name_window(&ctx);
    }

    fn middle(&mut self, ui: &mut egui::Ui) {
        egui::CentralPanel::default().frame(egui::Frame::NONE).show(ui, |ui| {
            if self.step == Step::Sheet
                && let Some(pages) = self.sheet.pages()
            {
                sheet_pages::show(ui, pages);
                return;
            }
            canvas::bar::show(self, ui);
            let Some(document) = &self.document else { return };
            let (known, plan) = (self.known.clone(), document.plan().clone());
            let situation = Situation {
                plan: &plan,
                known: &known,
                behind: known.version != document.version(),
                step: self.step,
                tool: self.tool,
                radius_mm: self.tool_radius_mm(),
                chosen: self.chosen,
                lit: self.lit,
                level: self.level_in_work(),
                dark: ui.visuals().dark_mode,
            };
            let gestures = self.canvas.show(ui, &situation);
            for gesture in gestures {
                self.gesture(gesture);
            }
        });
    }

    /// Takes in what other threads have done.
    fn take_in(&mut self) {
        let version = self.document.as_ref().map_or(0, Document::version);
        if let Some(mut known) = self.worker.collect()
            && self.document.is_some()
        {
            if known.facts.is_none() && known.trouble.is_some() && self.known.trouble != known.trouble {
                self.notices.trouble(known.trouble.clone().unwrap_or_default());
            }
            // The last picture stays until there is a new one, also where a fact could not be had.
            if known.facts.is_none() && known.version == version && known.trouble.is_none() {
                known.facts = self.known.facts.clone();
            }
            self.known = Arc::new(known);
        }
        if let Some(opening) = &self.opening
            && let Some(outcome) = opening.collect()
        {
            let path = opening.path.clone();
            self.opening = None;
            match outcome {
                Ok(document) => {
                    self.keeping.remember(&path);
                    self.take_up(document);
                }
                Err(words) => self.notices.trouble(words),
            }
        }
        if let Some(proposed) = self.proposer.collect() {
            self.take_in_proposal(proposed);
        }
        if self.document.is_some() && self.step == Step::Sheet {
            let known = self.known.clone();
            if let Some(words) = self.sheet.keep_up(&known, self.paper) {
                self.notices.trouble(words);
            }
        }
        match self.sheet.written() {
            Some(Ok(path)) => self.notices.done(format!("Sheet written: {}", path.display())),
            Some(Err(words)) => self.notices.trouble(words),
            None => {}
        }
    }

    /// Asks for facts of the plan as it is now.
    fn look_into(&mut self) {
        let Some(document) = &self.document else { return };
        if self.asked != document.version() {
            self.asked = document.version();
            self.worker.ask(document.version(), document.plan().clone(), document.folder());
        }
    }

    /// A typed or dragged value is one edit until the pointer is up and no field has the keys.
    fn let_go_of_strokes(&mut self, ui: &egui::Ui) {
        let held = ui.input(|i| i.pointer.any_down()) || ui.memory(|m| m.focused().is_some());
        if !held && let Some(document) = &mut self.document {
            document.settle();
        }
    }

    /// Keeps unsaved work once it has rested a little.
    fn keep(&mut self, ctx: &egui::Context) {
        let Some(document) = &self.document else { return };
        if self.changed.0 != document.version() {
            self.changed = (document.version(), self.now);
        }
        if self.kept == document.version() {
            return;
        }
        let rested = self.now - self.changed.1;
        if rested < KEEP_AFTER_S {
            ctx.request_repaint_after(Duration::from_secs_f64(KEEP_AFTER_S - rested + 0.01));
            return;
        }
        self.kept = document.version();
        if document.history.is_unsaved() {
            self.keeping.keep_unsaved(document.plan(), document.path.as_deref());
        } else {
            self.keeping.drop_unsaved();
        }
    }

    fn name_window(&mut self, ctx: &egui::Context) {
        let title = match &self.document {
            Some(d) => {
                let mark = if d.history.is_unsaved() { "● " } else { "" };
                format!("{mark}{} – Mouldbench", d.title())
            }
            None => "Mouldbench".to_owned(),
        };
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Holds the window open while unsaved work is asked about.
    fn closing(&mut self, ctx: &egui::Context) {
        if !ctx.input(|i| i.viewport().close_requested()) {
            return;
        }
        let unsaved = self.document.as_ref().is_some_and(|d| d.history.is_unsaved());
        if unsaved && !self.may_close {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.asking = Some(Asking::Unsaved(Then::Quit));
        }
    }

    /// What is left to do when the window is gone.
    pub fn leave(&mut self) {
        if let Some(document) = &self.document
            && document.history.is_unsaved()
            && !self.may_close
        {
            self.keeping.keep_unsaved(document.plan(), document.path.as_deref());
        } else {
            self.keeping.drop_unsaved();
        }
        self.keeping.flush();
    }

    /// Does an action.
    pub fn perform(&mut self, action: Action) {
        match action {
            Action::OpenDemo(i) => self.unless_unsaved(Then::OpenDemo(i)),
            Action::Open => self.asking = Some(Asking::file(Purpose::Open, None, None)),
            Action::Save => match self.document.as_ref().and_then(|d| d.path.clone()) {
                Some(path) => {
                    self.save_to(&path);
                }
                None => self.ask_where_to_save(None),
            },
            Action::SaveAs => self.ask_where_to_save(None),
            Action::CloseJob => self.unless_unsaved(Then::CloseJob),
            Action::Undo => self.with_document(Document::undo),
            Action::Redo => self.with_document(Document::redo),
            Action::Search => self.search = Some(Search::open()),
            Action::Propose => self.propose(Wanted::Whole),
            Action::Delete => {
                if let Some(thing) = self.chosen {
                    self.delete(thing);
                }
            }
            Action::Fit => self.canvas.fit(&self.known, self.step, self.now),
            Action::Parallel => self.canvas.toggle_parallel(),
            Action::Section => self.canvas.toggle_cut(),
            Action::SeeThrough => self.canvas.see_through = !self.canvas.see_through,
            Action::LookFrom(view) => self.canvas.look_from(view, self.now),
            Action::WriteSheet => {
                let start = self.document.as_ref().map(|d| d.suggested_path().with_extension("pdf"));
                self.asking = Some(Asking::file(Purpose::SaveSheet, start, None));
            }
            Action::Theme => {
                self.dark = !self.dark;
                self.dressed = false;
                self.keeping.remember_dark(self.dark);
            }
            Action::GoTo(step) => self.go_to(step),
        }
        self.waker.wake();
    }

    fn with_document(&mut self, f: impl FnOnce(&mut Document)) {
        if let Some(document) = &mut self.document {
            f(document);
        }
        self.forget_what_is_gone();
    }

    /// Opens a step of the job card.
    pub fn go_to(&mut self, step: Step) {
        if step != self.step {
            self.step = step;
            self.tool = Tool::Look;
            self.opened_finding = None;
            if !Level::belongs_to(step) {
                self.level.playing = false;
            }
        }
    }

    /// True while work is under way or a picture is on its way: what a test waits for.
    pub fn is_busy(&self) -> bool {
        let behind = self.document.as_ref().is_some_and(|d| self.known.version != d.version() || !self.known.complete);
        let computing = behind && self.known.trouble.is_none();
        let drawing = self.step != Step::Sheet && self.document.is_some() && self.known.has_part();
        computing
            || self.opening.is_some()
            || self.worker.doing().is_some()
            || self.proposer.doing().is_some()
            || self.sheet.is_busy()
            || (drawing && self.canvas.is_busy())
    }

    /// What is being computed and the share that is done.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        let opening = self.opening.as_ref().map(|_| ("Reading the mesh", 0.0));
        opening.or(self.proposer.doing()).or(self.worker.doing())
    }

    /// Stops the work under way.
    pub fn stop_work(&mut self) {
        if self.proposer.doing().is_some() {
            self.proposer.cancel();
        } else {
            self.worker.cancel();
        }
    }

    /// The open job.
    pub fn document(&self) -> Option<&Document> {
        self.document.as_ref()
    }

    /// The plan as it is.
    pub fn plan(&self) -> Option<&Plan> {
        self.document.as_ref().map(Document::plan)
    }

    /// What is known.
    pub fn known(&self) -> &Known {
        &self.known
    }

    /// The view of the part.
    pub fn canvas(&self) -> &Canvas {
        &self.canvas
    }

    /// The view of the part, to be changed.
    pub fn canvas_mut(&mut self) -> &mut Canvas {
        &mut self.canvas
    }

    /// The open step.
    pub fn step(&self) -> Step {
        self.step
    }

    /// The tool in hand.
    pub fn tool(&self) -> Tool {
        self.tool
    }

    /// Takes a tool.
    pub fn take(&mut self, tool: Tool) {
        self.tool = tool;
    }

    /// The chosen thing.
    pub fn chosen(&self) -> Option<Thing> {
        self.chosen
    }

    /// Chooses a thing.
    pub fn choose(&mut self, thing: Option<Thing>) {
        self.chosen = thing;
    }

    /// The shop's data.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// Messages that stand.
    pub fn notices(&self) -> &Notices {
        &self.notices
    }

    /// Files used last.
    pub fn recent(&self) -> &[PathBuf] {
        &self.keeping.recent
    }

    /// Unsaved work of earlier runs.
    pub fn recovered(&self) -> &[Recovered] {
        &self.recovered
    }

    /// The insert that the next click puts.
    pub fn next_insert(&self) -> &InsertKind {
        &self.next_insert
    }

    /// Says which insert the next click puts.
    pub fn set_next_insert(&mut self, kind: InsertKind) {
        self.next_insert = kind;
    }

    /// Radius of strokes, millimetres.
    pub fn stroke_radius_mm(&self) -> f64 {
        self.stroke_radius_mm
    }

    /// Sets the radius of strokes.
    pub fn set_stroke_radius_mm(&mut self, radius_mm: f64) {
        self.stroke_radius_mm = radius_mm;
    }

    /// The paper of the sheet.
    pub fn paper(&self) -> Paper {
        self.paper
    }

    /// Sets the paper of the sheet.
    pub fn set_paper(&mut self, paper: Paper) {
        self.paper = paper;
    }

    /// Pages of the sheet that are laid out.
    pub fn page_count(&self) -> usize {
        self.sheet.pages().map_or(0, |l| l.pages.len())
    }

    /// The resin's level.
    pub fn level(&self) -> Level {
        self.level
    }

    /// Sets the resin's level.
    pub fn set_level(&mut self, level: Level) {
        self.level = level;
    }

    /// Lowest and highest point along up in `work`, where the air was looked into.
    pub fn level_range(&self) -> Option<[f64; 2]> {
        let range = self.known.facts.as_ref()?.air.as_ref()?.level.range;
        (range[1] > range[0]).then_some(range)
    }

    fn level_in_work(&self) -> Option<f64> {
        if !Level::belongs_to(self.step) {
            return None;
        }
        let [low, high] = self.level_range()?;
        self.level.share.map(|s| low + (high - low) * s)
    }

    /// The cursor on the part, in the box.
    pub fn cursor_in_box(&self) -> Option<DVec3> {
        self.canvas.cursor_in_box.filter(|_| self.step != Step::Sheet)
    }

    /// Lights a place in the view for this frame.
    pub fn light(&mut self, place: Option<Vec3>) {
        self.lit = place;
    }

    /// The opened finding.
    pub fn opened_finding(&self) -> Option<FindingKey> {
        self.opened_finding
    }

    /// Opens a finding, or closes it.
    pub fn open_finding(&mut self, key: Option<FindingKey>) {
        self.opened_finding = key;
    }

    /// Brings a place to the middle of the view.
    pub fn fly_to(&mut self, place: Vec3, normal: Option<Vec3>) {
        let known = self.known.clone();
        self.canvas.fly_to(place, normal, &known, self.step, self.now);
    }

    /// True while a question or the search has the keys.
    pub fn is_asking(&self) -> bool {
        self.asking.is_some() || self.search.is_some()
    }

    /// Asks a question.
    pub fn ask(&mut self, asking: Asking) {
        self.asking = Some(asking);
    }

    /// Takes the question that stands.
    pub fn take_asking(&mut self) -> Option<Asking> {
        self.asking.take()
    }

    /// Takes the open search.
    pub fn take_search(&mut self) -> Option<Search> {
        self.search.take()
    }

    /// Puts the search back.
    pub fn put_search(&mut self, search: Search) {
        self.search = Some(search);
    }

    fn ask_where_to_save(&mut self, then: Option<Then>) {
        let start = self.document.as_ref().map(Document::suggested_path);
        self.asking = Some(Asking::file(Purpose::SavePlan, start, then));
    }

    /// Goes on where nothing is lost by it, else asks.
    fn unless_unsaved(&mut self, then: Then) {
        if self.document.as_ref().is_some_and(|d| d.history.is_unsaved()) {
            self.asking = Some(Asking::Unsaved(then));
        } else {
            self.go_on(then);
        }
    }

    /// Does what waited for unsaved work to be settled.
    pub fn go_on(&mut self, then: Then) {
        match then {
            Then::Quit => {
                self.may_close = true;
                if let Some(ctx) = self.waker.window() {
                    ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                }
            }
            Then::CloseJob => self.put_away(),
            Then::OpenFile(path) => self.open_file(&path),
            Then::OpenDemo(i) => match demo::JOBS[i].plan() {
                Ok(plan) => self.take_up(Document::bundled(plan)),
                Err(e) => self.notices.trouble(e.to_string()),
            },
        }
    }

    /// Opens a file, after asking about unsaved work where there is any.
    pub fn open_or_ask(&mut self, path: PathBuf) {
        self.unless_unsaved(Then::OpenFile(path));
    }

    /// Saves, then goes on; asks where to save where that is not known.
    pub fn save_then(&mut self, then: Then) {
        match self.document.as_ref().and_then(|d| d.path.clone()) {
            Some(path) => {
                if self.save_to(&path) {
                    self.go_on(then);
                }
            }
            None => self.ask_where_to_save(Some(then)),
        }
    }

    /// Gives unsaved work up.
    pub fn give_up_unsaved(&mut self) {
        self.keeping.drop_unsaved();
    }

    /// Saves the plan; true where it went well.
    pub fn save_to(&mut self, path: &Path) -> bool {
        let Some(document) = &mut self.document else { return false };
        match document.save(path) {
            Ok(()) => {
                let saved = document.path.clone().unwrap_or_else(|| path.to_path_buf());
                self.keeping.remember(&saved);
                self.keeping.drop_unsaved();
                self.kept = document.version();
                self.notices.clear();
                self.notices.done(format!("Saved: {}", saved.display()));
                true
            }
            Err(e) => {
                self.notices.trouble(e.to_string());
                false
            }
        }
    }

    /// Writes the sheet.
    pub fn write_sheet_to(&mut self, path: &Path) {
        let known = self.known.clone();
        self.sheet.write(&known, self.paper, path.to_path_buf());
    }

    /// Opens a plan or starts one about a mesh. What was open stays open where that fails.
    pub fn open_file(&mut self, path: &Path) {
        if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl")) {
            self.opening = Some(Opening::start(self.bench.clone(), path, self.waker.clone()));
            return;
        }
        let document = match crate::plan::file::read(path) {
            Ok(plan) => Document::saved(plan, std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf())),
            Err(e) => {
                self.notices.trouble(e.to_string());
                return;
            }
        };
        self.keeping.remember(path);
        self.take_up(document);
    }

    /// Takes up the unsaved work of an earlier run.
    pub fn take_up_recovered(&mut self, i: usize) {
        if i < self.recovered.len() {
            let Recovered { plan, path, file } = self.recovered.remove(i);
            self.keeping.keep_unsaved(&plan, path.as_deref());
            self.keeping.remove(&file);
            self.take_up(Document::recovered(plan, path));
        }
    }

    /// Throws the unsaved work of an earlier run away.
    pub fn throw_away_recovered(&mut self, i: usize) {
        if i < self.recovered.len() {
            let one = self.recovered.remove(i);
            self.keeping.remove(&one.file);
        }
    }

    fn take_up(&mut self, document: Document) {
        self.put_away();
        // Versions go on, so that facts of the last job are never taken for facts of this one.
        self.document = Some(document.counted_from(self.asked + 1));
        self.kept = self.asked + 1;
        self.step = Step::Part;
    }

    fn put_away(&mut self) {
        self.keeping.drop_unsaved();
        self.worker.cancel();
        self.proposer.cancel();
        self.sheet.clear();
        self.document = None;
        self.known = Arc::default();
        self.canvas.start_afresh();
        self.chosen = None;
        self.tool = Tool::Look;
        self.level = Level::default();
        self.opened_finding = None;
        self.notices.clear();
    }
}
