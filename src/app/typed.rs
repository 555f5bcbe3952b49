//! The field of the whole window: what is typed in it counts once the field is left, by Enter, by Tab, or by a press elsewhere;
//! Escape gives back what stood there.
//!
//! A field is known by its name within its scope, never by how many things stand above it, so that rows which come and go while
//! facts are computed take neither the keys nor the text from it. What cannot be taken is told beside the field, over
//! everything and without shifting anything, until the next press or key.

use crate::app::theme::look;
use egui::accesskit::{self, Action, ActionData};
use egui::text::{CCursor, CCursorRange};
use egui::{Align, Align2, Event, Id, Key, Rect, Response, Sense, Stroke, TextEdit, Ui, Vec2, WidgetInfo, vec2};
use std::ops::RangeInclusive;

/// How a line of text looks.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// Width and height, points.
    pub size: Vec2,
    /// What stands in it while it is empty.
    pub hint: &'a str,
    /// Rows; more than one makes Enter a letter like any other.
    pub rows: usize,
}

impl<'a> Look<'a> {
    /// One row.
    pub fn line(width: f32, hint: &'a str) -> Look<'a> {
        Look { size: vec2(width, 22.0), hint, rows: 1 }
    }
}

/// The name of a field that no row above or below it changes.
pub fn id_of(ui: &Ui, name: &str) -> Id {
    let base = ui.scope_id().with(("typed", name));
    let pass = ui.ctx().cumulative_pass_nr();
    // Two of one name under one roof are told apart by their order.
    let n = ui.data_mut(|d| {
        let before: Option<(u64, u32)> = d.get_temp(base);
        let n = before.filter(|b| b.0 == pass).map_or(0, |b| b.1 + 1);
        d.insert_temp(base, (pass, n));
        n
    });
    if n == 0 { base.with("first") } else { base.with(n) }
}

/// What stands in a field while it is typed in.
#[derive(Clone, Debug, Default)]
struct Typing {
    text: String,
    was: String,
    pass: u64,
}

impl Typing {
    /// What stood in the field a pass ago; none where it was not typed in then, or was not there.
    fn of_last_pass(ui: &Ui, id: Id) -> Option<Typing> {
        let pass = ui.ctx().cumulative_pass_nr();
        ui.data(|d| d.get_temp::<Typing>(id)).filter(|t| t.pass + 1 >= pass)
    }
}

/// A line of text. What was typed comes back once the field is left, where it differs from what stood there.
pub fn line(ui: &mut Ui, id: Id, now: &str, look: Look<'_>) -> (Response, Option<String>) {
    edit(ui, id, now, look, Align::Min)
}

fn edit(ui: &mut Ui, id: Id, now: &str, how: Look<'_>, align: Align) -> (Response, Option<String>) {
    let had = ui.memory_mut(|m| {
        m.interested_in_focus(id, ui.layer_id());
        m.has_focus(id)
    });
    let kept = Typing::of_last_pass(ui, id);
    let gained = had && kept.is_none();
    let mut typing = kept.unwrap_or_else(|| Typing { text: now.to_owned(), was: now.to_owned(), pass: 0 });
    let many = how.rows > 1;
    let field = if many { TextEdit::multiline(&mut typing.text) } else { TextEdit::singleline(&mut typing.text) };
    let field = field.id(id).hint_text(how.hint).desired_rows(how.rows).align(egui::Align2([align, Align::Center]));
    let mut response = ui.add_sized(how.size, field.desired_width(how.size.x));
    // Nothing has changed before it is left.
    response.flags.remove(egui::response::Flags::CHANGED);
    if gained && !many {
        choose_all(ui, id, &typing.text);
    }
    if response.lost_focus() {
        ui.data_mut(|d| d.remove::<Typing>(id));
        let given_up = ui.input(|i| i.key_pressed(Key::Escape));
        let left = (!given_up && typing.text != typing.was).then_some(typing.text);
        return (response, left);
    }
    if response.has_focus() {
        typing.pass = ui.ctx().cumulative_pass_nr();
        ui.data_mut(|d| d.insert_temp(id, typing));
    } else {
        ui.data_mut(|d| d.remove::<Typing>(id));
    }
    (response, None)
}

fn choose_all(ui: &Ui, id: Id, text: &str) {
    let mut state = egui::text_edit::TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), id);
}

/// A number: how it is written, what may be typed, how far a drag changes it.
#[derive(Clone, Debug)]
pub struct Number<'a> {
    /// Its unit; an angle's sign stands beside the figure.
    pub unit: &'a str,
    /// What it may be.
    pub range: RangeInclusive<f64>,
    /// Change for each point that it is dragged by.
    pub speed: f64,
    /// Most decimals that are shown; more that were typed are kept.
    pub decimals: usize,
}

