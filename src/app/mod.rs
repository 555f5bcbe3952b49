//! The window: the only room that knows the window toolkit.
//!
//! - [`App`] holds everything and draws itself into any `egui::Ui` (`frame`), so that tests drive it without a display
//! - [`window`] opens the real one; [`document`] is the open job, `files` opens and saves, [`keeping`] is what
//!   is kept between runs, [`kept_work`] unsaved work, [`kept_desk`] when it is kept and how it is offered
//! - [`job_card`], [`steps`], [`canvas`], [`top_line`], [`bottom_strip`] are its parts, [`welcome`] its first page
//! - [`action`] lists everything that can be done by name, `perform` does it; [`edits`] are the changes that more than one place makes
//! - [`practice`] hides what is computed until the apprentice has poured
//! - [`worker`], [`propose`], [`sheet_pages`] and [`canvas::painter`] work on threads of their own, so that the window
//!   never waits

pub mod action;
pub mod asking;
pub mod bottom_strip;
pub mod canvas;
pub mod closer_view;
pub mod demo;
pub mod document;
pub mod edits;
pub mod exact;
pub mod fault;
pub mod fields;
mod files;
pub mod filler;
mod frame;
pub mod hang_desk;
pub mod held;
pub mod in_turn;
pub mod job_card;
pub mod keeping;
pub mod kept_desk;
pub mod kept_work;
pub mod knife_view;
pub mod known;
pub mod line_drag;
pub mod mailbox;
mod missing;
pub mod notices;
pub mod opened;
pub mod opening;
mod perform;
pub mod practice;
pub mod propose;
pub mod runners;
pub mod search;
mod set;
pub mod sheet_pages;
pub mod shop_page;
pub mod shop_writer;
pub mod steps;
pub mod stl_writer;
pub mod theme;
pub mod thing;
pub mod top_line;
mod two_shot;
pub mod typed;
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
use asking::{Asking, Then};
use bottom_strip::Level;
use canvas::Canvas;
use canvas::sight::Colouring;
use canvas::tool::Tool;
use closer_view::CloserViewer;
use document::Document;
use exact::TypedPlace;
use fault::FaultLook;
use filler::{FillTimes, Filler};
use frame::AfterField;
use glam::{DVec3, Vec3};
use hang_desk::HangDesk;
use keeping::Keeping;
use kept_work::Recovered;
use knife_view::KnifeViewer;
use known::Known;
use line_drag::{Dragger, LineDrag};
use missing::Missing;
use notices::Notices;
use opened::Opener;
use opening::{Opening, ReadMesh};
use propose::Proposer;
use runners::Runners;
use search::Search;
use sheet_pages::SheetPages;
use shop_page::ShopPage;
use shop_writer::ShopWriter;
use std::path::PathBuf;
use std::sync::Arc;
use stl_writer::StlWriter;
use thing::Thing;
use waker::Waker;
use worker::Worker;

/// What the window starts with.
#[derive(Clone, Debug)]
pub struct Setup {
    /// A plan or mesh to open.
    pub file: Option<PathBuf>,
    /// Where things are kept between runs; none keeps nothing.
    pub data_folder: Option<PathBuf>,
    /// The shop's data.
    pub shop: Shop,
    /// Why the shop's own file is not used, in words.
    pub shop_trouble: Option<String>,
    /// Where the shop's own file is written; none where no place is known.
    pub shop_file: Option<PathBuf>,
    /// Hands a file to the program that the system opens it with.
    pub hand_over: HandOver,
    /// A bench with the same figures, whose facts the window begins with; none begins with nothing.
    pub facts: Option<Arc<Bench>>,
}

/// How a file is handed to the system; it may wait until that program has closed it.
pub type HandOver = fn(&std::path::Path) -> std::io::Result<()>;

