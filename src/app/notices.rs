//! Messages that stay until they are dismissed, in words, to be copied.

use crate::app::theme::{look, strong};
use egui::vec2;

/// Tallest that the bar gets, points; longer messages scroll.
const TALLEST: f32 = 120.0;
/// Room for the buttons beside a message, and least room for the message, points.
const BUTTONS: f32 = 170.0;
const LEAST_WORDS: f32 = 120.0;
/// Messages that are kept; the oldest falls away.
const MOST: usize = 4;

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
    /// What it says.
    pub text: String,
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
        self.list.retain(|n| n.tone != Tone::Done);
        self.add(Tone::Done, text.into());
    }

    fn add(&mut self, tone: Tone, text: String) {
        self.list.retain(|n| n.text != text);
        self.list.push(Notice { tone, text });
        if self.list.len() > MOST {
            self.list.remove(0);
        }
    }

    /// Puts older messages before these.
    pub fn prepend(&mut self, mut older: Notices) {
        older.list.append(&mut self.list);
        self.list = older.list;
    }

    /// The messages that stand.
    pub fn list(&self) -> &[Notice] {
        &self.list
    }

    /// Takes all messages away.
    pub fn clear(&mut self) {
        self.list.clear();
    }

    /// Draws the bar, where there is anything to say.
    pub fn show(&mut self, ui: &mut egui::Ui) {
        if self.list.is_empty() {
            return;
        }
        egui::Panel::top("notices").show(ui, |ui| {
            let mut gone = None;
            egui::ScrollArea::vertical().max_height(TALLEST).show(ui, |ui| {
                for (i, notice) in self.list.iter().enumerate() {
                    ui.horizontal_top(|ui| {
                        let room = (ui.available_width() - BUTTONS).max(LEAST_WORDS);
                        ui.allocate_ui(vec2(room, 0.0), |ui| {
                            ui.set_width(room);
                            ui.horizontal_wrapped(|ui| message(ui, notice));
                        });
                        if notice.tone == Tone::Trouble && ui.button("Copy").clicked() {
                            ui.ctx().copy_text(notice.text.clone());
                        }
                        if ui.button("Dismiss").clicked() {
                            gone = Some(i);
                        }
                    });
                }
            });
            if let Some(i) = gone {
                self.list.remove(i);
            }
        });
    }
}

fn message(ui: &mut egui::Ui, notice: &Notice) {
    let look = look(ui);
    let (mark, colour) = match notice.tone {
        Tone::Trouble => ("⚠", look.stop),
        Tone::Done => ("✔", look.good),
    };
    ui.label(strong(mark).color(colour));
    ui.label(&notice.text);
}
