//! Resin, shots, days, and the casts that were made.

use crate::app::App;
use crate::app::fields::{self, mass, short, time, volume};
use crate::plan::CastEntry;
use crate::sheet::setup::stays_in_cast;
use crate::sheet::words::label;
use egui::Ui;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let several = plan.parts.len() > 1;
    let (used, mut good) = (plan.materials.resin.clone(), plan.quantity.good as f64);
    let resins = app.shop().resins.clone();
    let now = used.as_ref().map(|r| r.name.clone()).or(resins.first().map(|r| r.name.clone())).unwrap_or_default();
    let mut all: Vec<&str> = resins.iter().map(|r| r.name.as_str()).collect();
    if !all.contains(&now.as_str()) {
        all.insert(0, &now);
    }
    let chosen = fields::choice(ui, "Resin", now.as_str(), &all, str::to_owned).map(str::to_owned);
    if let Some(chosen) = chosen.and_then(|name| resins.iter().find(|r| r.name == name).cloned()) {
        app.edit(&format!("Take {}", chosen.name), |p| p.materials.resin = Some(chosen));
    }
    let name = if several { "Good parts of each kind" } else { "Good casts wanted" };
    let response = fields::whole(ui, name, &mut good, 1.0..=100_000.0);
    app.after(&response, "Change the quantity", |p| {
        p.quantity.good = good.round().max(1.0) as u32;
        // What was said for all holds for all.
        p.parts.iter_mut().for_each(|part| part.wanted = None);
    });
    if several && let Some(casts) = app.known().report.as_ref().map(|r| r.casts.clone()) {
        for y in &casts.yields {
            fields::fact(ui, &y.kind, format!("{} a shot, {} wanted", y.a_shot, y.wanted));
        }
        fields::fact(ui, "Good shots for that", casts.good.to_string());
    }
    let Some((mut pigment, mut blocks)) =
        app.plan().map(|p| (p.materials.pigment_pct, f64::from(p.diary.blocks_a_batch)))
    else {
        return;
    };
    let response = fields::number(ui, "Pigment", &mut pigment, "%", 0.0..=50.0, 0.05);
    app.after(&response, "Change the pigment", |p| p.materials.pigment_pct = pigment);
    let response = fields::whole(ui, "Blocks from one batch", &mut blocks, 1.0..=50.0);
    app.after(&response, "Change the batch", |p| p.diary.blocks_a_batch = blocks.round().clamp(1.0, 50.0) as u32);
    if let Some(report) = app.known().report.clone() {
        let r = &report.resin;
        fields::heading(ui, "One shot");
        fields::fact(ui, label::resin_in(report.parts.len()), mass(r.part_g));
        fields::fact(ui, "Cavity with feed and vents", volume(r.cavity_mm3));
        fields::fact(ui, "Mix, with pool and losses", mass(r.shot_g));
        fields::fact(ui, "Component A", mass(r.a_g));
        fields::fact(ui, "Component B", format!("{}, within {}", mass(r.b_g), mass(r.tolerance_g)));
        if r.pigment_g > 0.0 {
            fields::fact(ui, "Pigment", mass(r.pigment_g));
        }
        fields::fact(ui, "Of it, lost in pots and cup", mass(r.loss_g));
        if r.blocks_a_batch > 1 {
            fields::fact(ui, &format!("Batch for {} blocks", r.blocks_a_batch), mass(r.batch_g));
        }
        fields::fact(ui, "Cup, at least", format!("{} litres", short(r.cup_litres)));
        fields::fact(ui, &format!("Pot life, for {}", mass(r.pot_life_batch_g)), time(r.pot_life_s));
        fields::fact(ui, "From mixing to the last vent", time(r.work_s));
    } else {
        fields::hint(ui, "Still working on the numbers…");
    }
    fields::hint(
        ui,
        "Polyurethane resins hold isocyanates: extraction, gloves, eye protection, and the safety data sheets first. A \
         person who is sensitised must not work with them",
    );
    super::two_shot::of_casting(app, ui);
    super::size::show(app, ui);
    super::days::show(app, ui);
    log(app, ui);
    super::fault::show(app, ui);
    fields::heading(ui, "Notes on the sheet");
    let mut notes = app.plan().map(|p| p.notes.clone()).unwrap_or_default();
    let edit = egui::TextEdit::multiline(&mut notes).desired_rows(3).desired_width(f32::INFINITY);
    let response = ui.add(edit).accessible_name("Notes");
    app.after(&response, "Change the notes", |p| p.notes = notes);
}

fn log(app: &mut App, ui: &mut Ui) {
    let Some(log) = app.plan().map(|p| p.log.clone()) else { return };
    fields::heading(ui, "Cast log");
    if !log.is_empty() {
        let good = log.iter().filter(|c| c.good).count();
        fields::fact(ui, "Made so far", format!("{good} good of {}", log.len()));
    }
    let casts = app.known().report.as_ref().map(|r| r.casts.clone()).unwrap_or_default();
    if let (Some(expected), Some(doubt)) = (casts.expected_g, casts.doubt_g) {
        let (inserts, hard) = app.plan().map_or((false, false), stays_in_cast);
        let name = format!("A good cast weighs{}", label::with(inserts, hard));
        fields::fact(ui, &name, format!("{}, within {}", mass(expected), mass(doubt)));
    }
    for (i, cast) in log.iter().enumerate() {
        ui.push_id(("cast", i), |ui| {
            let light = casts.light.iter().find(|l| l.shot == cast.shot);
            let light = light.map(|l| format!(", {:.1} g light", l.missing_g)).unwrap_or_default();
            let title = format!("Shot {}{}{light}", cast.shot, if cast.good { "" } else { ", scrap" });
            egui::CollapsingHeader::new(title).id_salt(i).show(ui, |ui| one_cast(app, ui, i, cast));
        });
    }
    if ui.button("Log a cast").clicked() {
        let shot = log.iter().map(|c| c.shot).max().unwrap_or(0) + 1;
        let batch = log.last().map(|c| c.batch.clone()).unwrap_or_default();
        let date = log.last().map(|c| c.date.clone()).unwrap_or_default();
        let entry = CastEntry { shot, date, batch, good: true, ..CastEntry::default() };
        app.edit(&format!("Log shot {shot}"), |p| p.log.push(entry));
    }
}

fn one_cast(app: &mut App, ui: &mut Ui, i: usize, cast: &CastEntry) {
    let what = format!("Change shot {}", cast.shot);
    let mut now = cast.clone();
    let mut responses = vec![
        fields::text(ui, "Date", &mut now.date, "2026-01-31"),
        fields::text(ui, "Batch", &mut now.batch, "Batch"),
        fields::number(ui, "Trimmed mass", &mut now.trimmed_g, "g", 0.0..=1e6, 0.1),
        fields::text(ui, "Remark", &mut now.remark, ""),
    ];
    responses.push(ui.checkbox(&mut now.good, "Good"));
    for response in responses {
        app.after(&response, &what, |p| p.log[i] = now.clone());
    }
    if ui.small_button("Delete this shot").clicked() {
        app.edit(&format!("Delete shot {}", cast.shot), |p| {
            p.log.remove(i);
        });
    }
}
