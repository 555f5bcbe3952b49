//! Fields of the step panel: a name on the left, a value with its unit on the right, all reachable by key and by name.

use crate::app::theme::look;
use crate::app::typed::{self, Look, Number};
use egui::{Response, Ui, vec2};
use glam::DVec3;
use std::ops::RangeInclusive;

/// Width of the value at the right of a row, points.
const VALUE: f32 = 124.0;

/// A number as a person writes it: at most two decimals, none that say nothing.
pub fn short(value: f64) -> String {
    let digits = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".into() } else { with_minus(text) }
}

/// A number's text with a true minus sign.
fn with_minus(text: &str) -> String {
    text.replace('-', "−")
}

/// A unit of length as a list says it.
pub fn unit_name(unit: crate::plan::Unit) -> String {
    let mut letters = unit.name().chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A volume in words: mm³ below one cm³, else cm³.
pub fn volume(mm3: f64) -> String {
    if mm3.abs() >= 1000.0 { format!("{} cm³", short(mm3 / 1000.0)) } else { format!("{} mm³", short(mm3)) }
}

/// A mass in words: grams below one kilogram, else kilograms.
pub fn mass(grams: f64) -> String {
    if grams.abs() >= 1000.0 { format!("{:.2} kg", grams / 1000.0) } else { format!("{} g", short(grams)) }
}

pub use crate::sheet::figures::time;

/// A row with a name and something to set.
pub fn row<R>(ui: &mut Ui, name: &str, value: impl FnOnce(&mut Ui, egui::Id) -> R) -> R {
    ui.horizontal(|ui| {
        let label = ui.label(name);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| value(ui, label.id)).inner
    })
    .inner
}

/// A number with a unit, dragged, or typed: what is typed counts once the field is left.
pub fn number(
    ui: &mut Ui,
    name: &str,
    value: &mut f64,
    unit: &str,
    range: RangeInclusive<f64>,
    speed: f64,
) -> Response {
    // An angle is written with one decimal and its sign beside it, as everywhere.
    let decimals = if unit == "°" { 1 } else { 3 };
    figure(ui, name, value, &Number { unit, range, speed, decimals })
}

/// A whole number without a unit.
pub fn whole(ui: &mut Ui, name: &str, value: &mut f64, range: RangeInclusive<f64>) -> Response {
    figure(ui, name, value, &Number { unit: "", range, speed: 0.2, decimals: 0 })
}

fn figure(ui: &mut Ui, name: &str, value: &mut f64, how: &Number<'_>) -> Response {
    let id = typed::id_of(ui, name);
    row(ui, name, |ui, label| typed::number(ui, id, value, vec2(VALUE, 22.0), how).labelled_by(label))
}

/// A length in millimetres.
pub fn length(ui: &mut Ui, name: &str, value_mm: &mut f64, range: RangeInclusive<f64>) -> Response {
    number(ui, name, value_mm, "mm", range, 0.05)
}

/// A line of text; what is typed counts once the field is left.
pub fn text(ui: &mut Ui, name: &str, value: &mut String, hint: &str) -> Response {
    let id = typed::id_of(ui, name);
    row(ui, name, |ui, label| {
        let (response, left) = typed::line(ui, id, value, Look::line(VALUE, hint));
        taken(response.labelled_by(label), left, value)
    })
}

/// Several lines of text as wide as the panel.
pub fn notes(ui: &mut Ui, name: &str, value: &mut String) -> Response {
    let id = typed::id_of(ui, name);
    let size = vec2(ui.available_width(), 58.0);
    let (response, left) = typed::line(ui, id, value, Look { size, hint: "", rows: 3 });
    taken(response.accessible_name(name), left, value)
}

/// Takes what was typed.
fn taken(mut response: Response, left: Option<String>, value: &mut String) -> Response {
    if let Some(left) = left {
        *value = left;
        response.mark_changed();
    }
    response
}

