//! One frame of the window: what other threads did is taken in, everything is drawn, what changed is asked about.

use super::action::Action;
use super::asking::{Asking, Then};
use super::canvas::Situation;
use super::canvas::tool::Tool;
use super::document::Document;
use super::known::Known;
use super::opening::ReadMesh;
use super::{
    App, action, asking, bottom_strip, canvas, in_turn, job_card, missing, search, sheet_pages, shop_page, steps,
    theme, top_line, welcome,
};
use crate::study::findings::Step;
use crate::study::job::setting::Setting;
use std::sync::Arc;

/// What waits until the field that has the keys has been left, so that what stands in it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AfterField {
    /// To save.
    Do(Action),
    /// To close the window.
    Close,
}

impl App {
    /// Draws one frame.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let ctx = ui.ctx().clone();
        self.waker.bind(&ctx);
        if !self.dressed {
            theme::install(&ctx);
            ctx.set_theme(if self.dark { egui::Theme::Dark } else { egui::Theme::Light });
            self.dressed = true;
            // New letters are there from the next frame on.
            ctx.request_repaint();
            return;
        }
        self.now = ui.input(|i| i.time);
        self.lit = None;
        self.take_in();
        self.keep_up_with_line(&ctx);
        self.leave_the_field(&ctx);
        let dropped = ui.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()));
        if let Some(path) = dropped {
            self.open_or_ask(path);
        }
        if self.asking.is_none()
            && self.search.is_none()
            && !self.shop_page_open
            && let Some(action) = action::pressed(&ctx, &mut self.v_pressed)
            && action.why_not(self).is_none()
        {
            self.perform(action);
        }
        if self.asking.is_none()
            && self.search.is_none()
            && !in_turn::escape_is_of_a_field(&ctx)
            && ui.input(|i| i.key_pressed(egui::Key::Escape))
        {
            self.tool = Tool::Look;
            self.chosen = None;
        }
        top_line::show(self, ui);
        if self.shop_page_open {
            shop_page::show(self, ui);
        } else if self.document.is_none() {
            welcome::show(self, ui);
        } else {
            bottom_strip::show(self, ui);
            job_card::show(self, ui);
            steps::show(self, ui);
            self.middle(ui);
        }
        let over =
            if self.document.is_some() && !self.shop_page_open { self.view_rect } else { ui.ctx().content_rect() };
        self.notices.show(ui, over, self.document.as_ref().map(Document::version));
        let waker = self.waker.clone();
        asking::show(self, ui, &waker);
        search::show(self, ui);
        self.let_go_of_strokes(ui);
        self.after_the_field(&ctx);
        self.keep_up_with_practice();
        self.look_into();
        self.open_block();
        self.keep(&ctx);
        self.name_window(&ctx);
    }

    fn middle(&mut self, ui: &mut egui::Ui) {
        egui::CentralPanel::default().frame(egui::Frame::NONE).show(ui, |ui| {
            self.view_rect = ui.max_rect();
            if self.step == Step::Sheet
                && let Some(pages) = self.sheet.pages()
            {
                sheet_pages::show(ui, pages);
                return;
            }
            if self.part_is_missing() {
                missing::show(self, ui);
                return;
            }
            canvas::bar::show(self, ui);
            let Some(document) = &self.document else { return };
            let (known, plan) = (self.known.clone(), document.shared());
            let situation = Situation {
                plan: &plan,
                known: &known,
                behind: known.version != document.version(),
                step: self.step,
                tool: self.tool,
                radius_mm: self.tool_radius_mm(),
                chosen: self.chosen,
                lit: self.lit,
                level: self.level_in_work(),
                fill: self.fill_times.clone().map(|t| {
                    let until = t.longest_s * self.fill_share as f32;
                    (t, until)
                }),
                opened: self.opened_block(),
                live: self.live_line(),
                dark: ui.visuals().dark_mode,
            };
            let gestures = self.canvas.show(ui, &situation);
            for gesture in gestures {
                self.gesture(gesture);
            }
            canvas::absent::show(self, ui);
        });
    }

    /// Takes in what other threads have done.
    fn take_in(&mut self) {
        let version = self.document.as_ref().map_or(0, Document::version);
        if let Some(mut known) = self.worker.collect()
            && self.document.is_some()
        {
            // The last picture stays until there is a new one, also where a fact could not be had.
            if known.facts.is_none() && known.version == version && known.trouble.is_none() {
                known.facts = self.known.facts.clone();
            }
            known.keep_parting_of(&self.known);
            // What was added to the set shall be seen.
            let parts = |k: &Known| k.facts.as_ref().map_or(0, |f| f.setting.placed.meshes.len());
            let before = parts(&self.known);
            let grew = before > 0 && parts(&known) > before;
            // Hung or led another way, cup and block may stand where nobody looks.
            let stands = |k: &Known| {
                let has_cup = |s: &Setting| !s.channels.gates.is_empty();
                k.setting().map(|s| (s.block.size_mm, s.frames.rubber_up(), s.frames.cast_up(), has_cup(s)))
            };
            let moved = stands(&self.known).is_some() && stands(&known) != stands(&self.known);
            self.known = self.seen(Arc::new(known));
            if grew || (moved && self.canvas.loses_sight(&self.known, self.step)) {
                self.canvas.fit(&self.known, self.step, self.now);
            }
            self.drop_stale_fill();
            self.note_other_digest();
            if self.part_is_missing() {
                self.note_missing();
            }
        }
        if let Some(opening) = &self.opening
            && let Some(outcome) = opening.collect()
        {
            let (path, beside) = (opening.path.clone(), opening.beside);
            self.opening = None;
            match outcome {
                Ok(document) => self.read_mesh = Some(ReadMesh { document, path, beside }),
                Err(words) => self.notices.trouble(words),
            }
        }
        self.take_in_mesh();
        if let Some(proposed) = self.proposer.collect() {
            self.take_in_proposal(proposed);
        }
        self.take_in_fill();
        self.take_in_ways_up();
        self.keep_up_with_hang();
        if let Some(laid) = self.runners.collect() {
            self.take_in_runner(laid);
        }
        if self.document.is_some() && self.step == Step::Sheet {
            let known = self.known.clone();
            if let Some(words) = self.sheet.keep_up(&known, self.paper) {
                self.notices.trouble(words);
            }
        }
        self.take_in_solids();
        self.take_in_shop_file();
        match self.sheet.written() {
            Some(Ok(words)) => self.notices.done(words),
            Some(Err(words)) => self.notices.trouble_after_all(words),
            None => {}
        }
        if let Some(issued) = self.sheet.issued() {
            self.take_in_issue(issued);
        }
    }

    /// Goes over to the job about a mesh that was read. What was changed meanwhile was not asked about yet.
    fn take_in_mesh(&mut self) {
        let Some(read) = self.read_mesh.as_ref().filter(|_| self.asking.is_none()) else { return };
        let beside = read.beside;
        // The job that was laid aside is the one that may be unsaved.
        let aside = self.practice.is_some();
        self.end_practice();
        if self.document.as_ref().is_some_and(|d| d.history.is_unsaved() && (aside || d.version() != beside)) {
            self.asking = Some(Asking::Unsaved(Then::TakeUpRead));
        } else {
            self.go_on(Then::TakeUpRead);
        }
    }

    /// Asks for facts of the plan as it is now.
    fn look_into(&mut self) {
        let Some(document) = &self.document else { return };
        if self.asked != document.version() {
            self.asked = document.version();
            if self.filler.cancel_others(document.version()) {
                self.drop_half_a_fill();
            }
            let Some(document) = &self.document else { return };
            self.worker.ask(document.version(), document.shared(), document.folder());
        }
    }

    /// A typed or dragged value is one edit until the pointer is up and no field has the keys.
    fn let_go_of_strokes(&mut self, ui: &egui::Ui) {
        let held = ui.input(|i| i.pointer.any_down()) || ui.memory(|m| m.focused().is_some());
        if held {
            return;
        }
        if let Some(document) = &mut self.document {
            document.settle();
        }
        if let Some(number) = self.moved_gate.take() {
            self.follow_with_runner(number);
        }
    }

    fn name_window(&mut self, ctx: &egui::Context) {
        let title = match &self.document {
            Some(d) if self.practice.is_some() => format!("Practice: {} – Mouldbench", d.title()),
            Some(d) => {
                let mark = if d.history.is_unsaved() { "● " } else { "" };
                format!("{mark}{} – Mouldbench", d.title())
            }
            None => "Mouldbench".to_owned(),
        };
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Takes the keys from the field that has them where the plan is to be saved or the window to be closed.
    fn leave_the_field(&mut self, ctx: &egui::Context) {
        if ctx.input(|i| i.viewport().close_requested()) {
            self.after_field = Some(AfterField::Close);
        } else if self.asking.is_none()
            && self.search.is_none()
            && let Some(action) = action::pressed_anywhere(ctx)
        {
            self.after_field = Some(AfterField::Do(action));
        }
        if self.after_field.is_some() {
            ctx.memory_mut(|m| m.focused().map(|field| m.surrender_focus(field)));
        }
    }

    /// Does what waited for the field to be left: by now what stood in it is in the plan or on the shop's page.
    fn after_the_field(&mut self, ctx: &egui::Context) {
        match self.after_field.take() {
            Some(AfterField::Close) => self.closing(ctx),
            Some(AfterField::Do(Action::Save)) if self.shop_page_open => self.write_shop_page(),
            Some(AfterField::Do(_)) if self.shop_page_open => {}
            Some(AfterField::Do(action)) if action.why_not(self).is_none() => self.perform(action),
            _ => {}
        }
    }

    /// Holds the window open while unsaved work is asked about.
    fn closing(&mut self, ctx: &egui::Context) {
        if self.may_close {
            return;
        }
        // The job that was laid aside is the one that may be unsaved.
        self.end_practice();
        let question = if self.document.as_ref().is_some_and(|d| d.history.is_unsaved()) {
            Asking::Unsaved(Then::Quit)
        } else if self.shop_page_is_unwritten() {
            Asking::UnwrittenShop(Then::Quit)
        } else {
            return;
        };
        ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        self.asking = Some(question);
        ctx.request_repaint();
    }

    /// Forgets a mesh that was read: what is open stays.
    pub(super) fn forget_read_mesh(&mut self) {
        self.read_mesh = None;
    }

    /// What is still under way, in words; none once everything that is wanted is there. A test waits for that.
    pub fn waiting_for(&self) -> Option<&'static str> {
        let behind = self.document.as_ref().is_some_and(|d| self.known.version != d.version() || !self.known.complete);
        let drawing =
            self.step != Step::Sheet && !self.shop_page_open && self.document.is_some() && self.known.has_part();
        let waits = [
            (self.opening.is_some(), "a mesh to be read"),
            (self.proposer.doing().is_some(), "a proposal"),
            (self.is_filling(), "a fill"),
            (self.is_measuring_ways_up(), "ways up"),
            (self.practice_is_waiting(), "practice"),
            (self.runners.are_under_way(), "a runner"),
            (self.line_is_settling(), "the line that was let go"),
            (self.worker.doing().is_some(), "facts"),
            (behind && self.known.trouble.is_none(), "facts of the plan as it is now"),
            (self.opener.is_under_way(), "the block to be opened"),
            (self.knife.is_under_way(), "the view through the knife"),
            (self.closer.is_under_way() && self.opened_finding.is_some(), "a closer look"),
            (self.sheet.is_busy(), "the sheet"),
            (self.solids.doing().is_some(), "files to be written"),
            (self.shop_writer.is_busy(), "the shop's file to be written"),
            (drawing && self.canvas.is_busy(), "a picture"),
        ];
        waits.into_iter().find(|w| w.0).map(|w| w.1)
    }

    /// What is being computed and the share that is done.
    pub fn doing(&self) -> Option<(&'static str, f32)> {
        let opening = self.opening.as_ref().map(|_| ("Reading the mesh", 0.0));
        let runner = self.runners.are_under_way().then_some(("Laying a runner", 0.0));
        let halves = self.opener.is_under_way().then_some(("Cutting the block open", 0.0));
        opening
            .or(self.proposer.doing())
            .or(self.filler.doing())
            .or(self.hangs.doing())
            .or(runner)
            .or(self.worker.doing())
            .or(halves)
            .or(self.solids.doing().map(|what| (what, 0.0)))
    }

    /// Stops the work under way.
    pub fn stop_work(&mut self) {
        if self.proposer.doing().is_some() {
            self.proposer.cancel();
        } else if self.is_filling() {
            self.stop_the_fill();
        } else if self.is_measuring_ways_up() {
            self.hangs.cancel();
        } else if self.worker.doing().is_none() && self.solids.doing().is_some() {
            self.solids.cancel();
        } else {
            self.worker.cancel();
        }
    }
}
