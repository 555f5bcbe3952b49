//! The block of rubber and its box.

use crate::app::App;
use crate::app::fields::{self, mass, short, time};
use crate::plan::{BlockPlan, Held};
use crate::sheet::{figures, silicone};
use crate::shop::COLD_CURE_C;
use egui::Ui;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let (block, used) = (plan.block, plan.materials.silicone.clone());
    let laid_out = app.known().setting().map(|s| s.block);
    fields::heading(ui, "Rubber round the part");
    let takes: [(&str, Option<f64>, fn(&mut BlockPlan, Option<f64>), f64); 3] = [
        ("At the sides", block.wall_mm, |b, v| b.wall_mm = v, laid_out.map_or(15.0, |b| b.wall_mm)),
        ("Below", block.below_mm, |b, v| b.below_mm = v, laid_out.map_or(15.0, |b| b.below_mm)),
        ("Above", block.above_mm, |b, v| b.above_mm = v, laid_out.map_or(20.0, |b| b.above_mm)),
    ];
    for (name, own, set, now) in takes {
        let mut value = own.unwrap_or(now);
        let response = fields::length(ui, name, &mut value, 2.0..=300.0);
        app.after(&response, "Change the rubber round the part", |p| set(&mut p.block, Some(value)));
        if own.is_some() {
            let undo = ui.small_button(format!("{name}: take the shop's figure"));
            if undo.clicked() {
                app.edit("Take the shop's figure", |p| set(&mut p.block, None));
            }
        }
    }
    if [block.wall_mm, block.below_mm, block.above_mm].iter().all(Option::is_none) {
        fields::hint(ui, "These are the shop's figures for a part of this size");
    }
    if let Some(b) = laid_out {
        fields::fact(
            ui,
            "Silicone block",
            format!("{} × {} × {} mm", short(b.size_mm.x), short(b.size_mm.y), short(b.size_mm.z)),
        );
    }
    board(app, ui);
    fields::heading(ui, "Silicone");
    let silicones = app.shop().silicones.clone();
    let names: Vec<&str> = silicones.iter().map(|s| s.name.as_str()).collect();
    let now = used.as_ref().map_or(names.first().copied().unwrap_or(""), |s| s.name.as_str());
    let mut all = names.clone();
    if !all.contains(&now) {
        all.insert(0, now);
    }
    if let Some(name) = fields::choice(ui, "Material", now, &all, str::to_owned)
        && let Some(chosen) = silicones.iter().find(|s| s.name == name).cloned()
    {
        app.edit(&format!("Take {name}"), |p| p.materials.silicone = Some(chosen));
    }
    pouring(app, ui);
    let Some(report) = app.known().report.clone() else { return };
    let s = &report.silicone;
    fields::fact(ui, "Rubber in the block", fields::volume(s.volume_mm3));
    fields::fact(ui, "Mix, with what stays in the pots", mass(s.mass_g));
    fields::fact(ui, "Component A", mass(s.a_g));
    fields::fact(ui, "Component B", mass(s.b_g));
    for (i, pour) in s.pours.iter().enumerate() {
        if s.pours.len() > 1 {
            let name = format!("Pour {} up to {} mm", i + 1, short(pour.up_to_mm));
            fields::fact(ui, &name, format!("{} A, {} B", mass(pour.a_g), mass(pour.b_g)));
        }
        let each = format!("{} of at least {}", pour.pots, figures::litres(pour.pot_litres));
        fields::fact(ui, if s.degas_in_box { "Pots for mixing" } else { "Pots for degassing" }, each);
        if pour.pots > 1 {
            fields::fact(ui, "In each pot", format!("{} A, {} B", mass(pour.pot_a_g), mass(pour.pot_b_g)));
        }
    }
    fields::fact(ui, "Pot life", time(s.pot_life_s));
    fields::fact(ui, "One pot mixed, degassed, poured", time(s.pot_work_s));
    let (name, cure) = silicone::cure(s);
    fields::fact(ui, &name, cure);
    fields::hint(ui, "Read the safety data sheets of both components. A vacuum vessel must be made for it and sound");
}

/// The board of the box, what is cut from it, and where the block fits.
fn board(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let (now, mut in_box) = (plan.panel(app.shop()).name.clone(), plan.block.degas_in_box);
    let panels = app.shop().panels.clone();
    let mut all: Vec<&str> = panels.iter().map(|p| p.name.as_str()).collect();
    if !all.contains(&now.as_str()) {
        all.insert(0, &now);
    }
    fields::heading(ui, "Box");
    let chosen = fields::choice(ui, "Board", now.as_str(), &all, str::to_owned).map(str::to_owned);
    if let Some(panel) = chosen.and_then(|name| panels.iter().find(|p| p.name == name).cloned()) {
        app.edit(&format!("Take {}", panel.name), |p| p.materials.panel = Some(panel));
    }
    if ui.checkbox(&mut in_box, "The box goes into the chamber to degas").changed() {
        app.edit("Change where the rubber is degassed", |p| p.block.degas_in_box = in_box);
    }
    let Some(b) = app.known().report.as_ref().map(|r| r.block.clone()) else { return };
    let size = |mm: &[f64]| format!("{} mm", mm.iter().map(|v| short(*v)).collect::<Vec<_>>().join(" × "));
    for panel in &b.panels {
        fields::fact(ui, &format!("{} of {}", panel.count, panel.what), size(&panel.size_mm));
    }
    fields::fact(ui, "Outside, with free wall", size(&b.outside_mm));
    fields::fact(ui, "Free wall over the rubber", format!("{} mm", short(b.freeboard_mm)));
    fields::fact(ui, "Longest wall bows", format!("{} mm", short(b.bow_mm)));
    fields::fact(ui, "Filled block weighs", format!("{} kg", short(b.mass_kg)));
    fields::fact(ui, "Chamber", b.chamber.unwrap_or_else(|| "None is large enough".into()));
    fields::fact(ui, "Oven", b.oven.unwrap_or_else(|| "None is large enough".into()));
    fields::fact(ui, "Resin pushes the halves apart", format!("{} N", short(b.lift_force_n)));
    fields::fact(ui, "Closed by", b.closing.unwrap_or_else(|| "Nothing here holds it".into()));
    fields::hint(ui, "Short sides stand between the long ones, all four on the floor, corners sealed");
}

/// Pours and cure.
fn pouring(app: &mut App, ui: &mut Ui) {
    let Some(block) = app.plan().map(|p| p.block) else { return };
    let mut cure = block.cure_c.unwrap_or(COLD_CURE_C);
    let response = fields::number(ui, "Cures at", &mut cure, "°C", 10.0..=100.0, 0.5);
    app.after(&response, "Change the cure", |p| p.block.cure_c = Some(cure).filter(|c| *c != COLD_CURE_C));
    let mut first = block.first_pour_mm.unwrap_or(0.0);
    let response =
        fields::length(ui, "First pour up to", &mut first, 0.0..=2000.0).on_hover_text("0 where all is poured in one");
    app.after(&response, "Change the pours", |p| p.block.first_pour_mm = Some(first).filter(|mm| *mm > 0.0));
    let held = [Held::Free, Held::FourSides];
    let held_name = |h: Held| if h == Held::Free { "Nothing".to_owned() } else { "Stiff walls, four sides".to_owned() };
    if let Some(held) = fields::choice(ui, "Hot block held by", block.held, &held, held_name) {
        app.edit("Change what holds the block", |p| p.block.held = held);
    }
}
