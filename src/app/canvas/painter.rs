//! The thread that draws pictures of the part, so that the window never waits for one.
//!
//! It has a pool of its own: in one that it shared with slow facts a picture would wait until a union of meshes is over.

use super::scenery::Scenery;
use super::sight::Sight;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::view::camera::Camera;
use crate::view::palette::Scale;
use crate::view::picture::Picture;
use crate::view::render::{Quality, Renderer};
use crate::view::scene::Scene;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// What is to be drawn.
#[derive(Clone, Debug)]
pub struct Request {
    /// What is seen.
    pub sight: Arc<Sight>,
    /// Which sight it is; equal numbers mean the same.
    pub sight_number: u64,
    /// Where from.
    pub camera: Camera,
    /// How carefully.
    pub quality: Quality,
}

/// A finished picture.
#[derive(Debug)]
pub struct Painted {
    /// What it shows.
    pub scene: Arc<Scene>,
    /// The range of wall thickness on the ramp, where walls were coloured.
    pub walls: Option<Scale>,
    /// How carefully it was drawn.
    pub quality: Quality,
    /// The picture, for picking.
    pub picture: Picture,
    /// Its pixels, for the window.
    pub image: Arc<egui::ColorImage>,
    /// How long it took.
    pub took: Duration,
}

/// Draws on a thread of its own; the latest request wins.
#[derive(Debug)]
pub struct Painter {
    requests: Mailbox<Request>,
    done: Mailbox<Painted>,
    /// Pictures that are no longer looked at: their buffers are used again.
    spent: Mailbox<Picture>,
    busy: Arc<AtomicBool>,
}

impl Painter {
    /// Starts the thread; the window is woken when a picture is done.
    pub fn new(waker: Waker) -> Painter {
        let painter = Painter {
            requests: Mailbox::default(),
            done: Mailbox::default(),
            spent: Mailbox::default(),
            busy: Arc::new(AtomicBool::new(false)),
        };
        let (requests, done, spent) = (painter.requests.clone(), painter.done.clone(), painter.spent.clone());
        let busy = painter.busy.clone();
        let work = move || {
            // Without a pool of its own it draws all the same, in the shared one.
            let pool = rayon::ThreadPoolBuilder::new().thread_name(|i| format!("painter {i}")).build().ok();
            let mut renderer = Renderer::new();
            let mut scenery = Scenery::default();
            let mut made: Option<(u64, Arc<Scene>)> = None;
            while let Some(request) = requests.wait() {
                let begun = Instant::now();
                let same = made.take().filter(|(number, _)| *number == request.sight_number).map(|(_, scene)| scene);
                let mut draw = || {
                    let scene = same.clone().unwrap_or_else(|| Arc::new(scenery.scene(&request.sight)));
                    renderer.render(&scene, &request.camera, request.quality);
                    scene
                };
                let scene = match &pool {
                    Some(pool) => pool.install(draw),
                    None => draw(),
                };
                made = Some((request.sight_number, scene.clone()));
                let next = spent.take().unwrap_or_else(Picture::empty);
                let picture = std::mem::replace(&mut renderer.picture, next);
                let size = [picture.width, picture.height];
                let image = Arc::new(egui::ColorImage::from_rgba_premultiplied(size, &picture.rgba));
                let (walls, quality, took) = (scenery.wall_scale(), request.quality, begun.elapsed());
                if let Some(unseen) = done.put(Painted { scene, walls, quality, picture, image, took }) {
                    spent.put(unseen.picture);
                }
                busy.store(false, Ordering::Release);
                waker.wake();
            }
        };
        // Without the thread there is no picture, but everything else still works.
        let _ = std::thread::Builder::new().name("painter".into()).spawn(work);
        painter
    }

    /// True while a picture is being drawn or is waiting to be.
    pub fn is_busy(&self) -> bool {
        self.busy.load(Ordering::Acquire)
    }

    /// Asks for a picture. Only ask when not busy: a picture that is under way is not stopped.
    pub fn ask(&self, request: Request) {
        self.busy.store(true, Ordering::Release);
        self.requests.put(request);
    }

    /// The newest finished picture, once.
    pub fn collect(&self) -> Option<Painted> {
        self.done.take()
    }

    /// Gives a picture back that is no longer looked at.
    pub fn give_back(&self, picture: Picture) {
        self.spent.put(picture);
    }
}

impl Drop for Painter {
    fn drop(&mut self) {
        self.requests.close();
    }
}
