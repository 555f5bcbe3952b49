//! Through the knife: pictures of the blade at one place of the cut, made on a thread of their own.

use crate::app::App;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::study::job::setting::Setting;
use crate::study::parting::cut::facts::CutFacts;
use crate::study::parting::cut::through::{Through, Trees, Views};
use std::sync::Arc;

/// What is to be looked at.
#[derive(Clone, Debug)]
struct Request {
    cut: Arc<CutFacts>,
    setting: Setting,
    along_mm: f64,
}

impl Request {
    fn same_cut(&self, other: &Request) -> bool {
        Arc::ptr_eq(&self.cut, &other.cut)
    }
}

/// A picture, and what it is a picture of.
#[derive(Clone, Debug)]
pub struct Seen {
    cut: Arc<CutFacts>,
    along_mm: f64,
    /// The picture.
    pub through: Through,
}

/// Looks along the cut.
#[derive(Debug)]
pub struct KnifeViewer {
    /// Where a hand put it; none while it stands at the first place that shows the part.
    along_mm: Option<f64>,
    requests: Mailbox<Request>,
    done: Mailbox<Seen>,
    asked: Option<Request>,
    last: Option<Arc<Seen>>,
}

impl KnifeViewer {
    /// Starts the thread; the window is woken when a picture is done.
    pub fn new(waker: Waker) -> KnifeViewer {
        let viewer = KnifeViewer {
            along_mm: None,
            requests: Mailbox::default(),
            done: Mailbox::default(),
            asked: None,
            last: None,
        };
        let (requests, done) = (viewer.requests.clone(), viewer.done.clone());
        let work = move || {
            let mut next = requests.wait();
            while let Some(first) = next.take() {
                next = look(first, &requests, &done, &waker);
            }
        };
        // Without the thread there is no picture, but everything else still works.
        let _ = std::thread::Builder::new().name("knife".into()).spawn(work);
        viewer
    }

    fn at_mm(&self, cut: &CutFacts) -> f64 {
        self.along_mm.unwrap_or_else(|| cut.first_at_part_mm()).min(cut.entry_mm())
    }

    /// Takes in what is done and asks for the picture of this cut at the place that is looked at.
    fn look_into(&mut self, cut: &Arc<CutFacts>, setting: &Setting) {
        if let Some(seen) = self.done.take() {
            self.last = Some(Arc::new(seen));
        }
        let request = Request { cut: cut.clone(), setting: setting.clone(), along_mm: self.at_mm(cut) };
        let same = |r: &Request| r.same_cut(&request) && r.along_mm == request.along_mm;
        if cut.surface.is_ok() && !self.asked.as_ref().is_some_and(same) {
            self.asked = Some(request.clone());
            self.requests.put(request);
        }
    }

    /// True while a picture that was asked for is not there yet.
    pub fn is_under_way(&self) -> bool {
        let Some(asked) = &self.asked else { return false };
        !self.last.as_ref().is_some_and(|s| Arc::ptr_eq(&s.cut, &asked.cut) && s.along_mm == asked.along_mm)
    }

    /// The newest picture of this cut; one of the place before while the next is made.
    fn seen(&self, cut: &Arc<CutFacts>) -> Option<Arc<Seen>> {
        self.last.clone().filter(|seen| Arc::ptr_eq(&seen.cut, cut))
    }
}

impl Drop for KnifeViewer {
    fn drop(&mut self) {
        self.requests.close();
    }
}

/// Serves requests about one cut; hands back the first about another one.
fn look(first: Request, requests: &Mailbox<Request>, done: &Mailbox<Seen>, waker: &Waker) -> Option<Request> {
    let (cut, setting) = (first.cut.clone(), first.setting.clone());
    let Ok(surface) = &cut.surface else { return requests.wait() };
    let trees = Trees::of(surface, &setting);
    let views = Views::new(surface, &cut.block, &setting, &trees);
    let mut now = first;
    loop {
        if let Some((wall, at_mm)) = cut.entry_at(now.along_mm) {
            done.put(Seen { cut: cut.clone(), along_mm: now.along_mm, through: views.at(wall, at_mm) });
            waker.wake();
        }
        match requests.wait() {
            Some(next) if next.same_cut(&now) => now = next,
            other => return other,
        }
    }
}

impl App {
    /// Where along the cut one looks through the knife, millimetres.
    pub fn knife_at_mm(&self, cut: &CutFacts) -> f64 {
        self.knife.at_mm(cut)
    }

    /// Looks through the knife there.
    pub fn set_knife_at_mm(&mut self, along_mm: f64) {
        self.knife.along_mm = Some(along_mm.max(0.0));
    }

    /// The picture through the knife, asked for by whoever shows it; none while it is made or there is no cut.
    pub fn through_knife(&mut self) -> Option<Arc<Seen>> {
        let facts = self.known().facts.clone()?;
        let cut = facts.cut.as_ref()?;
        self.knife.look_into(cut, &facts.setting);
        self.knife.seen(cut)
    }
}