impl Number<'_> {
    /// The figure as it is written.
    pub fn figure(&self, value: f64) -> String {
        let text = format!("{value:.*}", self.decimals);
        let text = if self.unit == "°" || !text.contains('.') {
            text.as_str()
        } else {
            text.trim_end_matches('0').trim_end_matches('.')
        };
        let zero = text.trim_matches(['-', '0', '.']).is_empty();
        if zero { text.replace('-', "") } else { text.replace('-', "−") }
    }

    fn with_unit(&self, value: f64) -> String {
        match self.unit {
            "" => self.figure(value),
            "°" => format!("{}°", self.figure(value)),
            unit => format!("{} {unit}", self.figure(value)),
        }
    }

    /// The number that a person typed.
    ///
    /// # Errors
    /// Why it cannot be taken, in words.
    pub fn read(&self, text: &str) -> Result<f64, String> {
        let bare = text.trim();
        let bare = bare.strip_suffix(self.unit).unwrap_or(bare).trim();
        let plain = bare.replace('−', "-").replace(',', ".");
        let value = plain.parse().ok().filter(|v: &f64| v.is_finite());
        let Some(value) = value else { return Err(format!("“{}” is no number", text.trim())) };
        let value = if self.decimals == 0 { value.round() } else { value };
        if self.range.contains(&value) {
            return Ok(value);
        }
        let (low, high) = (*self.range.start(), *self.range.end());
        // A limit is told so that what is told can be typed.
        let told = |v: f64, up: bool| {
            let tens = 10f64.powi(self.decimals as i32);
            self.with_unit(if up { (v * tens).ceil() } else { (v * tens).floor() } / tens)
        };
        Err(format!("Between {} and {}", told(low, true), told(high, false)))
    }
}

/// A number's field: shown with its unit, dragged, or typed after a click. It has changed where it was dragged, and where it
/// was left with a number that can be taken.
pub fn number(ui: &mut Ui, id: Id, value: &mut f64, size: Vec2, how: &Number<'_>) -> Response {
    let focused = ui.is_enabled()
        && ui.memory_mut(|m| {
            m.interested_in_focus(id, ui.layer_id());
            m.has_focus(id)
        });
    let mut response = if focused || Typing::of_last_pass(ui, id).is_some() {
        stepped_by_arrows(ui, id, how);
        let (mut response, left) = edit(ui, id, &how.figure(*value), Look { size, hint: "", rows: 1 }, Align::Max);
        if let Some(text) = left {
            match how.read(&text) {
                Ok(to) => {
                    *value = to;
                    response.mark_changed();
                }
                Err(why) => tell(ui, id, format!("{why}. {} stays", how.with_unit(*value))),
            }
        }
        response
    } else {
        ui.data_mut(|d| d.remove::<Typing>(id));
        shown(ui, id, value, size, how)
    };
    asked_by_reader(ui, &mut response, value, how);
    told(ui, id, response.rect);
    response
}

/// The figure with its unit while nobody types.
fn shown(ui: &mut Ui, id: Id, value: &mut f64, size: Vec2, how: &Number<'_>) -> Response {
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let mut response =
        ui.interact(rect, id, Sense::click_and_drag()).on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
    if response.clicked() {
        response.request_focus();
    } else if response.dragged() {
        let begun = ui.data_mut(|d| {
            if response.drag_started() {
                d.insert_temp(id, *value);
            }
            d.get_temp(id).unwrap_or(*value)
        });
        // The whole way from where it was pressed, so that no frame's travel counts twice or not at all.
        let way = response.total_drag_delta().unwrap_or_default();
        let slow = if ui.input(|i| i.modifiers.shift) { 0.1 } else { 1.0 };
        let by = f64::from(way.x - way.y) * how.speed * slow;
        let half = 0.5 * how.speed * slow;
        let round = egui::emath::smart_aim::best_in_range_f64(begun + by - half, begun + by + half);
        let round = if how.decimals == 0 { round.round() } else { round };
        let to = if by == 0.0 { begun } else { round.clamp(*how.range.start(), *how.range.end()) };
        if to != *value {
            *value = to;
            response.mark_changed();
        }
    }
    let visuals = ui.style().interact(&response);
    let painter = ui.painter();
    painter.rect(rect, visuals.corner_radius, visuals.weak_bg_fill, visuals.bg_stroke, egui::StrokeKind::Inside);
    let font = egui::TextStyle::Button.resolve(ui.style());
    painter.text(rect.center(), Align2::CENTER_CENTER, how.with_unit(*value), font, visuals.text_color());
    response.widget_info(|| WidgetInfo::drag_value(ui.is_enabled(), *value));
    response
}

/// Arrow keys change what stands in the field, not yet what it is of.
fn stepped_by_arrows(ui: &mut Ui, id: Id, how: &Number<'_>) {
    let steps = ui.input_mut(|i| {
        let mut of = |key| i.count_and_consume_key(egui::Modifiers::NONE, key) as f64;
        of(Key::ArrowUp) - of(Key::ArrowDown)
    });
    let typing: Option<Typing> = ui.data(|d| d.get_temp(id));
    if let (true, Some(mut typing)) = (steps != 0.0, typing)
        && let Ok(value) = how.read(&typing.text)
    {
        let to = (value + steps * how.speed.max(10f64.powi(-(how.decimals as i32))))
            .clamp(*how.range.start(), *how.range.end());
        typing.text = how.figure(to);
        ui.data_mut(|d| d.insert_temp(id, typing));
    }
}

