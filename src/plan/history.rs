//! Undo and redo by snapshot.
//!
//! A plan is a few kilobytes, so every point of the history is a whole plan. "Saved" is a mark on a point: undoing back
//! to it clears the unsaved mark.

use super::Plan;

/// Most points that are kept; the oldest fall away.
const DEEPEST: usize = 500;

/// The plan being worked on, with what came before and what was undone.
#[derive(Clone, Debug)]
pub struct History {
    plan: Plan,
    /// What the edit was called and the plan as it was before it; newest last.
    done: Vec<Point>,
    /// What the edit was called and the plan as it was after it; next redo last.
    undone: Vec<Point>,
    saved: Plan,
    /// The edit under way, which later steps of the same stroke are folded into.
    open: bool,
}

#[derive(Clone, Debug)]
struct Point {
    name: String,
    plan: Plan,
}

impl History {
    /// Starts with a plan that is as saved.
    pub fn new(plan: Plan) -> History {
        History { saved: plan.clone(), plan, done: Vec::new(), undone: Vec::new(), open: false }
    }

    /// Starts with a plan that was never saved.
    pub fn unsaved(plan: Plan) -> History {
        History { saved: Plan::default(), ..History::new(plan) }
    }

    /// The plan as it is now.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Makes one edit called `name`. An edit that changes nothing leaves no point.
    pub fn edit(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        self.settle();
        self.stroke(name, change);
        self.settle();
    }

    /// One step of a stroke (a drag, typing in a field): all steps until [`History::settle`] or until a step with
    /// another name are undone as one.
    pub fn stroke(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        let mut next = self.plan.clone();
        change(&mut next);
        if next == self.plan {
            return;
        }
        let same_stroke = self.open && self.done.last().is_some_and(|p| p.name == name);
        let before = std::mem::replace(&mut self.plan, next);
        if !same_stroke {
            self.done.push(Point { name: name.to_owned(), plan: before });
            if self.done.len() > DEEPEST {
                self.done.remove(0);
            }
        }
        self.undone.clear();
        self.open = true;
    }

    /// Ends the stroke under way. A stroke that came back to where it began leaves no point.
    pub fn settle(&mut self) {
        if self.open && self.done.last().is_some_and(|p| p.plan == self.plan) {
            self.done.pop();
        }
        self.open = false;
    }

    /// Name of the edit that undo would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.done.last().map(|p| p.name.as_str())
    }

    /// Name of the edit that redo would make again.
    pub fn redo_name(&self) -> Option<&str> {
        self.undone.last().map(|p| p.name.as_str())
    }

    /// Takes the last edit back; false where there is none.
    pub fn undo(&mut self) -> bool {
        self.settle();
        let Some(Point { name, plan }) = self.done.pop() else { return false };
        let after = std::mem::replace(&mut self.plan, plan);
        self.undone.push(Point { name, plan: after });
        true
    }

    /// Makes the last undone edit again; false where there is none.
    pub fn redo(&mut self) -> bool {
        self.settle();
        let Some(Point { name, plan }) = self.undone.pop() else { return false };
        let before = std::mem::replace(&mut self.plan, plan);
        self.done.push(Point { name, plan: before });
        true
    }

    /// Changes every plan that undo and redo lead to, the present one, and the saved one alike: what is no decision of
    /// the toolmaker's, such as where a file lies.
    pub fn everywhere(&mut self, change: impl Fn(&mut Plan)) {
        change(&mut self.plan);
        change(&mut self.saved);
        self.done.iter_mut().chain(&mut self.undone).for_each(|point| change(&mut point.plan));
    }

    /// Forgets which plan is on disk: none that was worked on is.
    pub fn changed_since_saved(&mut self) {
        self.saved = Plan::default();
    }

    /// True where the plan differs from what was last saved.
    pub fn is_unsaved(&self) -> bool {
        self.plan != self.saved
    }

    /// Marks the plan as it is now as saved.
    pub fn mark_saved(&mut self) {
        self.settle();
        self.saved = self.plan.clone();
    }
}
