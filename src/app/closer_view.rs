//! The closer look at an opened finding, made on a thread of its own.

use crate::app::App;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::study::bench::Facts;
use crate::study::findings::Finding;
use crate::study::lessons::closer_look::{CloserLook, closer_look};
use std::sync::Arc;

/// What is to be looked at.
#[derive(Clone, Debug)]
struct Request {
    facts: Arc<Facts>,
    finding: Finding,
}

impl Request {
    fn same(&self, other: &Request) -> bool {
        Arc::ptr_eq(&self.facts, &other.facts) && self.finding == other.finding
    }
}

/// Looks at findings' places.
#[derive(Debug)]
pub struct CloserViewer {
    requests: Mailbox<Request>,
    done: Mailbox<(Request, Option<CloserLook>)>,
    asked: Option<Request>,
    last: Option<(Request, Option<Arc<CloserLook>>)>,
}

impl CloserViewer {
    /// Starts the thread; the window is woken when a picture is done.
    pub fn new(waker: Waker) -> CloserViewer {
        let viewer = CloserViewer { requests: Mailbox::default(), done: Mailbox::default(), asked: None, last: None };
        let (requests, done) = (viewer.requests.clone(), viewer.done.clone());
        let work = move || {
            while let Some(request) = requests.wait() {
                let look = closer_look(&request.facts, &request.finding);
                done.put((request, look));
                waker.wake();
            }
        };
        // Without the thread there is no picture; the words are there all the same.
        let _ = std::thread::Builder::new().name("closer look".into()).spawn(work);
        viewer
    }

    /// True while a picture that was asked for is not there yet.
    pub fn is_under_way(&self) -> bool {
        self.asked.is_some()
    }
}

impl Drop for CloserViewer {
    fn drop(&mut self) {
        self.requests.close();
    }
}

impl App {
    /// The closer look at a finding, asked for by whoever shows it; none while it is made or there is nothing to see. The
    /// one of the plan before stays until the new one is there.
    pub fn closer_look(&mut self, finding: &Finding) -> Option<Arc<CloserLook>> {
        finding.place?;
        let request = Request { facts: self.known.facts.clone()?, finding: finding.clone() };
        let viewer = &mut self.closer;
        if let Some((request, look)) = viewer.done.take() {
            if viewer.asked.as_ref().is_some_and(|a| a.same(&request)) {
                viewer.asked = None;
            }
            viewer.last = Some((request, look.map(Arc::new)));
        }
        let there = viewer.last.as_ref().is_some_and(|l| l.0.same(&request));
        if !there && !viewer.asked.as_ref().is_some_and(|a| a.same(&request)) {
            viewer.asked = Some(request.clone());
            viewer.requests.put(request);
        }
        let last =
            viewer.last.as_ref().filter(|l| l.0.finding.code == finding.code && l.0.finding.place == finding.place);
        last.and_then(|l| l.1.clone())
    }

    /// Nobody looks any closer: what was asked for is not waited for.
    pub(super) fn look_away(&mut self) {
        self.closer.asked = None;
    }
}
