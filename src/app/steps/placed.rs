//! The list of placed things, and the exact place of the chosen one.

use crate::app::App;
use crate::app::fields;
use crate::app::theme::{look, on_screen};
use crate::app::thing::Thing;
use crate::plan::{Plan, Spot};
use egui::{Sense, Stroke, Ui, vec2};

/// What a list tells of a thing: in a set, the part that it stands on too.
pub fn on_part(plan: &Plan, at: Spot, words: String) -> String {
    if plan.parts.len() < 2 { words } else { format!("{}, {words}", plan.part_title(at.part)) }
}

/// Lists things; a click chooses and flies there.
pub fn list(app: &mut App, ui: &mut Ui, things: &[Thing], about: impl Fn(Thing) -> String) {
    for &thing in things {
        let Some(plan) = app.plan() else { return };
        let (title, chosen) = (thing.title(plan), app.chosen() == Some(thing));
        let about = about(thing);
        let look = look(ui);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 25.0), Sense::click());
        response.widget_info(|| egui::WidgetInfo::selected(egui::Role::ListBoxOption, true, chosen, title.clone()));
        let painter = ui.painter();
        if chosen || response.hovered() || response.has_focus() {
            painter.rect_filled(rect, 4.0, if chosen { look.chosen } else { look.hovered });
        }
        let dot = egui::pos2(rect.left() + 12.0, rect.center().y);
        painter.circle(dot, 5.5, on_screen(thing.colour()), Stroke::new(1.0, look.ink));
        let body = egui::FontId::proportional(13.0);
        let text = painter.layout_no_wrap(title, body, look.ink);
        let name_width = text.size().x;
        painter.galley(egui::pos2(rect.left() + 26.0, rect.center().y - text.size().y / 2.0), text, look.ink);
        let room = rect.width() - 26.0 - name_width - 16.0;
        let mut job = egui::text::LayoutJob::single_section(
            about.clone(),
            egui::TextFormat::simple(egui::FontId::proportional(11.5), look.quiet),
        );
        job.wrap = egui::text::TextWrapping::truncate_at_width(room.max(0.0));
        let galley = painter.layout_job(job);
        let at = egui::pos2(rect.right() - galley.size().x - 6.0, rect.center().y - galley.size().y / 2.0);
        painter.galley(at, galley, look.quiet);
        if response.clicked() {
            app.choose(Some(thing));
            app.fly_to_thing(thing);
        }
    }
}

/// The exact place of the chosen thing, counted from walls and floor as on paper, typed or dragged; and a button to take it out.
pub fn exact_place(app: &mut App, ui: &mut Ui, thing: Thing) {
    let Some(place) = app.exact_place(thing) else { return };
    let Some(counted) = app.plan().and_then(|p| Some(app.known().setting()?.master_size(p))) else { return };
    let mut typed = counted.from_walls(place.in_box);
    for (name, axis) in [("From the left wall", 0), ("From the front wall", 1), ("Above the floor", 2)] {
        let response = fields::length(ui, name, &mut typed[axis], -5000.0..=5000.0);
        let spot = if response.changed() { app.type_place(thing, counted.in_box(typed)) } else { None };
        app.after(&response, &thing.move_name(), |p| {
            if let Some(spot) = spot {
                thing.put(p, spot);
            }
        });
        if spot.is_some() {
            app.was_moved(thing);
        }
    }
    if place.off_mm > 0.0 {
        let warn = look(ui).warn;
        let words = if place.in_box == place.sits_in_box {
            format!("It is {} mm off the part", fields::short(place.off_mm))
        } else {
            let [left, front, floor] = counted.from_walls(place.sits_in_box).to_array().map(fields::short);
            let off = fields::short(place.off_mm);
            format!(
                "That is {off} mm off the part. It sits on the nearest place: left {left}, front {front}, floor {floor}"
            )
        };
        ui.add(egui::Label::new(egui::RichText::new(words).color(warn)).wrap());
    }
    if place.off_mm > 0.0
        && place.in_box == place.sits_in_box
        && ui.button("Onto the surface").on_hover_text("Moves it to the nearest point of the part").clicked()
    {
        app.onto_surface(thing);
    }
    show_and_delete(app, ui, thing);
}

/// Buttons to see a thing and to take it out.
pub fn show_and_delete(app: &mut App, ui: &mut Ui, thing: Thing) {
    ui.horizontal(|ui| {
        if ui.button("Show").clicked() {
            app.fly_to_thing(thing);
        }
        if ui.button("Delete").on_hover_text("Can be undone").clicked() {
            app.delete(thing);
        }
    });
}
