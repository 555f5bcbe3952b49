//! Casts, blocks and the calendar.

use crate::app::App;
use crate::app::fields::{self, short, time};
use crate::plan::Plan;
use crate::solve::civil_date;
use egui::Ui;

/// Days of the week, Monday first.
const WEEK: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some((quantity, diary)) = app.plan().map(|p| (p.quantity, p.diary.clone())) else { return };
    let habits = app.shop().habits;
    fields::heading(ui, "Casts and days");
    let mut rejects = quantity.reject_share.unwrap_or(habits.reject_share) * 100.0;
    let response = fields::number(ui, "Rejects", &mut rejects, "%", 0.0..=90.0, 0.2);
    app.after(&response, "Change the rejects", |p| p.quantity.reject_share = Some(rejects / 100.0));
    let mut set_up = f64::from(quantity.set_up.unwrap_or(habits.set_up_casts));
    let response = fields::whole(ui, "Set-up casts", &mut set_up, 0.0..=100.0);
    app.after(&response, "Change the set-up casts", |p| p.quantity.set_up = Some(set_up.round().max(0.0) as u32));
    let mut masters = f64::from(diary.masters);
    let response = fields::whole(ui, "Masters", &mut masters, 1.0..=50.0);
    app.after(&response, "Change the masters", |p| p.diary.masters = masters.round().clamp(1.0, 50.0) as u32);
    let mut start = diary.start.clone();
    let response = fields::text(ui, "First day", &mut start, "2026-01-31");
    app.after(&response, "Change the first day", |p: &mut Plan| p.diary.start = start);
    if !diary.start.trim().is_empty() && civil_date::read(&diary.start).is_none() {
        fields::hint(ui, "A date is written as 2026-01-31; until then days are only counted");
    }
    ui.horizontal_wrapped(|ui| {
        for (i, day) in WEEK.iter().enumerate() {
            let mut works = diary.works[i];
            let last = works && diary.works.iter().filter(|w| **w).count() == 1;
            let tick = ui.add_enabled(!last, egui::Checkbox::new(&mut works, *day));
            if tick.on_disabled_hover_text("One day of the week must be worked").changed() {
                app.edit("Change the working days", |p| p.diary.works[i] = works);
            }
        }
    });
    let Some(report) = app.known().report.clone() else { return };
    let (c, d) = (&report.casts, &report.days);
    fields::fact(ui, "Casts to make", c.to_make.to_string());
    fields::fact(ui, "Casts from one block", format!("{} to {}", c.tool_life[0], c.tool_life[1]));
    let [few, many] = c.tools;
    fields::fact(ui, "Blocks needed", if few == many { many.to_string() } else { format!("{few} to {many}") });
    fields::fact(ui, "Heat a cold block through", time(d.preheat_s));
    fields::fact(ui, "One cast, back to heat and oven", time(d.cycle_s));
    fields::fact(ui, "Casts a day from one block", d.casts_a_day.to_string());
    fields::fact(ui, "Blocks in the oven at once", d.oven_places.to_string());
    fields::fact(ui, "Oven taken", format!("{} %", short(d.oven_share * 100.0)));
    fields::fact(ui, "Working days", d.days.to_string());
    if let Some(date) = &d.finish_date {
        fields::fact(ui, "Last cast", date.clone());
    }
    if let Some(date) = &d.full_strength_date {
        fields::fact(ui, "Full strength", date.clone());
    }
    let saves = match d.one_more_saves_days {
        0 => String::new(),
        1 => ", one more saves 1 day".into(),
        n => format!(", one more saves {n} days"),
    };
    fields::hint(ui, &format!("Held up by {}{saves}", d.bottleneck));
    egui::CollapsingHeader::new("Calendar").show(ui, |ui| {
        for event in &d.events {
            let day = event.date.clone().unwrap_or_else(|| format!("Day {}", event.day));
            fields::fact(ui, &day, event.what.clone());
        }
    });
}
