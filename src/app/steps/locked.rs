//! Rubber that is locked in a hole of the part: what is locked, and what the plan can hold against it.

use super::findings::apply;
use crate::app::App;
use crate::app::fields::{self, short};
use crate::app::theme::look;
use crate::plan::Half;
use crate::study::findings::Remedy;
use crate::study::findings::core_locked::choices;
use egui::Ui;

/// The list; nothing where nothing is locked.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(facts) = app.known().facts.clone() else { return };
    let (Some(parting), Some(release), Some(plan)) = (&facts.parting, &facts.release, app.plan()) else { return };
    let mut holes = Vec::new();
    for (core, lock) in parting.locked.iter().zip(&release.locks) {
        let half = if core.half == Half::One { "half 1" } else { "half 2" };
        for (tunnel, opened) in core.tunnels.iter().zip(&lock.opened) {
            let pieces = opened.pieces.iter().filter_map(|&i| release.pieces.get(i)).map(|p| p.name.clone());
            let cuts = opened.cuts.iter().filter_map(|&i| release.cuts.get(i)).map(|c| c.name.clone());
            let by: Vec<String> = pieces.chain(cuts).collect();
            let offered = if by.is_empty() { choices(plan, &facts.setting, tunnel) } else { Vec::new() };
            holes.push((half, tunnel.clone(), by, offered));
        }
    }
    if holes.is_empty() {
        return;
    }
    fields::heading(ui, "Locked cores");
    for (i, (half, tunnel, by, offered)) in holes.into_iter().enumerate() {
        ui.push_id(("locked", i), |ui| {
            let (wide, long) = (short(2.0 * tunnel.radius_mm), short(tunnel.length_mm));
            let title = format!("{}: {half} through a hole {wide} mm wide, {long} mm long", i + 1);
            let response = ui.add(egui::Button::new(title).frame(false).wrap());
            if response.hovered() {
                app.light(Some(tunnel.middle));
            }
            if response.clicked() {
                app.fly_to(tunnel.middle, Some(tunnel.axis));
            }
            if !by.is_empty() {
                fields::hint(ui, &format!("Freed by {}", by.join(" and ")));
                return;
            }
            let stop = look(ui).stop;
            ui.add(egui::Label::new(egui::RichText::new("Locked. Free it with one of these").color(stop)).wrap());
            ui.horizontal_wrapped(|ui| {
                for (word, remedy) in ["Metal core", "Loose piece", "Relief cut"].into_iter().zip(&offered) {
                    offer(app, ui, &format!("{word} through hole {}", i + 1), word, remedy);
                }
            });
        });
    }
}

fn offer(app: &mut App, ui: &mut Ui, said: &str, word: &str, remedy: &Remedy) {
    let about = match remedy {
        Remedy::AddReliefCut(_) => "Severs the rubber all round inside the hole",
        _ => "Fills the hole from mouth to mouth and leaves along it",
    };
    let button = ui.button(word).on_hover_text(about);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, said.to_owned()));
    if button.clicked() {
        apply(app, remedy);
    }
}
