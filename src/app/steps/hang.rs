//! Which way up the master hangs in the rubber, and how the closed block stands for casting.

use super::tools;
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields;
use crate::app::propose::Wanted;
use crate::plan::Attitude;
use egui::Ui;
use glam::DVec3;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    tools(app, ui, &[Tool::Turn, Tool::FaceDown, Tool::FaceUp]);
    let Some(hang) = app.plan().map(|p| p.hang) else { return };
    fields::heading(ui, "While rubber is poured");
    attitude(app, ui, "rubber", hang.rubber, |p, a| p.hang.rubber = a);
    ui.label("Up along");
    ui.horizontal_wrapped(|ui| {
        if let Some((name, up)) = fields::directions(ui, hang.rubber.up) {
            app.hang_anew(&format!("Hang {name} up"), |p| p.hang.rubber = Attitude { up, turn: 0.0 });
        }
    });
    if !app.hides_answers()
        && ui.button("Propose the hang").on_hover_text("Looks for the way up that keeps the least air").clicked()
    {
        app.propose(Wanted::Hang);
    }
    fields::heading(ui, "While resin is poured");
    let mut same = hang.cast.is_none();
    if ui.checkbox(&mut same, "The block stands as it was poured").changed() {
        let name = if same { "Cast it as poured" } else { "Tip the block to cast" };
        app.edit(name, |p| p.hang.cast = if same { None } else { Some(p.hang.rubber) });
    }
    if let Some(cast) = hang.cast {
        attitude(app, ui, "cast", cast, |p, a| p.hang.cast = Some(a));
        let tip = hang.rubber.up.angle_between(cast.up).to_degrees();
        fields::fact(ui, "Tipped by", format!("{}°", fields::short(tip)));
    }
}

/// What stands below the findings: ways up to choose from, and the master.
pub fn below(app: &mut App, ui: &mut Ui) {
    super::hang_ways::show(app, ui);
    // How the master is made and held is nothing that practice is about.
    if app.practice().is_none() {
        super::master::show(app, ui);
    }
}

/// An attitude as two angles of lean from its nearest axis would hide what it is; it is shown as the direction that is
/// up and the turn about it.
fn attitude(
    app: &mut App,
    ui: &mut Ui,
    id: &str,
    attitude: Attitude,
    set: impl Fn(&mut crate::plan::Plan, Attitude) + Copy,
) {
    let up = attitude.up.normalize_or(DVec3::Z);
    // Lean from the part's Z and the side it leans to: the two angles of a direction.
    let mut lean = up.z.clamp(-1.0, 1.0).acos().to_degrees();
    let mut side = if !(1e-6..=180.0 - 1e-6).contains(&lean) { 0.0 } else { up.y.atan2(up.x).to_degrees() };
    let mut turn = attitude.turn.to_degrees();
    let from = |lean: f64, side: f64| {
        let (s, c) = lean.to_radians().sin_cos();
        let (ss, cs) = side.to_radians().sin_cos();
        DVec3::new(s * cs, s * ss, c)
    };
    let what = if id == "rubber" { "Turn the hang" } else { "Turn the block for casting" };
    let tip = fields::number(ui, &labelled("Tilt from the part's Z", id), &mut lean, "°", 0.0..=180.0, 0.2);
    app.after(&tip, what, |p| set(p, Attitude { up: from(lean, side), ..attitude }));
    let towards = fields::number(ui, &labelled("Tilt towards", id), &mut side, "°", -180.0..=180.0, 0.5);
    app.after(&towards, what, |p| set(p, Attitude { up: from(lean, side), ..attitude }));
    let turned = fields::number(ui, &labelled("Turn about up", id), &mut turn, "°", -360.0..=360.0, 0.5);
    app.after(&turned, what, |p| set(p, Attitude { turn: turn.to_radians(), ..attitude }));
}

fn labelled(name: &str, id: &str) -> String {
    if id == "rubber" { name.to_owned() } else { format!("{name}, casting") }
}
