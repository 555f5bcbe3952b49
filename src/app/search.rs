//! Search: any action, tool or proposal by its name.

use crate::app::App;
use crate::app::action::Action;
use crate::app::canvas::tool::Tool;
use crate::app::propose::Wanted;
use crate::app::theme::look;
use crate::plan::Half;
use crate::study::findings::Step;
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

/// Something that the search finds.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Entry {
    /// An action of the menus.
    Do(Action),
    /// A tool of a step, taken in hand there.
    Take(Step, Tool),
    /// A proposal of a step.
    Propose(Step, Wanted),
}

/// Tools by the step whose panel has them.
const TOOLS: [(Step, Tool); 12] = [
    (Step::Part, Tool::Shown),
    (Step::Hang, Tool::Turn),
    (Step::Hang, Tool::FaceDown),
    (Step::Hang, Tool::FaceUp),
    (Step::Parting, Tool::Pin),
    (Step::Parting, Tool::Mark(Half::One)),
    (Step::Parting, Tool::Mark(Half::Two)),
    (Step::Parting, Tool::ReliefCut),
    (Step::Parting, Tool::LoosePiece),
    (Step::Feed, Tool::Gate),
    (Step::Vents, Tool::Vent),
    (Step::Inserts, Tool::Insert),
];

/// Proposals of single steps.
const PROPOSALS: [(Step, Wanted); 4] = [
    (Step::Hang, Wanted::Hang),
    (Step::Parting, Wanted::Draw),
    (Step::Feed, Wanted::Feed),
    (Step::Vents, Wanted::Vents),
];

impl Entry {
    fn all() -> Vec<Entry> {
        let tools = TOOLS.into_iter().map(|(step, tool)| Entry::Take(step, tool));
        let proposals = PROPOSALS.into_iter().map(|(step, wanted)| Entry::Propose(step, wanted));
        let actions = Action::all().into_iter().filter(|a| *a != Action::Search).map(Entry::Do);
        tools.chain(proposals).chain(actions).collect()
    }

    fn label(self, app: &App) -> String {
        match self {
            Entry::Do(action) => action.label(app),
            Entry::Take(_, tool) => tool.label().to_owned(),
            Entry::Propose(_, wanted) => wanted.name().to_owned(),
        }
    }

    fn tooltip(self) -> &'static str {
        match self {
            Entry::Do(action) => action.tooltip(),
            Entry::Take(_, tool) => tool.tooltip(),
            Entry::Propose(step, _) => match step {
                Step::Hang => "Of all ways up the one that costs least",
                Step::Parting => "The direction that hides the least from both halves",
                Step::Feed => "The right gate with its runner",
                _ => "One at each high point that matters",
            },
        }
    }

    /// What stands at its right: its keys, or the step that it belongs to.
    fn beside(self, ctx: &egui::Context) -> String {
        match self {
            Entry::Do(action) => action.key_words(ctx),
            Entry::Take(step, _) | Entry::Propose(step, _) => step.name().to_owned(),
        }
    }

    fn why_not(self, app: &App) -> Option<String> {
        let (step, proposes) = match self {
            Entry::Do(action) => return action.why_not(app),
            Entry::Take(step, _) => (step, false),
            Entry::Propose(step, _) => (step, true),
        };
        Action::GoTo(step).why_not(app).or_else(|| {
            if app.is_at_shop_page() {
                Some("Go back to the job first".into())
            } else if !app.known().has_part() {
                Some("The part is not read yet".into())
            } else if proposes && app.practice().is_some() {
                Some("Not in practice; end it first".into())
            } else {
                None
            }
        })
    }

    fn perform(self, app: &mut App) {
        match self {
            Entry::Do(action) => app.perform(action),
            Entry::Take(step, tool) => {
                app.perform(Action::GoTo(step));
                app.take(tool);
            }
            Entry::Propose(step, wanted) => {
                app.perform(Action::GoTo(step));
                app.propose(wanted);
            }
        }
    }
}

