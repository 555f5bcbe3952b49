//! The master: what it is, and what holds it in liquid rubber.

use crate::app::App;
use crate::app::fields::{self, mass, short};
use crate::plan::{MasterCore, MasterMaterial, Plan};
use crate::study::numbers::figures::{GivesWayReport, HangDirection, HoldCause};
use egui::Ui;

/// What is inside, as a list names it.
#[derive(Clone, Copy, PartialEq)]
enum Core {
    Solid,
    Sealed,
    Open,
}

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(mut master) = app.plan().map(|p| p.master) else { return };
    let what = "Change the master";
    fields::heading(ui, "Master");
    let materials = [
        MasterMaterial::NotSaid,
        MasterMaterial::PrintedPhotopolymer,
        MasterMaterial::PrintedThermoplastic,
        MasterMaterial::Machined,
        MasterMaterial::Cast,
    ];
    let name = |m: MasterMaterial| {
        match m {
            MasterMaterial::NotSaid => "Not said",
            MasterMaterial::PrintedPhotopolymer => "Printed by light",
            MasterMaterial::PrintedThermoplastic => "Printed, melted",
            MasterMaterial::Machined => "Machined",
            MasterMaterial::Cast => "Cast or modelled",
        }
        .to_owned()
    };
    if let Some(material) = fields::choice(ui, "Made of", master.material, &materials, name) {
        app.edit(what, |p| p.master.material = material);
    }
    let mut trial = master.cure_trial;
    if ui.checkbox(&mut trial, "Rubber was seen to cure on it").changed() {
        app.edit(what, |p| p.master.cure_trial = trial);
    }
    let core = match master.core {
        MasterCore::Solid => Core::Solid,
        MasterCore::Hollow { open: false, .. } => Core::Sealed,
        MasterCore::Hollow { open: true, .. } => Core::Open,
    };
    let core_name = |c: Core| {
        match c {
            Core::Solid => "Solid",
            Core::Sealed => "Hollow, sealed",
            Core::Open => "Hollow, with a hole",
        }
        .to_owned()
    };
    let skin = if let MasterCore::Hollow { skin_mm, .. } = master.core { skin_mm } else { 2.0 };
    if let Some(core) = fields::choice(ui, "Inside", core, &[Core::Solid, Core::Sealed, Core::Open], core_name) {
        app.edit(what, |p| {
            p.master.core = match core {
                Core::Solid => MasterCore::Solid,
                Core::Sealed => MasterCore::Hollow { skin_mm: skin, open: false },
                Core::Open => MasterCore::Hollow { skin_mm: skin, open: true },
            }
        });
    }
    if let MasterCore::Hollow { open, .. } = master.core {
        let mut skin = skin;
        let response = fields::length(ui, "Skin", &mut skin, 0.1..=100.0);
        app.after(&response, what, |p| p.master.core = MasterCore::Hollow { skin_mm: skin, open });
    }
    let usual = app.shop().habits.master_density_g_cm3;
    let mut density = master.density_g_cm3.unwrap_or(usual);
    let response = fields::number(ui, "Density", &mut density, "g/cm³", 0.01..=25.0, 0.01);
    app.after(&response, what, |p| p.master.density_g_cm3 = Some(density));
    let mut weighed = master.weighed_g.unwrap_or(0.0);
    let response = fields::number(ui, "Weighed, 0 if not", &mut weighed, "g", 0.0..=1e6, 0.1);
    app.after(&response, what, |p| p.master.weighed_g = Some(weighed).filter(|g| *g > 0.0));
    let mut stuck = master.stuck_to_floor;
    if ui.checkbox(&mut stuck, "Stuck flat to the floor of the box").changed() {
        app.edit("Stick the master to the floor", |p| p.master.stuck_to_floor = stuck);
    }
    let mut rods = master.plugged_rods as f64;
    let response = fields::whole(ui, "Rods plugged afterwards", &mut rods, 0.0..=20.0);
    app.after(&response, what, |p| p.master.plugged_rods = rods.round().clamp(0.0, 20.0) as u32);
    if master.plugged_rods > 0 {
        let response = fields::length(ui, "Their diameter", &mut master.plugged_rod_mm, 0.5..=30.0);
        app.after(&response, what, |p| p.master.plugged_rod_mm = master.plugged_rod_mm);
    }
    rod_choice(app, ui);
    numbers(app, ui);
}

fn rod_choice(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let now = plan.rod(app.shop()).name.clone();
    let rods = app.shop().rods.clone();
    let mut all: Vec<&str> = rods.iter().map(|r| r.name.as_str()).collect();
    if !all.contains(&now.as_str()) {
        all.insert(0, &now);
    }
    let chosen = fields::choice(ui, "Rods", now.as_str(), &all, str::to_owned).map(str::to_owned);
    if let Some(rod) = chosen.and_then(|name| rods.iter().find(|r| r.name == name).cloned()) {
        app.edit(&format!("Take {}", rod.name), |p: &mut Plan| p.materials.rod = Some(rod));
    }
}

fn numbers(app: &App, ui: &mut Ui) {
    let Some(h) = app.known().report.as_ref().map(|r| r.hanging.clone()) else { return };
    fields::fact(ui, if h.weighed { "Master, weighed" } else { "Master, reckoned" }, mass(h.mass_g));
    let way = match h.direction {
        HangDirection::Up => format!("{:.2} N up", h.net_force_n),
        HangDirection::Down => format!("{:.2} N down", -h.net_force_n),
        HangDirection::Still => "nothing to speak of".to_owned(),
    };
    fields::fact(ui, "Full of rubber it is driven", way);
    fields::fact(ui, "Rods that hold it", format!("{} of {}", h.carrying(), h.rods.len()));
    let times = |safety: Option<f64>, gives: &Option<GivesWayReport>| {
        let how = gives.as_ref().map_or("", |g| match (g.lever, g.cause) {
            (true, _) => ", then it tips",
            (false, HoldCause::Buckling) => ", then they buckle",
            (false, HoldCause::Glue) => ", then glue gives way",
        });
        safety.map_or("–".to_owned(), |s| format!("{} times{how}", short(s.min(999.0))))
    };
    fields::fact(ui, "They hold it down", times(h.safety_up, &h.gives_up));
    fields::fact(ui, "They carry its weight", times(h.safety_down, &h.gives_down));
    if h.lift_moment_n_mm > 0.05 {
        fields::fact(ui, "Moment about the rods", format!("{} N·mm", short(h.lift_moment_n_mm)));
    }
    let [span, wide, thick] = h.beam_mm;
    fields::fact(ui, "Beam over the box", format!("{} × {} × {} mm", short(span), short(wide), short(thick)));
    fields::fact(ui, "It sags", format!("{} mm", short(h.beam_sag_mm)));
}