/// What a reader of the screen asks for is whole at once.
fn asked_by_reader(ui: &Ui, response: &mut Response, value: &mut f64, how: &Number<'_>) {
    let (low, high) = (*how.range.start(), *how.range.end());
    let asked = ui.input(|i| {
        let steps = i.num_accesskit_action_requests(response.id, Action::Increment) as f64
            - i.num_accesskit_action_requests(response.id, Action::Decrement) as f64;
        let set = i.accesskit_action_requests(response.id, Action::SetValue).find_map(|r| match r.data {
            Some(ActionData::NumericValue(to)) => Some(to),
            _ => None,
        });
        set.unwrap_or(*value + steps * how.speed)
    });
    if asked != *value && asked.is_finite() {
        *value = asked.clamp(low, high);
        response.mark_changed();
    }
    let written = how.with_unit(*value);
    let typed_in = response.has_focus();
    ui.ctx().accesskit_node_builder(response.id, |node: &mut accesskit::Node| {
        node.set_min_numeric_value(low);
        node.set_max_numeric_value(high);
        node.set_numeric_value_step(how.speed);
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
        if !typed_in {
            node.clear_label();
            node.set_value(written);
        }
    });
}

/// Why what was typed was not taken.
#[derive(Clone, Debug)]
struct Told {
    words: String,
    pass: u64,
}

/// Says beside a field why what was typed was not taken.
pub fn tell(ui: &Ui, id: Id, words: String) {
    let pass = ui.ctx().cumulative_pass_nr();
    ui.data_mut(|d| d.insert_temp(id.with("told"), Told { words, pass }));
}

/// Draws what is told beside a field.
pub fn told(ui: &Ui, id: Id, field: Rect) {
    let key = id.with("told");
    let Some(told) = ui.data(|d| d.get_temp::<Told>(key)) else { return };
    let goes_on = ui.input(|i| {
        let does = |e: &Event| match e {
            Event::PointerButton { pressed, .. } | Event::Key { pressed, .. } => *pressed,
            Event::Text(_) => true,
            _ => false,
        };
        i.events.iter().any(does)
    });
    if goes_on && told.pass != ui.ctx().cumulative_pass_nr() {
        ui.data_mut(|d| d.remove::<Told>(key));
        return;
    }
    let stop = look(ui).stop;
    ui.painter().rect_stroke(field.expand(1.0), 3.0, Stroke::new(1.5, stop), egui::StrokeKind::Outside);
    // Over its own row's name, or where there is no room left of it, under it.
    let area = egui::Area::new(key).order(egui::Order::Tooltip).interactable(false);
    let area = if field.left() > 240.0 {
        area.pivot(Align2::RIGHT_CENTER).fixed_pos(field.left_center() - vec2(8.0, 0.0))
    } else {
        area.pivot(Align2::LEFT_TOP).fixed_pos(field.left_bottom() + vec2(0.0, 4.0))
    };
    area.show(ui.ctx(), |ui| {
        egui::Frame::popup(ui.style()).stroke(Stroke::new(1.0, stop)).show(ui, |ui| {
            ui.set_max_width(280.0);
            ui.add(egui::Label::new(egui::RichText::new(told.words).color(stop)).wrap());
        });
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(low: f64, high: f64) -> Number<'static> {
        Number { unit: "mm", range: low..=high, speed: 0.05, decimals: 3 }
    }

    #[test]
    fn numbers_are_read_as_a_person_types_them_and_refused_with_their_limits() {
        let field = mm(0.5, 300.0);
        for (text, value) in [("29.25", 29.25), (" 29,25 mm", 29.25), ("3e1", 30.0), ("0.5", 0.5)] {
            assert_eq!(field.read(text), Ok(value), "{text}");
        }
        for text in ["", "12x", "inf", "NaN", "1.2.3", "−"] {
            assert_eq!(field.read(text), Err(format!("“{text}” is no number")));
        }
        assert_eq!(field.read("0.4"), Err("Between 0.5 mm and 300 mm".into()));
        assert_eq!(mm(-1.23456, 2.34567).read("5"), Err("Between −1.234 mm and 2.345 mm".into()));
        let whole = Number { unit: "", range: 1.0..=50.0, speed: 0.2, decimals: 0 };
        assert_eq!(whole.read("12.4"), Ok(12.0));
    }

    #[test]
    fn figures_have_no_noughts_that_say_nothing() {
        let field = mm(-500.0, 500.0);
        for (value, figure) in [(2.0, "2"), (29.25, "29.25"), (-0.0001, "0"), (-1.5, "−1.5"), (100.0, "100")] {
            assert_eq!(field.figure(value), figure);
        }
        let degrees = Number { unit: "°", range: 0.0..=180.0, speed: 0.2, decimals: 1 };
        assert_eq!((degrees.figure(90.0), degrees.figure(-0.01)), ("90.0".into(), "0.0".into()));
    }
}
