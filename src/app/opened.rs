//! The opened block: both halves, made on a thread of their own when somebody first opens it, and drawn apart by a slider.

use crate::app::App;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::mesh::Mesh;
use crate::plan::Plan;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use glam::Vec3;
use std::path::PathBuf;
use std::sync::Arc;

/// Both halves of one version of the plan.
#[derive(Debug)]
pub struct Halves {
    /// Half 1 and half 2, in `work`.
    pub meshes: Arc<[Arc<Mesh>; 2]>,
    /// The directions in which they are drawn off.
    pub draws: [Vec3; 2],
    /// How far each goes when the block is wide open, millimetres.
    pub reach_mm: f32,
}

/// The halves as the view draws them.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The halves.
    pub halves: Arc<Halves>,
    /// How far open, 0 to 1.
    pub share: f32,
}

impl Opened {
    /// True where both look the same.
    pub fn same(&self, other: &Opened) -> bool {
        Arc::ptr_eq(&self.halves, &other.halves) && self.share == other.share
    }
}

/// What became of making them, with the version of the document.
type Made = (u64, Result<Arc<Halves>, String>);

/// Opens the block.
#[derive(Debug)]
pub struct Opener {
    bench: Arc<Bench>,
    waker: Waker,
    share: f32,
    under_way: Option<(u64, Run)>,
    done: Mailbox<Made>,
    last: Option<Made>,
}

impl Opener {
    /// A closed block.
    pub fn new(bench: Arc<Bench>, waker: Waker) -> Opener {
        Opener { bench, waker, share: 0.0, under_way: None, done: Mailbox::default(), last: None }
    }

    /// How far the block is open, 0 to 1.
    pub fn share(&self) -> f32 {
        self.share
    }

    /// Opens the block so far.
    pub fn set_share(&mut self, share: f32) {
        self.share = share.clamp(0.0, 1.0);
    }

    /// Closes the block and lets go of its halves: another job is opened by its own hand.
    pub fn close(&mut self) {
        self.cancel();
        self.share = 0.0;
        self.last = None;
    }

    /// Takes in what is done and, where the block is open, asks for the halves of this version of the plan.
    pub fn look_into(&mut self, version: u64, plan: &Arc<Plan>, folder: Option<PathBuf>) {
        while let Some(made) = self.done.take() {
            if self.under_way.as_ref().is_some_and(|(asked, _)| *asked == made.0) {
                self.under_way = None;
            }
            self.last = Some(made);
        }
        let known = self.last.as_ref().is_some_and(|(of, _)| *of == version);
        let asked = self.under_way.as_ref().is_some_and(|(of, _)| *of == version);
        if self.share == 0.0 || known || asked {
            return;
        }
        self.cancel();
        let run = Run::new();
        self.under_way = Some((version, run.clone()));
        let (bench, waker, done, plan) = (self.bench.clone(), self.waker.clone(), self.done.clone(), plan.clone());
        let work = move || {
            bench.set_folder(folder.as_deref());
            let outcome = make(&bench, &plan, &run);
            if !run.is_cancelled() {
                done.put((version, outcome.map(Arc::new).map_err(|e| e.to_string())));
            }
            waker.wake();
        };
        if std::thread::Builder::new().name("halves".into()).spawn(work).is_err() {
            self.under_way = None;
        }
    }

    /// The halves as they are to be drawn; none while the block is closed or they are still being made.
    pub fn opened(&self, version: u64) -> Option<Opened> {
        match &self.last {
            Some((of, Ok(halves))) if *of == version && self.share > 0.0 => {
                Some(Opened { halves: halves.clone(), share: self.share })
            }
            _ => None,
        }
    }

    /// Why the block of this version cannot be opened, in words.
    pub fn trouble(&self, version: u64) -> Option<&str> {
        match &self.last {
            Some((of, Err(words))) if *of == version => Some(words),
            _ => None,
        }
    }

    /// True while the halves are being made.
    pub fn is_under_way(&self) -> bool {
        self.under_way.is_some()
    }

    fn cancel(&mut self) {
        if let Some((_, run)) = self.under_way.take() {
            run.cancel();
        }
    }
}

impl Drop for Opener {
    fn drop(&mut self) {
        self.cancel();
    }
}

fn make(bench: &Bench, plan: &Plan, run: &Run) -> Result<Halves, StudyError> {
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let cut = bench.cut(plan, &setting, &body, run)?;
    let meshes = bench.halves(plan, &setting, &body, run)?;
    let draws = cut.draws().unwrap_or([Vec3::Z, Vec3::NEG_Z]);
    Ok(Halves { meshes, draws, reach_mm: 0.7 * setting.block.size_mm.max_element() as f32 })
}

impl App {
    /// How far the block is open, 0 to 1.
    pub fn open_share(&self) -> f32 {
        self.opener.share()
    }

    /// Opens the block so far.
    pub fn set_open_share(&mut self, share: f32) {
        self.opener.set_share(share);
    }

    /// True where both halves are drawn apart.
    pub fn is_block_open(&self) -> bool {
        self.opened_block().is_some()
    }

    /// Why the block cannot be opened, or that it is being looked into, in words.
    pub fn opening_words(&self) -> Option<String> {
        let version = self.document.as_ref()?.version();
        if self.opener.is_under_way() {
            return Some("Cutting the block open".into());
        }
        self.opener.trouble(version).map(str::to_owned)
    }

    /// Takes in halves that are done and asks for those that are wanted.
    pub(super) fn open_block(&mut self) {
        if let Some(document) = &self.document {
            self.opener.look_into(document.version(), &document.shared(), document.folder());
        }
    }

    /// The opened block as it is to be drawn.
    pub fn opened_block(&self) -> Option<Opened> {
        self.document.as_ref().and_then(|d| self.opener.opened(d.version()))
    }
}
