//! The parts of the block: copies, other parts, where each stands, and how many are wanted.

use crate::app::App;
use crate::app::fields::{self, short};
use crate::app::propose::Wanted;
use egui::Ui;
use glam::DVec3;

/// Parts of the kind that part `first` begins: how many a shot gives, and each of them.
pub fn of_kind(app: &mut App, ui: &mut Ui, first: usize) {
    let Some(kind) = app.plan().and_then(|p| p.kinds().into_iter().find(|k| k.parts[0] == first)) else { return };
    let several = app.plan().is_some_and(|p| p.parts.len() > 1);
    if several {
        let mut wanted = f64::from(kind.wanted);
        let response = fields::whole(ui, "Good ones wanted", &mut wanted, 1.0..=100_000.0);
        app.after(&response, &format!("Change how many {} are wanted", kind.name), |p| {
            p.change_kind(first, |q| q.wanted = Some(wanted.round().max(1.0) as u32));
        });
        fields::fact(ui, "A shot gives", kind.a_shot().to_string());
        for &i in &kind.parts {
            one(app, ui, i);
        }
    }
    let hover = "One more of it in the same block, with its gate, vents, inserts and marks";
    if ui.add_enabled(!app.is_proposing(), egui::Button::new("Add a copy")).on_hover_text(hover).clicked() {
        app.add_copy(first);
    }
}

fn one(app: &mut App, ui: &mut Ui, i: usize) {
    let Some(title) = app.plan().map(|p| p.part_title(i)) else { return };
    let place = app.known().report.as_ref().and_then(|r| r.parts.get(i).cloned());
    let next = place.as_ref().and_then(|p| p.to_next_mm).map(|mm| format!("{} mm to the next", short(mm)));
    let head = next.map_or_else(|| title.clone(), |n| format!("{title}: {n}"));
    egui::CollapsingHeader::new(head).id_salt(("part of the set", i)).show(ui, |ui| {
        if i > 0
            && let Some(offset) = app.part_offset(i)
        {
            let mut typed = offset;
            for (name, axis) in [("Along the box", 0), ("Across the box", 1), ("Upwards", 2)] {
                let response = fields::length(ui, name, &mut typed[axis], -5000.0..=5000.0);
                let mut shift = DVec3::ZERO;
                shift[axis] = typed[axis] - offset[axis];
                shifted(app, &response, &format!("Move {title}"), i, shift, 0.0);
            }
            let first = app.plan().map(|p| p.part_title(0)).unwrap_or_default();
            fields::hint(ui, &format!("Middle of the part, from the middle of {first}"));
        }
        if let Some(turned) = app.part_turn_deg(i) {
            let mut typed = turned;
            let response = fields::number(ui, "Turned about up", &mut typed, "°", -360.0..=360.0, 0.5);
            shifted(app, &response, &format!("Turn {title}"), i, DVec3::ZERO, typed - turned);
        }
        ui.horizontal(|ui| {
            if let Some(bounds) = app.known().setting().and_then(|s| s.placed.bounds.get(i).copied())
                && ui.button("Show").clicked()
            {
                app.fly_to(bounds.centre(), None);
            }
            let hover = "With all that lies on it. Can be undone";
            if ui.button(format!("Take {title} out")).on_hover_text(hover).clicked() {
                app.take_part_out(i);
            }
        });
    });
}

fn shifted(app: &mut App, response: &egui::Response, name: &str, i: usize, shift: DVec3, turn_deg: f64) {
    let moved = if response.changed() { app.part_moved(i, shift, turn_deg) } else { None };
    app.after(response, name, |p| {
        if let Some(moved) = moved {
            *p = moved;
        }
    });
}

/// What holds for the whole set: another part, and its rows.
pub fn whole(app: &mut App, ui: &mut Ui) {
    fields::heading(ui, "In the same block");
    let free = !app.is_proposing();
    if ui
        .add_enabled(free, egui::Button::new("Add another part…"))
        .on_hover_text("Another mesh that is cast in the same shot")
        .clicked()
    {
        app.ask_for_part();
    }
    if app.plan().is_none_or(|p| p.parts.len() < 2) {
        return;
    }
    let least = short(app.shop().limits.least_rubber_mm);
    let hover = format!("In one cut, {least} mm of rubber between neighbours, room for the runner in the middle");
    if ui.add_enabled(free, egui::Button::new("Lay the set out anew")).on_hover_text(hover).clicked() {
        app.propose(Wanted::LayOut);
    }
    let Some(report) = app.known().report.clone() else { return };
    fields::fact(ui, "Good shots for the quantity", report.casts.good.to_string());
}