impl Default for Setup {
    fn default() -> Setup {
        Setup {
            file: None,
            data_folder: None,
            shop: Shop::bundled().clone(),
            shop_trouble: None,
            shop_file: None,
            hand_over: |path| open::that(path),
            facts: None,
        }
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
    /// A mesh that was read and waits until what is open may go.
    read_mesh: Option<ReadMesh>,
    worker: Worker,
    proposer: Proposer,
    filler: Filler,
    /// When resin comes where, from the fill that was followed last, and the share of its time that is shown.
    fill_times: Option<Arc<FillTimes>>,
    fill_share: f64,
    hangs: HangDesk,
    runners: Runners,
    opener: Opener,
    knife: KnifeViewer,
    closer: CloserViewer,
    fault: FaultLook,
    dragger: Dragger,
    line_drag: Option<LineDrag>,
    sheet: SheetPages,
    solids: StlWriter,
    /// The page of the shop's figures, once it was opened; it keeps what was changed and not written.
    shop_page: Option<ShopPage>,
    /// True while that page is what is shown.
    shop_page_open: bool,
    shop_writer: ShopWriter,
    /// True where unwritten figures of the shop may go when the window is closed.
    shop_given_up: bool,
    /// What waits for the shop's file to be written.
    after_shop: Option<Then>,
    shop_file: Option<PathBuf>,
    hand_over: HandOver,
    practice: Option<practice::Practice>,
    keeping: Keeping,
    recovered: Vec<Recovered>,
    document: Option<Document>,
    known: Arc<Known>,
    missing: Missing,
    canvas: Canvas,
    /// What the panels leave in the middle.
    view_rect: egui::Rect,
    step: Step,
    tool: Tool,
    chosen: Option<Thing>,
    /// The place that was typed last.
    typed: Option<TypedPlace>,
    /// A gate that was moved and whose runner must be laid anew once it is let go.
    moved_gate: Option<u32>,
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
    /// When the oldest change was made that is not kept.
    unkept_since: Option<f64>,
    /// Why unsaved work could not be kept when that was tried last, and when it is tried again.
    keep_trouble: Option<String>,
    keep_again_at: Option<f64>,
    /// What is done at the end of the frame, once the field that had the keys has been left.
    after_field: Option<AfterField>,
    title: String,
    may_close: bool,
}

impl App {
    /// A window with nothing drawn yet.
    pub fn new(setup: Setup) -> App {
        let waker = Waker::default();
        let shop = Arc::new(setup.shop.clone());
        let known = setup.facts.filter(|f| *f.shop() == setup.shop);
        let bench = Arc::new(known.map_or_else(|| Bench::new(setup.shop, demo::bundled()), |f| (*f).clone()));
        let keeping = Keeping::new(setup.data_folder, waker.clone());
        let mut app = App {
            worker: Worker::new(bench.clone(), waker.clone()),
            proposer: Proposer::new(bench.clone(), waker.clone()),
            filler: Filler::new(bench.clone(), waker.clone()),
            fill_times: None,
            fill_share: 1.0,
            hangs: HangDesk::new(bench.clone(), waker.clone()),
            runners: Runners::new(bench.clone(), waker.clone()),
            opener: Opener::new(bench.clone(), waker.clone()),
            knife: KnifeViewer::new(waker.clone()),
            closer: CloserViewer::new(waker.clone()),
            fault: FaultLook::default(),
            dragger: Dragger::new(waker.clone()),
            line_drag: None,
            sheet: SheetPages::new(shop.clone(), waker.clone()),
            solids: StlWriter::new(waker.clone()),
            shop_page: None,
            shop_page_open: false,
            shop_writer: ShopWriter::new(waker.clone()),
            shop_given_up: false,
            after_shop: None,
            shop_file: setup.shop_file,
            hand_over: setup.hand_over,
            practice: None,
            recovered: Vec::new(),
            opening: None,
            read_mesh: None,
            document: None,
            known: Arc::default(),
            missing: Missing::default(),
            canvas: Canvas::new(waker.clone()),
            view_rect: egui::Rect::NOTHING,
            step: Step::Part,
            tool: Tool::Look,
            chosen: None,
            typed: None,
            moved_gate: None,
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
            unkept_since: None,
            keep_trouble: None,
            keep_again_at: None,
            after_field: None,
            title: String::new(),
            may_close: false,
            keeping,
            waker,
            shop,
            bench,
        };
        if let Some(trouble) = setup.shop_trouble {
            app.notices.trouble(trouble);
        }
        match setup.file {
            Some(file) => app.open_file(&file),
            None => app.look_for_kept_work(),
        }
        app
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

    /// True where everything is known of the plan as it is now, or cannot be had.
    pub fn knows_all(&self) -> bool {
        self.document.as_ref().is_some_and(|d| d.version() == self.known.version) && self.known.complete
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

    /// Meshes and cached facts of the job.
    pub fn bench(&self) -> &Arc<Bench> {
        &self.bench
    }

    /// Messages that stand.
    pub fn notices(&self) -> &Notices {
        &self.notices
    }

    /// Messages that stand, to be added to.
    pub fn notices_mut(&mut self) -> &mut Notices {
        &mut self.notices
    }

    /// Files used last.
    pub fn recent(&self) -> &[PathBuf] {
        &self.keeping.recent
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
        // What was asked for last is shown: a level lies on the plain part, not on fill times.
        if level.share.is_some() && level.share != self.level.share && self.canvas.colouring == Some(Colouring::Fill) {
            self.canvas.colouring = None;
        }
        self.level = level;
    }

    /// Lowest and highest point along up in `work`, where the air was looked into.
    pub fn level_range(&self) -> Option<[f64; 2]> {
        let range = self.known.facts.as_ref()?.air.as_ref()?.level.range;
        (range[1] > range[0]).then_some(range)
    }

    pub(super) fn level_in_work(&self) -> Option<f64> {
        if !Level::belongs_to(self.step) {
            return None;
        }
        // Over fill times it would be a second blue that says something else.
        if self.canvas.colouring == Some(Colouring::Fill) && self.fill_times.is_some() {
            return None;
        }
        let [low, high] = self.level_range()?;
        self.level.share.map(|s| low + (high - low) * s)
    }

    /// The cursor on the part: from the left wall, the front wall and the floor of the box, as on paper.
    pub fn cursor_from_walls(&self) -> Option<DVec3> {
        let in_box = self.canvas.cursor_in_box.filter(|_| self.step != Step::Sheet)?;
        Some(self.known.setting()?.master_size(self.plan()?).from_walls(in_box))
    }

    /// Lights a place in the view for this frame.
    pub fn light(&mut self, place: Option<Vec3>) {
        self.lit = place;
    }

    /// True where a place is lit already in this frame.
    pub fn is_lit(&self) -> bool {
        self.lit.is_some()
    }

    /// The opened finding.
    pub fn opened_finding(&self) -> Option<FindingKey> {
        self.opened_finding
    }

    /// Opens a finding, or closes it.
    pub fn open_finding(&mut self, key: Option<FindingKey>) {
        self.look_away();
        self.opened_finding = key;
    }

    /// Brings a place to the middle of the view.
    pub fn fly_to(&mut self, place: Vec3, normal: Option<Vec3>) {
        let known = self.known.clone();
        self.canvas.fly_to(place, normal, &known, self.step, self.now);
    }

    /// Brings a place of the part to the middle of the view, seen from the side that it faces; where something of the part
    /// hides it even so, the view is cut through it.
    pub fn show_place(&mut self, place: Vec3) {
        let normal = self.nearest_of_body(place).map(|(_, normal)| normal);
        self.fly_to(place, normal);
        self.canvas.reveal(place);
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
}
