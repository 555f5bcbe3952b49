//! Where air goes out.

use super::feed::{MADE, made_name};
use super::{placed, tools};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short, volume};
use crate::app::propose::Wanted;
use crate::app::thing::Thing;
use egui::Ui;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    tools(app, ui, &[Tool::Vent]);
    if !app.hides_answers() && ui.button("Propose vents").on_hover_text("One at each high point that matters").clicked()
    {
        app.propose(Wanted::Vents);
    }
    facts(app, ui);
    let Some(plan) = app.plan().cloned() else { return };
    let vents = plan.vents.clone();
    if vents.is_empty() {
        fields::hint(ui, "No vent yet. Take “Place vents” and click a high point of the part");
    }
    let things: Vec<Thing> = vents.iter().map(|v| Thing::Vent(v.number)).collect();
    placed::list(app, ui, &things, |t| {
        let vent = vents.iter().find(|v| Thing::Vent(v.number) == t);
        vent.map(|v| placed::on_part(&plan, v.at, format!("Ø{} mm", short(v.diameter_mm)))).unwrap_or_default()
    });
    if let Some(Thing::Vent(number)) = app.chosen() {
        one(app, ui, number);
    }
    showing(app, ui);
}

/// In which order resin shows at them where the fill was followed, when, and through how long a channel.
fn showing(app: &App, ui: &mut Ui) {
    let Some(report) = app.known().report.clone().filter(|_| !app.hides_answers()) else { return };
    let mut vents: Vec<_> = report.vents.iter().collect();
    if vents.is_empty() {
        return;
    }
    vents.sort_by_key(|v| (v.shows_in_order.unwrap_or(usize::MAX), v.number));
    let last = vents.iter().rfind(|v| v.shows_in_order.is_some()).map(|v| v.number);
    fields::heading(ui, if last.is_some() { "In the order resin shows at them" } else { "What they come to" });
    for vent in &vents {
        let value = match vent.shows_at_s {
            Some(s) => format!("after {}", fields::time(s)),
            None if report.fill.is_some() => "never".to_owned(),
            None => "–".to_owned(),
        };
        fields::fact(ui, &format!("Vent {}", vent.number), value);
        fields::hint(ui, &format!("{} mm long, drinks {}", short(vent.length_mm), volume(vent.volume_mm3)));
    }
    let words = match (vents.len() > 1, last) {
        (true, Some(last)) => format!("Let air in only once vent {last} shows, the last"),
        _ if report.fill.is_some() => return,
        (true, None) => "In which order resin shows is not known: follow the fill (step Feed) for it".to_owned(),
        (false, _) => "Follow the fill (step Feed) for the time".to_owned(),
    };
    fields::hint(ui, &words);
}

fn one(app: &mut App, ui: &mut Ui, number: u32) {
    let Some(vent) = app.plan().and_then(|p| p.vents.iter().find(|v| v.number == number)).cloned() else { return };
    let change = |p: &mut crate::plan::Plan, f: &dyn Fn(&mut crate::plan::Vent)| {
        if let Some(vent) = p.vents.iter_mut().find(|v| v.number == number) {
            f(vent);
        }
    };
    fields::heading(ui, &format!("Vent {number}"));
    let mut name = vent.name.clone();
    let response = fields::text(ui, "Name", &mut name, &format!("Vent {number}"));
    app.after(&response, &format!("Rename vent {number}"), |p| change(p, &|v| v.name = name.clone()));
    let mut diameter = vent.diameter_mm;
    let response = fields::length(ui, "Diameter", &mut diameter, 0.3..=20.0);
    app.after(&response, &format!("Change vent {number}"), |p| change(p, &|v| v.diameter_mm = diameter));
    if let Some(made) = fields::choice(ui, "Made by", vent.made, &MADE, |m| made_name(m).into()) {
        app.edit(&format!("Change how vent {number} is made"), |p| change(p, &|v| v.made = made));
    }
    placed::exact_place(app, ui, Thing::Vent(number));
}

fn facts(app: &mut App, ui: &mut Ui) {
    let Some(air) = app.known().facts.as_ref().and_then(|f| f.air.clone()) else { return };
    fields::heading(ui, "Air that stays");
    fields::fact(ui, "Block level", volume(air.trapped.total_mm3));
    fields::fact(ui, "Block leaning, at worst", volume(air.worst_mm3));
    if let Some(piece) = &air.worst_piece {
        fields::fact(ui, "Largest bubble after let-up", format!("Ø{} mm", short(piece.bubble_mm)));
    }
    let open: Vec<_> = air.high_points.iter().zip(&air.served).filter(|(_, s)| s.by.is_none()).collect();
    if open.is_empty() {
        return;
    }
    fields::heading(ui, "High points without a vent");
    for (n, (point, _)) in open.iter().take(40).enumerate() {
        ui.horizontal(|ui| {
            let words = format!("{}: pocket of {}", n + 1, volume(point.pocket_mm3));
            let response = ui.add(egui::Button::new(words).frame(false));
            if response.hovered() {
                app.light(Some(point.position));
            }
            if response.clicked() {
                app.fly_to(point.position, None);
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let button = ui.small_button("Put a vent");
                if button.clicked()
                    && let Some(spot) = app.spot_near(point.position)
                {
                    app.place_vent(spot);
                }
            });
        });
    }
}