/// One of a few values; the chosen one comes back where it was changed.
pub fn choice<T: PartialEq + Copy>(
    ui: &mut Ui,
    name: &str,
    value: T,
    all: &[T],
    label: impl Fn(T) -> String,
) -> Option<T> {
    let mut chosen = None;
    row(ui, name, |ui, id| {
        let shown = label(value);
        // No wider than what the name leaves.
        let font = egui::TextStyle::Button.resolve(ui.style());
        let words = ui.painter().layout_no_wrap(shown.clone(), font, look(ui).ink).size().x + 40.0;
        let width = words.min(ui.available_width() - 8.0).max(VALUE - 16.0);
        let combo = egui::ComboBox::from_id_salt(name).width(width).truncate().selected_text(shown);
        let combo = combo.show_ui(ui, |ui| {
            for &one in all {
                if ui.selectable_label(one == value, label(one)).clicked() && one != value {
                    chosen = Some(one);
                }
            }
        });
        combo.response.labelled_by(id);
    });
    chosen
}

/// The six directions along the axes of the parts, as buttons; the one that was pressed comes back with its name.
pub fn directions(ui: &mut Ui, now: DVec3) -> Option<(&'static str, DVec3)> {
    let all = [
        ("+X", DVec3::X),
        ("−X", DVec3::NEG_X),
        ("+Y", DVec3::Y),
        ("−Y", DVec3::NEG_Y),
        ("+Z", DVec3::Z),
        ("−Z", DVec3::NEG_Z),
    ];
    // All of them are drawn, also those after the one that was pressed.
    all.into_iter().fold(None, |pressed, (name, axis)| {
        let here = now.normalize_or_zero().dot(axis) > 1.0 - 1e-9;
        let clicked = ui.add(egui::Button::new(name).selected(here)).clicked();
        if clicked { Some((name, axis)) } else { pressed }
    })
}

/// A fact: a name and what it is.
pub fn fact(ui: &mut Ui, name: &str, value: impl Into<String>) {
    ui.horizontal(|ui| {
        let quiet = look(ui).quiet;
        ui.label(egui::RichText::new(name).color(quiet));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.add(egui::Label::new(value.into()).wrap_mode(egui::TextWrapMode::Truncate));
        });
    });
}

/// A file: its name, and where it lies when pointed at.
pub fn file(ui: &mut Ui, name: &str, path: &str) {
    let file = std::path::Path::new(path).file_name().map_or(path.into(), |f| f.to_string_lossy());
    ui.scope(|ui| fact(ui, name, file)).response.on_hover_text(path);
}

/// A heading inside a step.
pub fn heading(ui: &mut Ui, words: &str) {
    ui.add_space(6.0);
    ui.label(crate::app::theme::strong(words));
}

/// A part of a step under a heading that folds it away; once folded or opened by hand it stays so. `more` says in a few words
/// what it holds while it is folded. `shown` opens it at first; `now` holds it open, as for what is chosen in it.
pub fn fold(ui: &mut Ui, name: &str, more: &str, shown: bool, now: bool, body: impl FnOnce(&mut Ui)) {
    ui.add_space(2.0);
    let title = if more.is_empty() { name.to_owned() } else { format!("{name}: {more}") };
    egui::CollapsingHeader::new(crate::app::theme::strong(title))
        .id_salt(("fold", name))
        .default_open(shown)
        .open(now.then_some(true))
        .show_unindented(ui, body);
}

/// A sentence that says what to do where there is nothing yet.
pub fn hint(ui: &mut Ui, words: &str) {
    let quiet = look(ui).quiet;
    ui.add(egui::Label::new(egui::RichText::new(words).color(quiet)).wrap());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        assert_eq!(short(0.0), "0");
        assert_eq!(short(-0.001), "0");
        assert_eq!(short(2.0), "2");
        assert_eq!(short(2.345), "2.35");
        assert_eq!(short(12.34), "12.3");
        assert_eq!(short(100.4), "100");
        assert_eq!(short(1200.0), "1200");
        assert_eq!(short(-85.582), "−85.6");
        assert_eq!(volume(18.0), "18 mm³");
        assert_eq!(volume(31_200.0), "31.2 cm³");
        assert_eq!(mass(1234.0), "1.23 kg");
    }
}
