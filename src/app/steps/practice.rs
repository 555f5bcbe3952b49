//! The head of the panel in practice: what to do, the pour, and how it went.

use crate::app::App;
use crate::app::fields::{self, short, volume};
use crate::app::practice::STEPS;
use crate::app::theme::{look, strong};
use crate::study::lessons::practice::exercises::EXERCISES;
use crate::study::lessons::practice::{Marks, Side};
use egui::{RichText, Ui};

/// Draws it, where practice is under way.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(practice) = app.practice() else { return };
    let (exercise, marks, pouring) = (practice.exercise(), practice.marks(), practice.is_pouring());
    let trouble = practice.trouble().map(str::to_owned);
    let frame = egui::Frame::new().fill(look(ui).card).corner_radius(4).inner_margin(8);
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        match exercise {
            Some(e) => ui.label(strong(format!("Practice {} of 3: {}", e.grade, e.title))),
            None => ui.label(strong("Practice on this part")),
        };
        match (&marks, pouring) {
            (Some(marks), _) => judged(app, ui, marks, exercise.map(|e| e.lesson)),
            (None, true) => fields::hint(ui, "The resin rises. Air that cannot leave is caught and drawn"),
            (None, false) => planning(app, ui, trouble.as_deref()),
        }
        if ui.button("End practice").on_hover_text("Back to where you were; nothing of practice is kept").clicked() {
            app.end_practice();
        }
    });
    ui.add_space(6.0);
}

fn planning(app: &mut App, ui: &mut Ui, trouble: Option<&str>) {
    fields::hint(
        ui,
        "Decide which way up it hangs, where the resin comes in and where the air goes out. Nothing is said until you pour",
    );
    if let Some(words) = trouble {
        ui.add(egui::Label::new(RichText::new(words).color(look(ui).stop)).wrap());
    }
    let why_not = why_not(app, trouble);
    let button = egui::Button::new(strong("Pour")).min_size(egui::vec2(120.0, 28.0));
    let about = "Lets the resin rise on your plan and tells how it went";
    let response = ui.add_enabled(why_not.is_none(), button);
    if response.on_hover_text(about).on_disabled_hover_text(why_not.unwrap_or_default()).clicked() {
        if !STEPS.contains(&app.step()) {
            app.go_to(STEPS[0]);
        }
        app.pour_in_practice();
    }
}

fn why_not(app: &App, trouble: Option<&str>) -> Option<&'static str> {
    let no_gate = app.plan().is_none_or(|p| p.feed.gates.is_empty());
    match trouble {
        Some(_) => Some("There is no plan to compare with"),
        None if no_gate => Some("Place a gate first: no resin comes in without one"),
        None => None,
    }
}

fn judged(app: &mut App, ui: &mut Ui, marks: &Marks, lesson: Option<&str>) {
    ui.label(RichText::new(format!("{} of 100 points", marks.score)).heading());
    if marks.lost.is_empty() {
        fields::hint(ui, "Nothing to object to: all air leaves, no vent is wasted, and the resin comes in well");
    }
    for lost in &marks.lost {
        let words = format!("−{}  {}", lost.points, lost.why);
        let response = ui.add(egui::Button::new(words).frame(false).wrap());
        if response.hovered() {
            app.light(lost.place);
        }
        if let Some(place) = lost.place.filter(|_| response.clicked()) {
            app.fly_to(place, None);
        }
    }
    let caught = marks.pockets.iter().filter(|p| p.caught).count();
    fields::fact(ui, "Pockets caught", format!("{caught} of {}", marks.pockets.len()));
    beside(ui, &marks.yours, &marks.computed);
    if marks.computed.points.is_some_and(|p| marks.score > p) {
        fields::hint(ui, "Better than the computed plan");
    }
    let computed = app.practice().is_some_and(|p| p.shows_computed());
    let next = app.practice().and_then(|p| p.next_exercise());
    ui.horizontal_wrapped(|ui| {
        let label = if computed { "Show your plan" } else { "Show the computed plan" };
        if ui.button(label).clicked() {
            app.show_in_practice(!computed);
        }
        if ui.button("Try again").on_hover_text("Your plan as it was, with the answers hidden").clicked() {
            app.try_again();
        }
        if let Some(next) = next {
            let label = format!("Next: {}", EXERCISES[next].title);
            if ui.button(label).on_hover_text(EXERCISES[next].about).clicked() {
                app.practise(next);
            }
        }
    });
    if let Some(lesson) = lesson {
        fields::hint(ui, lesson);
    }
}

/// Both plans in numbers.
fn beside(ui: &mut Ui, yours: &Side, computed: &Side) {
    let way = |s: &Side| s.flow_mm.map_or("–".to_owned(), |mm| format!("{} mm", short(mm)));
    let points = |s: &Side| s.points.map_or("–".to_owned(), |p| p.to_string());
    let rows: [(&str, [String; 2]); 7] = [
        ("Points", [yours, computed].map(points)),
        ("High points", [yours, computed].map(|s| s.high_points.to_string())),
        ("Vents", [yours, computed].map(|s| s.vents.to_string())),
        ("Air left, level", [yours, computed].map(|s| volume(s.stays_mm3))),
        ("Air left, leaning", [yours, computed].map(|s| volume(s.worst_mm3))),
        ("Bubble, leaning", [yours, computed].map(|s| format!("Ø{} mm", short(s.bubble_mm)))),
        ("Longest way", [yours, computed].map(way)),
    ];
    egui::Grid::new("practice").num_columns(3).spacing([10.0, 3.0]).show(ui, |ui| {
        let quiet = look(ui).quiet;
        for head in ["", "Yours", "Computed"] {
            ui.label(RichText::new(head).color(quiet));
        }
        ui.end_row();
        for (name, [a, b]) in rows {
            ui.label(RichText::new(name).color(quiet));
            ui.label(a);
            ui.label(b);
            ui.end_row();
        }
    });
}
