//! Search: any action by its name.

use crate::app::App;
use crate::app::action::Action;
use crate::app::theme::look;
use egui::{Align2, Area, FontId, Id, Key, Modifiers, Order, Sense, Ui, pos2, vec2};

/// An open search.
#[derive(Clone, Debug, Default)]
pub struct Search {
    typed: String,
    at: usize,
    fresh: bool,
}

impl Search {
    /// Opens an empty search.
    pub fn open() -> Search {
        Search { fresh: true, ..Search::default() }
    }
}

/// Actions whose name holds every typed word, those that begin with it first.
fn matching(app: &App, typed: &str) -> Vec<Action> {
    let typed = typed.to_lowercase();
    let words: Vec<&str> = typed.split_whitespace().collect();
    let mut found: Vec<(bool, bool, Action)> = Action::all()
        .into_iter()
        .filter(|a| *a != Action::Search)
        .filter_map(|action| {
            let label = action.label(app).to_lowercase();
            let all = words.iter().all(|w| label.contains(w) || action.tooltip().to_lowercase().contains(w));
            all.then(|| (!label.starts_with(&typed), action.why_not(app).is_some(), action))
        })
        .collect();
    found.sort_by_key(|f| (f.1, f.0));
    found.into_iter().map(|f| f.2).collect()
}

/// Draws the search, if it is open, and does what is chosen.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(mut search) = app.take_search() else { return };
    let look = look(ui);
    let mut chosen: Option<Action> = None;
    let mut close = false;
    let at = pos2(ui.ctx().content_rect().center().x, 64.0);
    let area = Area::new(Id::unique("search")).order(Order::Foreground).pivot(Align2::CENTER_TOP).fixed_pos(at);
    let response = area.show(ui.ctx(), |ui| {
        egui::Frame::popup(ui.style()).inner_margin(10).show(ui, |ui| {
            ui.set_width(440.0);
            let down = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::ArrowDown));
            let up = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::ArrowUp));
            let enter = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter));
            close |= ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
            let field = egui::TextEdit::singleline(&mut search.typed)
                .desired_width(f32::INFINITY)
                .hint_text("What do you want to do?");
            let field = ui.add(field).accessible_name("Search for an action");
            if std::mem::take(&mut search.fresh) {
                field.request_focus();
            }
            if field.changed() {
                search.at = 0;
            }
            let found = matching(app, &search.typed);
            let last = found.len().saturating_sub(1);
            search.at = if down { search.at + 1 } else { search.at.saturating_sub(usize::from(up)) }.min(last);
            if found.is_empty() {
                ui.label(egui::RichText::new("Nothing is called that").color(look.quiet));
            }
            egui::ScrollArea::vertical().max_height(340.0).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                for (i, &action) in found.iter().enumerate() {
                    let here = i == search.at;
                    let (rect, row) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
                    let (label, why_not) = (action.label(app), action.why_not(app));
                    let possible = why_not.is_none();
                    row.widget_info(|| {
                        egui::WidgetInfo::selected(egui::Role::ListBoxOption, possible, here, format!("Do: {label}"))
                    });
                    if here || row.hovered() {
                        ui.painter().rect_filled(rect, 4.0, if here { look.chosen } else { look.hovered });
                    }
                    let ink = if possible { look.ink } else { look.quiet };
                    let left = pos2(rect.left() + 8.0, rect.center().y);
                    ui.painter().text(left, Align2::LEFT_CENTER, &label, FontId::proportional(13.0), ink);
                    let keys = action.key_words(ui.ctx());
                    let right = pos2(rect.right() - 8.0, rect.center().y);
                    ui.painter().text(right, Align2::RIGHT_CENTER, keys, FontId::proportional(11.5), look.quiet);
                    if here && (down || up) {
                        row.scroll_to_me(None);
                    }
                    let row = row.on_hover_text(why_not.clone().unwrap_or_else(|| action.tooltip().to_owned()));
                    if possible && (row.clicked() || (here && enter)) {
                        chosen = Some(action);
                    }
                }
            });
        });
    });
    let outside = ui.input(|i| i.pointer.any_pressed())
        && ui.input(|i| i.pointer.interact_pos()).is_some_and(|p| !response.response.rect.contains(p));
    match chosen {
        Some(action) => app.perform(action),
        None if close || outside => {}
        None => app.put_search(search),
    }
}
