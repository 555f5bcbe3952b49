//! How large the casts come out, and the dimensions that somebody cares for.

use crate::app::App;
use crate::app::fields::{self, short};
use crate::plan::{Along, Dimension};
use egui::Ui;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(dimensions) = app.plan().map(|p| p.dimensions.clone()) else { return };
    fields::heading(ui, "Size");
    let size = app.known().report.as_ref().map(|r| r.size.clone());
    if let Some(s) = &size {
        let percent = |f: f64| format!("{:+.2}", (f - 1.0) * 100.0);
        // Once where it is the same all ways, so that it fits beside its name.
        let all = |f: [f64; 3]| {
            let [a, b, c] = f.map(percent);
            if a == b && b == c { format!("{a} %") } else { format!("{a} · {b} · {c} %") }
        };
        fields::fact(ui, &format!("Cavity at {} °C", short(s.cast_c)), all(s.growth));
        fields::fact(ui, "Resin shrinks by", format!("{} %", short(s.shrinkage_pct)));
        fields::fact(ui, "Cast to master", all(s.net));
        fields::fact(ui, "Master that cancels it", format!("{:.2} %", s.cancelling_factor * 100.0));
        fields::fact(ui, "Master of this plan", format!("{:.2} %", s.master_over_part * 100.0));
        fields::hint(
            ui,
            &format!(
                "By length · width · height of the box, rubber set at {} °C, where {}",
                short(s.set_c),
                s.assumption
            ),
        );
    }
    for (i, dimension) in dimensions.iter().enumerate() {
        ui.push_id(("dimension", i), |ui| {
            let name = if dimension.name.trim().is_empty() { "Dimension" } else { dimension.name.trim() };
            let title = match size.as_ref().and_then(|s| s.dimensions.get(i)) {
                Some(d) => format!("{name}: {:.2} → {:.2} ± {:.2} mm", d.wanted_mm, d.cast_mm, d.spread_mm),
                None => name.to_owned(),
            };
            egui::CollapsingHeader::new(title).id_salt(i).show(ui, |ui| one(app, ui, i, dimension));
        });
    }
    if ui.button("Add a dimension").clicked() {
        app.edit("Add a dimension", |p| p.dimensions.push(Dimension { length_mm: 50.0, ..Dimension::default() }));
    }
}

fn one(app: &mut App, ui: &mut Ui, i: usize, dimension: &Dimension) {
    let mut now = dimension.clone();
    let what = "Change a dimension";
    let mut responses = vec![
        fields::text(ui, "Name", &mut now.name, "As on the drawing"),
        fields::length(ui, "Wanted", &mut now.length_mm, 0.01..=5000.0),
    ];
    responses.push(ui.checkbox(&mut now.across_cut, "Runs across the cut"));
    for response in responses {
        app.after(&response, what, |p| p.dimensions[i] = now.clone());
    }
    let name = |a: Along| {
        match a {
            Along::Length => "Length of the box",
            Along::Width => "Width of the box",
            Along::Height => "Upwards",
        }
        .to_owned()
    };
    if let Some(along) =
        fields::choice(ui, "Runs along", now.along, &[Along::Length, Along::Width, Along::Height], name)
    {
        app.edit(what, |p| p.dimensions[i].along = along);
    }
    if let Some(d) = app.known().report.as_ref().and_then(|r| r.size.dimensions.get(i)) {
        fields::fact(ui, "On the master", format!("{:.2} mm", d.master_mm));
        fields::fact(ui, "On the cast", format!("{:.2} to {:.2} mm", d.least_mm, d.most_mm));
        if d.flash_mm[1] > 0.0 {
            fields::fact(ui, "Of it, flash", format!("{} to {} mm", short(d.flash_mm[0]), short(d.flash_mm[1])));
        }
    }
    if ui.small_button("Delete this dimension").clicked() {
        app.edit("Delete a dimension", |p| {
            p.dimensions.remove(i);
        });
    }
}