/// How well a typed word fits a text; less is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    /// It is a word of the name.
    Word,
    /// A word of the name begins with it.
    Begins,
    /// It stands inside a word of the name.
    Inside,
    /// A word of the description begins with it. Inside a word it says nothing: “invented” has no vent.
    Described,
}

fn fit_of(word: &str, name: &str, description: &str) -> Option<Fit> {
    let words = |text: &str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
    };
    let named = words(name);
    if named.iter().any(|w| w == word) {
        Some(Fit::Word)
    } else if named.iter().any(|w| w.starts_with(word)) {
        Some(Fit::Begins)
    } else if name.to_lowercase().contains(word) {
        Some(Fit::Inside)
    } else {
        words(description).iter().any(|w| w.starts_with(word)).then_some(Fit::Described)
    }
}

/// What fits every typed word, with how well the worst of them does: what can be done first, by their names before all that
/// is only described so.
fn matching(app: &App, typed: &str) -> Vec<(Fit, Entry)> {
    let typed = typed.trim().to_lowercase();
    let words: Vec<&str> = typed.split_whitespace().collect();
    let mut found: Vec<(bool, bool, Fit, bool, Entry)> = Entry::all()
        .into_iter()
        .filter_map(|entry| {
            let (name, description) = (entry.label(app), entry.tooltip());
            let fits: Option<Vec<Fit>> = words.iter().map(|w| fit_of(w, &name, description)).collect();
            let fit = fits?.into_iter().max().unwrap_or(Fit::Word);
            let begins = name.to_lowercase().starts_with(&typed);
            Some((fit == Fit::Described, entry.why_not(app).is_some(), fit, !begins, entry))
        })
        .collect();
    found.sort_by_key(|f| (f.0, f.1, f.2, f.3));
    found.into_iter().map(|f| (f.2, f.4)).collect()
}

/// Draws the search, if it is open, and does what is chosen.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(mut search) = app.take_search() else { return };
    let look = look(ui);
    let mut chosen: Option<Entry> = None;
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
            let asked = !search.typed.trim().is_empty();
            let last = found.len().saturating_sub(1);
            search.at = if down { search.at + 1 } else { search.at.saturating_sub(usize::from(up)) }.min(last);
            if found.is_empty() {
                ui.label(egui::RichText::new("Nothing is called that").color(look.quiet));
            }
            egui::ScrollArea::vertical().max_height(340.0).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                for (i, &(fit, entry)) in found.iter().enumerate() {
                    if fit == Fit::Described && (i == 0 || found[i - 1].0 != Fit::Described) {
                        ui.label(egui::RichText::new("Not called so, but about it").small().color(look.quiet));
                    }
                    let here = i == search.at;
                    let (rect, row) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
                    let (label, why_not) = (entry.label(app), entry.why_not(app));
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
                    let keys = entry.beside(ui.ctx());
                    let right = pos2(rect.right() - 8.0, rect.center().y);
                    ui.painter().text(right, Align2::RIGHT_CENTER, keys, FontId::proportional(11.5), look.quiet);
                    if here && (down || up) {
                        row.scroll_to_me(None);
                    }
                    let row = row.on_hover_text(why_not.clone().unwrap_or_else(|| entry.tooltip().to_owned()));
                    // The key runs what is called so; what is only described so is there to be pointed at.
                    let by_key = here && enter && fit != Fit::Described && (asked || search.at > 0);
                    if possible && (row.clicked() || by_key) {
                        chosen = Some(entry);
                    }
                }
            });
        });
    });
    let outside = ui.input(|i| i.pointer.any_pressed())
        && ui.input(|i| i.pointer.interact_pos()).is_some_and(|p| !response.response.rect.contains(p));
    match chosen {
        Some(entry) => entry.perform(app),
        None if close || outside => {}
        None => app.put_search(search),
    }
}
