//! The shop's own file: written on a thread of its own, never over what was not told; then the bench goes on with it.

use super::App;
use super::filler::Filler;
use super::hang_desk::HangDesk;
use super::known::Known;
use super::mailbox::Mailbox;
use super::opened::Opener;
use super::propose::Proposer;
use super::runners::Runners;
use super::sheet_pages::SheetPages;
use super::waker::Waker;
use super::worker::Worker;
use crate::files::output::write_whole;
use crate::mesh::io_words::said;
use crate::shop::Shop;
use crate::study::bench::Bench;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What became of writing.
#[derive(Clone, Debug, PartialEq)]
pub enum Wrote {
    /// It was written.
    Done(PathBuf),
    /// Nothing was written yet: what is there would be lost, and why, in words.
    Ask(String),
    /// It could not be written, in words.
    Failed(String),
}

/// Writes the shop's file.
#[derive(Debug)]
pub struct ShopWriter {
    waker: Waker,
    done: Mailbox<(Wrote, Shop)>,
    busy: bool,
}

impl ShopWriter {
    /// Nothing to write yet.
    pub fn new(waker: Waker) -> ShopWriter {
        ShopWriter { waker, done: Mailbox::default(), busy: false }
    }

    /// True while the file is being written.
    pub fn is_busy(&self) -> bool {
        self.busy
    }

    /// Starts to write `shop`; `used` is what the file that is there is thought to hold.
    fn write(&mut self, path: PathBuf, shop: Shop, used: Arc<Shop>, replace: bool) {
        let (done, waker) = (self.done.clone(), self.waker.clone());
        let work = move || {
            done.put((wrote(&path, &shop, &used, replace), shop));
            waker.wake();
        };
        self.busy = std::thread::Builder::new().name("shop file".into()).spawn(work).is_ok();
    }

    fn collect(&mut self) -> Option<(Wrote, Shop)> {
        let outcome = self.done.take()?;
        self.busy = false;
        Some(outcome)
    }
}

/// Where a file goes that is replaced though it could not be read or held something else.
fn aside(path: &Path) -> PathBuf {
    path.with_extension("ron.before")
}

fn wrote(path: &Path, shop: &Shop, used: &Shop, replace: bool) -> Wrote {
    let failed = |e: std::io::Error| {
        Wrote::Failed(format!(
            "The shop's file could not be written ({}). Nothing was changed: {}",
            said(&e),
            path.display()
        ))
    };
    if path.exists() {
        let lost = match Shop::read(path) {
            Ok(there) if there == *used => None,
            Ok(_) => Some("The shop's file holds other figures than those that are used here".to_owned()),
            Err(e) => Some(e.to_string()),
        };
        if let Some(lost) = lost {
            if !replace {
                let name = aside(path);
                let kept = name.file_name().unwrap_or_default().to_string_lossy();
                return Wrote::Ask(format!("{lost}. Writing replaces it; the file that is there is kept as {kept}"));
            }
            if let Err(e) = std::fs::copy(path, aside(path)) {
                return failed(e);
            }
        }
    }
    let made = path.parent().map_or(Ok(()), std::fs::create_dir_all);
    match made.and_then(|()| write_whole(path, shop.to_own_text().as_bytes())) {
        Ok(()) => Wrote::Done(path.to_path_buf()),
        Err(e) => failed(e),
    }
}

impl App {
    /// Where the shop's own file is written.
    pub fn shop_file(&self) -> Option<&Path> {
        self.shop_file.as_deref()
    }

    /// Writes the shop's file from the page; with `replace` also over a file that can't be read or holds something else.
    pub fn write_shop(&mut self, shop: Shop, replace: bool) {
        match self.shop_file.clone() {
            Some(path) if !self.shop_writer.busy => {
                self.shop_writer.write(path, shop, self.shop.clone(), replace);
            }
            Some(_) => {}
            None => self.notices.trouble("No configuration folder is known here, so that nothing can be written"),
        }
    }

    pub(super) fn take_in_shop_file(&mut self) {
        let Some((wrote, shop)) = self.shop_writer.collect() else { return };
        match wrote {
            Wrote::Done(path) => {
                self.notices.done(format!("The shop's file written: {}", path.display()));
                self.use_shop(shop);
                self.shop_page_written();
            }
            Wrote::Ask(words) => self.shop_page_asks(words),
            Wrote::Failed(words) => self.notices.trouble(words),
        }
    }

    /// Goes on with another shop: a new bench, at which everything is reckoned anew. The plan keeps its materials.
    fn use_shop(&mut self, shop: Shop) {
        let (waker, bench) = (self.waker.clone(), Arc::new(Bench::new(shop.clone(), super::demo::bundled())));
        self.shop = Arc::new(shop);
        self.worker = Worker::new(bench.clone(), waker.clone());
        self.proposer = Proposer::new(bench.clone(), waker.clone());
        self.filler = Filler::new(bench.clone(), waker.clone());
        self.hangs = HangDesk::new(bench.clone(), waker.clone());
        self.runners = Runners::new(bench.clone(), waker.clone());
        self.opener = Opener::new(bench.clone(), waker.clone());
        self.sheet = SheetPages::new(self.shop.clone(), waker);
        self.bench = bench;
        if let Some(document) = &mut self.document {
            document.look_again();
            // The picture stays until there is a new one; nothing that was judged by the old figures does.
            let Known { facts, part_bounds, plan, .. } = &*self.known;
            let (facts, part_bounds, plan) = (facts.clone(), part_bounds.clone(), plan.clone());
            self.known = Arc::new(Known { facts, part_bounds, plan, ..Known::default() });
        }
    }
}
