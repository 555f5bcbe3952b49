//! The top line: job name with saved mark, undo and redo with their names, search, menu.

use crate::app::App;
use crate::app::action::Action;
use crate::app::theme::{look, strong};
use egui::{Align, Layout, Ui};

/// A button for an action: greyed with the reason where it can't be done.
pub fn button(app: &mut App, ui: &mut Ui, action: Action) -> egui::Response {
    let (label, why_not) = (action.label(app), action.why_not(app));
    let response = ui.add_enabled(why_not.is_none(), egui::Button::new(label));
    let keys = action.key_words(ui.ctx());
    let about = if keys.is_empty() { action.tooltip().to_owned() } else { format!("{} ({keys})", action.tooltip()) };
    let response = response.on_hover_text(about).on_disabled_hover_text(why_not.unwrap_or_default());
    if response.clicked() {
        app.perform(action);
    }
    response
}

/// A button that stays down while something is on.
pub fn toggle(app: &mut App, ui: &mut Ui, action: Action, on: bool) {
    let label = action.label(app);
    let keys = action.key_words(ui.ctx());
    let response = ui.add(egui::Button::new(label).selected(on));
    if response.on_hover_text(format!("{} ({keys})", action.tooltip())).clicked() {
        app.perform(action);
    }
}

/// Draws the top line.
pub fn show(app: &mut App, ui: &mut Ui) {
    egui::Panel::top("top line").exact_size(38.0).show(ui, |ui| {
        ui.horizontal_centered(|ui| {
            match app.document() {
                Some(document) => {
                    let (title, unsaved) = (document.title(), document.history.is_unsaved());
                    let (on_disk, bundled) = (document.path.is_some(), document.folder().is_none());
                    ui.label(strong(title).size(14.0));
                    let quiet = look(ui).quiet;
                    let words = match (unsaved, on_disk) {
                        _ if app.practice().is_some() => "practice, not kept",
                        (true, _) if app.cannot_keep() => "● not saved, and no copy can be kept",
                        (true, _) => "● not saved",
                        (false, true) => "✔ saved",
                        (false, false) if bundled => "demo, as bundled",
                        (false, false) => "nothing to save yet",
                    };
                    ui.label(egui::RichText::new(words).color(quiet).size(11.5));
                }
                None => {
                    ui.label(strong("Mouldbench").size(14.0));
                }
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                menu(app, ui);
                let dark = ui.visuals().dark_mode;
                let theme = if dark { "Light" } else { "Dark" };
                if ui.button(theme).on_hover_text(Action::Theme.tooltip()).clicked() {
                    app.perform(Action::Theme);
                }
                button(app, ui, Action::Search);
                // The page of the shop's figures has an undo of its own.
                if app.document().is_some() && !app.is_at_shop_page() {
                    ui.separator();
                    button(app, ui, Action::Propose);
                    ui.separator();
                    // Names can be long: the newest matters most and is cut last.
                    named(app, ui, Action::Redo);
                    named(app, ui, Action::Undo);
                }
            });
        });
    });
}

/// Undo or redo with its name, cut short where the line is narrow.
fn named(app: &mut App, ui: &mut Ui, action: Action) {
    let (label, why_not) = (action.label(app), action.why_not(app));
    let verb = if action == Action::Undo { "Undo" } else { "Redo" };
    let room = ui.available_width();
    let short: String = if room < 420.0 { verb.to_owned() } else { elided(&label, 34) };
    let response = ui.add_enabled(why_not.is_none(), egui::Button::new(short));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, why_not.is_none(), label.clone()));
    let about = format!("{label} ({})", action.key_words(ui.ctx()));
    let response = response.on_hover_text(about).on_disabled_hover_text(why_not.clone().unwrap_or_default());
    if response.clicked() {
        app.perform(action);
    }
}

/// At most `most` letters, the rest as …
fn elided(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut cut: String = text.chars().take(most - 1).collect();
    cut.push('…');
    cut
}

fn menu(app: &mut App, ui: &mut Ui) {
    ui.menu_button("Menu", |ui| {
        ui.set_min_width(230.0);
        let groups: [&[Action]; 4] = [
            &[Action::Open, Action::Save, Action::SaveAs, Action::CloseJob],
            &[
                Action::Propose,
                Action::Issue,
                Action::PrintSheet,
                Action::WriteSheet,
                Action::WriteTemplates,
                Action::WritePieces,
                Action::WriteHalves,
                Action::PractiseHere,
            ],
            &[Action::Fit, Action::Parallel, Action::Section, Action::SeeThrough],
            &[Action::ShopFigures, Action::Theme],
        ];
        for (i, group) in groups.into_iter().enumerate() {
            if i > 0 {
                ui.separator();
            }
            for &action in group {
                item(app, ui, action);
            }
        }
        ui.menu_button("Size of letters", |ui| {
            let sizes: [(&str, &str, fn(&egui::Context)); 3] = [
                ("Larger", "Ctrl++", egui::gui_zoom::zoom_in),
                ("Smaller", "Ctrl+−", egui::gui_zoom::zoom_out),
                ("As usual", "Ctrl+0", |ctx| ctx.set_zoom_factor(1.0)),
            ];
            for (name, keys, set) in sizes {
                if ui.add(egui::Button::new(name).shortcut_text(keys)).clicked() {
                    set(ui.ctx());
                    ui.close();
                }
            }
        });
        ui.menu_button("Look from", |ui| {
            for view in crate::view::camera::StandardView::ALL {
                item(app, ui, Action::LookFrom(view));
            }
        });
    });
}

fn item(app: &mut App, ui: &mut Ui, action: Action) {
    let why_not = action.why_not(app);
    let keys = action.key_words(ui.ctx());
    let entry = egui::Button::new(action.label(app)).shortcut_text(keys);
    let response = ui.add_enabled(why_not.is_none(), entry);
    let response = response.on_hover_text(action.tooltip()).on_disabled_hover_text(why_not.unwrap_or_default());
    if response.clicked() {
        ui.close();
        app.perform(action);
    }
}
