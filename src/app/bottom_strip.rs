//! The strip at the bottom: resin level with play, running work, cursor, units.

use crate::app::App;
use crate::app::fields::short;
use crate::app::theme::look;
use crate::study::findings::Step;
use egui::{Align, Layout, Ui};

/// How long the resin takes from the lowest to the highest point when played, seconds.
const PLAY_S: f64 = 6.0;

/// The resin's level.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Level {
    /// Share of the way up; none where it is not shown.
    pub share: Option<f64>,
    /// True while it rises by itself.
    pub playing: bool,
}

impl Level {
    /// True where a step shows it.
    pub fn belongs_to(step: Step) -> bool {
        matches!(step, Step::Hang | Step::Feed | Step::Vents)
    }
}

/// Draws the strip.
pub fn show(app: &mut App, ui: &mut Ui) {
    egui::Panel::bottom("bottom strip").exact_size(32.0).show(ui, |ui| {
        ui.horizontal_centered(|ui| {
            if Level::belongs_to(app.step()) {
                resin(app, ui);
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let quiet = look(ui).quiet;
                ui.label(egui::RichText::new("mm").color(quiet)).on_hover_text("All lengths are in millimetres");
                if let Some(p) = app.cursor_from_walls() {
                    ui.separator();
                    let words = format!("Left {:.1}  Front {:.1}  Floor {:.1}", p.x, p.y, p.z);
                    ui.label(egui::RichText::new(words).color(quiet));
                }
                if let Some((what, done)) = app.doing() {
                    ui.separator();
                    if ui.small_button("Stop").on_hover_text("Stops the work under way").clicked() {
                        app.stop_work();
                    }
                    let bar = egui::ProgressBar::new(done).desired_width(90.0).desired_height(8.0);
                    ui.add(bar).on_hover_text(format!("{:.0} %", done * 100.0));
                    ui.label(egui::RichText::new(format!("{what}…")).color(quiet));
                }
            });
        });
    });
}

fn resin(app: &mut App, ui: &mut Ui) {
    let Some(range) = app.level_range() else { return };
    let mut level = app.level();
    let play = if level.playing { "Pause" } else { "Play" };
    if ui.button(play).on_hover_text("Lets the resin rise from the lowest point to the highest").clicked() {
        level.playing = !level.playing;
        if level.playing && level.share.is_none_or(|s| s >= 1.0) {
            level.share = Some(0.0);
        }
    }
    let label = ui.label("Resin level");
    let height = range[1] - range[0];
    let mut mm = level.share.unwrap_or(0.0) * height;
    ui.spacing_mut().slider_width = 180.0;
    let slider = egui::Slider::new(&mut mm, 0.0..=height.max(1e-3)).custom_formatter(|v, _| format!("{v:.1} mm"));
    let response = ui.add(slider).labelled_by(label.id);
    // Taking a number in is no change; a hand on it is.
    if response.changed() && (response.dragged() || response.has_focus() || response.lost_focus()) {
        level.share = Some(mm / height.max(1e-3));
        level.playing = false;
    }
    if level.share.is_some() && ui.small_button("Empty").on_hover_text("Takes the resin away").clicked() {
        level = Level::default();
    }
    if level.playing {
        let step = ui.input(|i| i.stable_dt).min(0.1) as f64 / PLAY_S;
        let share = level.share.unwrap_or(0.0) + step;
        level.share = Some(share.min(1.0));
        level.playing = share < 1.0;
        ui.ctx().request_repaint();
    }
    if level.share.is_some()
        && let Some(words) = state_at(app, range[0] + level.share.unwrap_or(0.0) * height)
    {
        let quiet = look(ui).quiet;
        ui.label(egui::RichText::new(words).color(quiet));
    }
    app.set_level(level);
}

/// How much air is open and how much is caught at a level, in words.
fn state_at(app: &App, level: f64) -> Option<String> {
    let air = app.known().facts.as_ref()?.air.clone()?;
    let caught: f64 = air.trapped.pieces.iter().filter(|p| p.level <= level).map(|p| p.volume_mm3).sum();
    Some(if caught > 0.0 {
        format!("{} of air caught", crate::app::fields::volume(caught))
    } else {
        format!("No air caught below {} mm", short(level - app.level_range()?[0]))
    })
}
