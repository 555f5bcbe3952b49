//! The block of rubber and its box.

use crate::app::App;
use crate::app::fields::{self, mass, short, time};
use crate::plan::BlockPlan;
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
            "Inside of the box",
            format!("{} × {} × {} mm", short(b.size_mm.x), short(b.size_mm.y), short(b.size_mm.z)),
        );
    }
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
    let Some(report) = app.known().report.clone() else { return };
    let s = &report.silicone;
    fields::fact(ui, "Rubber in the block", fields::volume(s.volume_mm3));
    fields::fact(ui, "Mix, with what stays in the pots", mass(s.mass_g));
    fields::fact(ui, "Component A", mass(s.a_g));
    fields::fact(ui, "Component B", mass(s.b_g));
    fields::fact(ui, "Pot for degassing, at least", format!("{} litres", short(s.pot_litres)));
    fields::fact(ui, "Pot life", time(s.pot_life_s));
    fields::fact(ui, "Cure at 23 °C", time(s.cure_s));
    fields::hint(ui, "Read the safety data sheets of both components. A vacuum vessel must be made for it and sound");
}
