//! The part: its mesh, its unit, whether it is the nominal part or a scaled master, and what shows on the product.

use super::{placed, tools};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short, volume};
use crate::app::thing::Thing;
use crate::plan::parts::Finish;
use crate::plan::{Scale, Unit};
use egui::Ui;

/// A finish in words.
pub fn finish_name(finish: Finish) -> &'static str {
    match finish {
        Finish::Gloss => "Gloss",
        Finish::Matt => "Matt",
        Finish::Textured => "Textured",
        Finish::AsPrinted => "As printed",
    }
}

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let plan_name = plan.name.clone();
    super::bodies::question(app, ui);
    let mut name = plan_name;
    let response = fields::text(ui, "Job name", &mut name, "Unnamed job");
    app.after(&response, "Rename the job", |p| p.name = name);
    let firsts: Vec<usize> = app.plan().map_or(Vec::new(), |p| p.kinds().iter().map(|k| k.parts[0]).collect());
    for i in firsts {
        ui.push_id(i, |ui| one_part(app, ui, i));
    }
    if app.plan().is_some_and(|p| !p.parts.is_empty()) && !app.hides_answers() {
        super::set::whole(app, ui);
    }
    if !app.hides_answers() {
        super::two_shot::of_part(app, ui);
    }
    shown(app, ui);
}

fn one_part(app: &mut App, ui: &mut Ui, i: usize) {
    let Some(part) = app.plan().and_then(|p| p.parts.get(i)).cloned() else { return };
    fields::heading(ui, if part.name.is_empty() { "Part" } else { &part.name });
    let mut name = part.name.clone();
    let response = fields::text(ui, "Part name", &mut name, "Part");
    app.after(&response, "Rename the part", |p| p.change_kind(i, |q| q.name = name.clone()));
    fields::file(ui, "Mesh file", &part.mesh);
    let unit = fields::choice(ui, "File is in", part.unit, &Unit::ALL, fields::unit_name);
    if let Some(unit) = unit {
        app.edit("Change the unit", |p| p.change_kind(i, |q| q.unit = unit));
    }
    let is_master = matches!(part.scale, Scale::Master { .. });
    let kind_label = |m: bool| if m { "The scaled master".into() } else { "The nominal part".into() };
    if let Some(master) = fields::choice(ui, "The mesh is", is_master, &[false, true], kind_label) {
        let factor = factor_of(part.scale);
        app.edit("Change what the mesh is", |p| {
            // One block has one master scale.
            for part in &mut p.parts {
                part.scale = if master { Scale::Master { factor } } else { Scale::Nominal { master_factor: factor } };
            }
        });
    }
    let mut oversize_pct = (factor_of(part.scale) - 1.0) * 100.0;
    let words = if is_master { "Already larger by" } else { "Master larger by" };
    let response = fields::number(ui, words, &mut oversize_pct, "%", -5.0..=10.0, 0.01);
    app.after(&response, "Change the master's size", |p| {
        let factor = 1.0 + oversize_pct / 100.0;
        for part in &mut p.parts {
            part.scale = if is_master { Scale::Master { factor } } else { Scale::Nominal { master_factor: factor } };
        }
    });
    let Some(loaded) = app.known().setting().and_then(|s| s.placed.loaded.get(i)).cloned() else { return };
    let size = loaded.mesh.bounds().size();
    fields::fact(ui, "Size", format!("{} × {} × {} mm", mm(size.x), mm(size.y), mm(size.z)));
    fields::fact(ui, "Volume", volume(loaded.check.measures.volume_mm3));
    fields::fact(ui, "Area", format!("{} cm²", short(loaded.check.measures.area_mm2 / 100.0)));
    fields::fact(ui, "Triangles", loaded.mesh.triangles.len().to_string());
    super::bodies::fact(app, ui, i, &loaded);
    for words in &loaded.repairs {
        fields::hint(ui, words);
    }
    if !app.hides_answers() {
        super::set::of_kind(app, ui, i);
    }
}

fn mm(value: f32) -> String {
    short(value as f64)
}

fn factor_of(scale: Scale) -> f64 {
    match scale {
        Scale::Nominal { master_factor } => master_factor,
        Scale::Master { factor } => factor,
    }
}

fn shown(app: &mut App, ui: &mut Ui) {
    fields::heading(ui, "Shown on the finished part");
    tools(app, ui, &[Tool::Shown]);
    if app.tool() == Tool::Shown {
        let mut radius = app.stroke_radius_mm();
        if fields::length(ui, "Width of the stroke", &mut radius, 0.5..=50.0).changed() {
            app.set_stroke_radius_mm(radius);
        }
    }
    let things: Vec<Thing> = (0..app.plan().map_or(0, |p| p.shown.len())).map(Thing::Shown).collect();
    let finishes: Vec<Finish> = app.plan().map(|p| p.shown.iter().map(|s| s.finish).collect()).unwrap_or_default();
    let plan = app.plan().cloned().unwrap_or_default();
    placed::list(app, ui, &things, |t| match t {
        Thing::Shown(i) => match t.spot(&plan) {
            Some(at) => placed::on_part(&plan, at, finish_name(finishes[i]).to_owned()),
            None => finish_name(finishes[i]).to_owned(),
        },
        _ => String::new(),
    });
    if let Some(Thing::Shown(i)) = app.chosen()
        && let Some(one) = app.plan().and_then(|p| p.shown.get(i)).cloned()
    {
        let mut name = one.name.clone();
        let response = fields::text(ui, "Name", &mut name, "Shown surface");
        app.after(&response, "Rename a shown surface", |p| p.shown[i].name = name);
        let all = [Finish::Gloss, Finish::Matt, Finish::Textured, Finish::AsPrinted];
        if let Some(finish) = fields::choice(ui, "Finish", one.finish, &all, |f| finish_name(f).into()) {
            app.edit("Change the finish", |p| p.shown[i].finish = finish);
        }
        if ui.button("Delete").on_hover_text("Can be undone").clicked() {
            app.delete(Thing::Shown(i));
        }
    }
}
