//! What the view shows of what it should, and what is done where something hides it: a cut for a place, the other corner for
//! the legend.

use super::{Canvas, Cut, Situation, extent};
use crate::app::known::Known;
use crate::study::findings::Step;
use crate::view::render::Quality;
use egui::{Pos2, Rect};
use glam::{DAffine3, DVec2, DVec3, Vec3};

/// How near to a place the eye must come for it to be seen, and how far the cut that frees it stands off it, as shares of
/// the part's diagonal (set here).
const SEEN_SHARE: f32 = 0.01;
const CUT_OFF_SHARE: f64 = 0.002;

impl Canvas {
    /// True where something that a step shows lies outside the view as it is.
    pub fn loses_sight(&self, known: &Known, step: Step) -> bool {
        let inside = |p: &DVec3| {
            let at = self.camera.project(*p).map(|p| p.pixel / self.camera.size_px);
            at.is_some_and(|at| at.cmpge(DVec2::ZERO).all() && at.cmple(DVec2::ONE).all())
        };
        self.hold.is_none() && !extent::seen_upright(known, step).iter().all(inside)
    }

    /// True where nothing hides a point of `work` from the eye.
    pub fn sees(&self, point: Vec3, within_mm: f64) -> bool {
        let Some(painted) = &self.painted else { return false };
        let Some(at) = painted.picture.camera().project(point.as_dvec3()) else { return false };
        painted.picture.pick(at.pixel).is_some_and(|h| h.point.distance(point.as_dvec3()) <= within_mm)
    }

    /// Sees to it that a place of `work` is seen once the view has come to rest: where the part hides it, it is cut.
    pub fn reveal(&mut self, place: Vec3) {
        self.end_reveal();
        self.reveal = Some(place);
    }

    /// Takes a cut away that was made for a place; one that a hand made stays.
    pub fn end_reveal(&mut self) {
        self.reveal = None;
        if std::mem::take(&mut self.cut_for_place) {
            self.cut = None;
        }
    }

    /// Cuts through the place that shall be seen, where the picture at rest shows that the part hides it.
    pub(super) fn reveal_place(&mut self, ui: &egui::Ui, now: &Situation<'_>, upright_from_work: &DAffine3) {
        // A picture that is done is taken in with the next frame; until then the last one may show anything.
        let drawn = self.painted.as_ref().is_some_and(|p| {
            p.quality != Quality::Draft && *p.picture.camera() == self.camera_in_work(upright_from_work)
        });
        let rests = drawn && self.flight.is_none() && !self.painter.is_busy() && !self.wants_more();
        let Some(place) = self.reveal.filter(|_| rests && self.cut.is_none()) else { return };
        self.reveal = None;
        let bounds = extent::bounds_upright(now.known, now.step);
        if self.sees(place, (bounds.diagonal() * SEEN_SHARE) as f64) {
            return;
        }
        let back = self.camera.backward();
        let axis = (0..3).max_by(|&a, &b| back[a].abs().total_cmp(&back[b].abs())).unwrap_or(1);
        let toward = back[axis].signum() * CUT_OFF_SHARE * bounds.diagonal() as f64;
        let (low, high) = (bounds.min[axis] as f64, bounds.max[axis] as f64);
        let at = upright_from_work.transform_point3(place.as_dvec3())[axis] + toward;
        if high > low && (low..=high).contains(&at) {
            self.cut = Some(Cut { axis, flipped: back[axis] < 0.0, at: (at - low) / (high - low) });
            self.cut_for_place = true;
            ui.ctx().request_repaint();
        }
    }

    /// Puts the legend into the other corner where it covers something and would cover nothing there; not while the view
    /// moves.
    pub(super) fn make_room_beside_legend(&mut self, ui: &egui::Ui, now: &Situation<'_>, taken: Rect) {
        if self.hold.is_some() || self.flight.is_some() {
            return;
        }
        let on_screen = |p: &DVec3| {
            let pixel = self.camera.project(*p)?.pixel;
            Some(self.rect.min + egui::vec2(pixel.x as f32, pixel.y as f32) / self.pixels_per_point)
        };
        let seen: Vec<Pos2> = extent::seen_upright(now.known, now.step).iter().filter_map(on_screen).collect();
        let covers = |room: Rect| seen.iter().any(|p| room.contains(*p));
        let aside = self.rect.left() + self.rect.right() - taken.left() - taken.right();
        if covers(taken) && !covers(taken.translate(egui::vec2(aside, 0.0))) {
            self.legend_at_left = !self.legend_at_left;
            ui.ctx().request_repaint();
        }
    }
}
