//! Messages that stay until they are dismissed, in words, to be copied.

use crate::app::steps::findings;
use crate::app::theme::{look, strong};
use crate::study::findings::finding::Severity;

/// Tallest that a message gets, points; longer ones scroll.
const TALLEST: f32 = 168.0;
/// Widest and narrowest that messages get, how far above the foot of the view they stand, and what is left beside them,
/// frame included, points.
const WIDEST: f32 = 720.0;
const LEAST_WORDS: f32 = 240.0;
const ABOVE_FOOT: f32 = 8.0;
const BESIDE: f32 = 18.0;
/// Messages that are kept; the oldest falls away.
const MOST: usize = 2;

/// How a message is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Something went wrong.
    Trouble,
    /// Something was done.
    Done,
}

/// One message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// How it is meant.
    pub tone: Tone,
    /// What it says, in one line or several.
    pub text: String,
    /// Why, folded away until somebody asks.
    pub reasons: Vec<String>,
    /// A Stop that is left by what was done; it is told first.
    pub stop: Option<String>,
    /// The version of the plan that what was done made; none until it was drawn.
    version: Option<u64>,
}

/// Messages, the newest last.
#[derive(Clone, Debug, Default)]
pub struct Notices {
    list: Vec<Notice>,
}

impl Notices {
    /// Says that something went wrong.
    pub fn trouble(&mut self, text: impl Into<String>) {
        self.add(Tone::Trouble, text.into());
    }

    /// Says that something was done; an older message of that kind goes.
    pub fn done(&mut self, text: impl Into<String>) {
        self.proposed(text, Vec::new(), None);
    }

    /// Says that something was proposed, with its reasons and the Stop that it leaves.
    pub fn proposed(&mut self, text: impl Into<String>, reasons: Vec<String>, stop: Option<String>) {
        self.list.retain(|n| n.tone != Tone::Done);
        self.push(Notice { tone: Tone::Done, text: text.into(), reasons, stop, version: None });
    }

    fn add(&mut self, tone: Tone, text: String) {
        self.push(Notice { tone, text, reasons: Vec::new(), stop: None, version: None });
    }

    fn push(&mut self, notice: Notice) {
        self.list.retain(|n| n.text != notice.text);
        self.list.push(notice);
        if self.list.len() > MOST {
            self.list.remove(0);
        }
    }

    /// Says that what was told as done went wrong after all.
    pub fn trouble_after_all(&mut self, text: impl Into<String>) {
        self.list.retain(|n| n.tone != Tone::Done);
        self.trouble(text);
    }

    /// Takes a message away that holds no longer.
    pub fn withdraw(&mut self, text: &str) {
        self.list.retain(|n| n.text != text);
    }

    /// The messages that stand.
    pub fn list(&self) -> &[Notice] {
        &self.list
    }

    /// Takes all messages away.
    pub fn clear(&mut self) {
        self.list.clear();
    }

    /// Lets go of what was done to an older version of the plan: it was undone, or is past.
    fn keep_up_with(&mut self, version: Option<u64>) {
        for notice in self.list.iter_mut().filter(|n| n.tone == Tone::Done && n.version.is_none()) {
            notice.version = version;
        }
        self.list.retain(|n| n.tone != Tone::Done || n.version == version);
    }

    /// Draws them over the foot of `over`, so that nothing moves under the pointer and no panel is covered; `version` is that
    /// of the plan.
    pub fn show(&mut self, ui: &mut egui::Ui, over: egui::Rect, version: Option<u64>) {
        self.keep_up_with(version);
        if self.list.is_empty() {
            return;
        }
        let width = (over.width() - 2.0 * BESIDE).clamp(LEAST_WORDS, WIDEST);
        let mut gone = None;
        let area = egui::Area::new(egui::Id::unique("notices")).order(egui::Order::Foreground);
        let foot = egui::pos2(over.center().x, over.bottom() - ABOVE_FOOT);
        area.pivot(egui::Align2::CENTER_BOTTOM).fixed_pos(foot).show(ui.ctx(), |ui| {
            egui::Frame::popup(ui.style()).show(ui, |ui| {
                ui.set_width(width);
                for (i, notice) in self.list.iter().enumerate() {
                    if i > 0 {
                        ui.separator();
                    }
                    ui.push_id(i, |ui| {
                        if one(ui, notice) {
                            gone = Some(i);
                        }
                    });
                }
            });
        });
        if let Some(i) = gone {
            self.list.remove(i);
        }
    }
}

/// One message with its buttons at the right; true where it was dismissed.
fn one(ui: &mut egui::Ui, notice: &Notice) -> bool {
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
        let dismissed = ui.button("Dismiss").clicked();
        if notice.tone == Tone::Trouble && ui.button("Copy").clicked() {
            ui.ctx().copy_text(notice.text.clone());
        }
        ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
            egui::ScrollArea::vertical()
                .max_height(TALLEST)
                .auto_shrink([false, true])
                .show(ui, |ui| message(ui, notice));
        });
        dismissed
    })
    .inner
}

fn message(ui: &mut egui::Ui, notice: &Notice) {
    let look = look(ui);
    if let Some(stop) = &notice.stop {
        ui.horizontal_top(|ui| {
            findings::sign(ui, Severity::Stop);
            ui.add(egui::Label::new(stop).wrap());
        });
    }
    let (mark, colour) = match notice.tone {
        Tone::Trouble => ("⚠", look.stop),
        Tone::Done => ("✔", look.good),
    };
    for (i, text) in notice.text.lines().enumerate() {
        let mark = if i == 0 { strong(mark).color(colour) } else { strong("·  ").color(look.quiet) };
        line(ui, mark, text);
    }
    if notice.reasons.is_empty() {
        return;
    }
    let head = match notice.reasons.len() {
        1 => "Why: 1 reason".to_owned(),
        n => format!("Why: {n} reasons"),
    };
    egui::CollapsingHeader::new(head).id_salt("reasons").default_open(false).show(ui, |ui| {
        for reason in &notice.reasons {
            line(ui, strong("·  ").color(look.quiet), reason);
        }
    });
}

fn line(ui: &mut egui::Ui, mark: egui::RichText, words: &str) {
    ui.horizontal_top(|ui| {
        ui.label(mark);
        ui.add(egui::Label::new(words).wrap());
    });
}
