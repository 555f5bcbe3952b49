//! Unsaved work in the window: kept soon after each change, told where it can't be, offered wherever its plan is opened.

use super::App;
use super::document::Document;
use super::kept_work::Recovered;
use super::theme::{look, strong};
use crate::plan::file;
use crate::plan::stamp::Stamp;
use crate::solve::civil_date;
use egui::{RichText, Ui};
use std::path::Path;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// How long a change rests before it is kept, and how long one waits at most while others follow it, seconds: with the time
/// that writing takes a copy is never more than ten seconds behind.
const RESTED_S: f64 = 2.0;
const LONGEST_S: f64 = 8.0;
/// How long after a failure keeping is tried again, seconds.
const AGAIN_S: f64 = 10.0;

/// What was pressed beside a kept job.
enum Pressed {
    TakeUp,
    ThrowAway,
}

impl App {
    /// Unsaved work that no window works on, newest first.
    pub fn kept_work(&self) -> &[Recovered] {
        &self.recovered
    }

    /// Looks for unsaved work anew. What equals the saved plan by now is none: its window ended between saving and letting go.
    pub(super) fn look_for_kept_work(&mut self) {
        self.recovered = self.keeping.without_window();
        let is_saved = |one: &Recovered| {
            let Some(path) = &one.work.path else { return false };
            let there = file::read(path).map(|plan| Document::saved(plan, path.clone(), Stamp::of(path)));
            there.is_ok_and(|d| *d.plan() == *Document::recovered(one.work.clone()).plan())
        };
        for i in (0..self.recovered.len()).rev() {
            if is_saved(&self.recovered[i]) {
                self.throw_away_recovered(i);
            }
        }
    }

    /// True where unsaved work on the file at `path` is kept.
    pub fn has_kept_work_on(&self, path: &Path) -> bool {
        self.recovered.iter().any(|one| one.is_about(path))
    }

    /// Takes unsaved work up again. Its copy stays until the work is saved, or given up.
    pub fn take_up_recovered(&mut self, i: usize) {
        let Some((claim, now)) = self.recovered.get(i).and_then(|one| self.keeping.claim(one)) else {
            self.notices.trouble("That work is open in another window, or was saved or thrown away there");
            self.look_for_kept_work();
            return;
        };
        self.take_up(Document::recovered(now.work));
        self.keeping.own(claim);
    }

    /// Throws unsaved work away.
    pub fn throw_away_recovered(&mut self, i: usize) {
        if i < self.recovered.len() {
            let one = self.recovered.remove(i);
            if let Some((claim, _)) = self.keeping.claim(&one) {
                self.keeping.throw_away(claim);
            }
        }
    }

    /// True where unsaved work could not be kept when that was tried last.
    pub fn cannot_keep(&self) -> bool {
        self.keep_trouble.is_some()
    }

    /// Keeps unsaved work once it has rested a little, and in any case before it is old.
    pub(super) fn keep(&mut self, ctx: &egui::Context) {
        self.take_in_keeping();
        let Some(document) = self.document.as_ref().filter(|_| self.practice.is_none()) else { return };
        let version = document.version();
        if self.changed.0 != version {
            self.changed = (version, self.now);
        }
        if self.kept == version {
            self.unkept_since = None;
            return;
        }
        let since = *self.unkept_since.get_or_insert(self.now);
        let due = match self.keep_again_at {
            Some(at) => at,
            None => (self.changed.1 + RESTED_S).min(since + LONGEST_S),
        };
        if self.now < due {
            ctx.request_repaint_after(Duration::from_secs_f64(due - self.now + 0.01));
            return;
        }
        self.kept = version;
        (self.unkept_since, self.keep_again_at) = (None, None);
        if document.history.is_unsaved() {
            self.keeping.keep_unsaved(document.work());
        } else {
            self.keeping.drop_unsaved();
        }
    }

    /// Tells where unsaved work could not be kept: once, until it can be again.
    fn take_in_keeping(&mut self) {
        match self.keeping.outcome() {
            Some(Err(why)) => {
                let words = format!(
                    "Unsaved work cannot be kept for the case that the program ends ({why}). Save the plan often, and make \
                     room or put right: {}",
                    self.keeping.folder().map(|f| f.display().to_string()).unwrap_or_default()
                );
                if self.keep_trouble.is_none() {
                    self.notices.trouble(words.clone());
                }
                self.keep_trouble.get_or_insert(words);
                // No copy of this version is there: it is tried again.
                self.kept = 0;
                self.keep_again_at = Some(self.now + AGAIN_S);
            }
            Some(Ok(())) => {
                if let Some(words) = self.keep_trouble.take() {
                    self.notices.withdraw(&words);
                    self.notices.done("Unsaved work is kept again");
                }
            }
            None => {}
        }
    }
}

/// How long ago that was, and when, in words. The system's clock may have been put back since.
pub fn when(then: SystemTime, now: SystemTime) -> String {
    let ago = now.duration_since(then).unwrap_or_default().as_secs();
    let several = |n: u64, one: &str| if n == 1 { format!("1 {one} ago") } else { format!("{n} {one}s ago") };
    let ago = match ago {
        0..60 => "just now".to_owned(),
        60..3600 => several(ago / 60, "minute"),
        3600..86_400 => several(ago / 3600, "hour"),
        _ => several(ago / 86_400, "day"),
    };
    let s = then.duration_since(UNIX_EPOCH).unwrap_or_default().as_secs();
    let day = civil_date::write((s / 86_400) as i64);
    format!("{ago}, at {:02}:{:02} UTC on {day}", s / 3600 % 24, s / 60 % 60)
}

/// Draws the kept jobs that `shown` holds of, each with its place and time and what can be done with it.
pub fn show(app: &mut App, ui: &mut Ui, shown: impl Fn(&Recovered) -> bool) {
    let quiet = look(ui).quiet;
    let mut pressed = None;
    for (i, one) in app.recovered.iter().enumerate().filter(|(_, one)| shown(one)) {
        ui.push_id(i, |ui| {
            ui.horizontal(|ui| {
                ui.label(strong(one.title()));
                if ui.button("Take it up again").on_hover_text("Opens it; the copy stays until it is saved").clicked() {
                    pressed = Some((i, Pressed::TakeUp));
                }
                if ui.button("Throw it away").on_hover_text("For good: there is no other copy of it").clicked() {
                    pressed = Some((i, Pressed::ThrowAway));
                }
            });
            let words = format!("{}; last changed {}", one.place(), when(one.changed, SystemTime::now()));
            ui.add(egui::Label::new(RichText::new(words).color(quiet)).wrap());
        });
    }
    match pressed {
        Some((i, Pressed::TakeUp)) => app.take_up_recovered(i),
        Some((i, Pressed::ThrowAway)) => app.throw_away_recovered(i),
        None => {}
    }
}
