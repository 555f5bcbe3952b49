//! Relief cuts and loose pieces: what helps the rubber to let go.

use super::{placed, tool_buttons};
use crate::app::App;
use crate::app::action::Action;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short};
use crate::app::thing::Thing;
use crate::plan::{LoosePiece, PieceOf, Plan, ReliefCut};
use egui::Ui;
use glam::DVec3;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let own = [Tool::ReliefCut, Tool::LoosePiece];
    let Some(parting) = app.plan().map(|p| &p.parting) else { return };
    let more = match (parting.relief_cuts.len(), parting.loose_pieces.len()) {
        (0, 0) => "none".to_owned(),
        (cuts, pieces) => format!("{cuts} and {pieces}"),
    };
    let chosen = matches!(app.chosen(), Some(Thing::ReliefCut(_) | Thing::LoosePiece(_)));
    let now = chosen || own.contains(&app.tool());
    fields::fold(ui, "Relief cuts and loose pieces", &more, false, now, |ui| list(app, ui, &own));
}

fn list(app: &mut App, ui: &mut Ui, own: &[Tool]) {
    tool_buttons(app, ui, own);
    if own.contains(&app.tool()) {
        fields::hint(ui, app.tool().tooltip());
    }
    let Some(plan) = app.plan() else { return };
    let (cuts, pieces) = (plan.parting.relief_cuts.clone(), plan.parting.loose_pieces.clone());
    let things: Vec<Thing> =
        (0..cuts.len()).map(Thing::ReliefCut).chain((0..pieces.len()).map(Thing::LoosePiece)).collect();
    placed::list(app, ui, &things, |t| match t {
        Thing::ReliefCut(i) => format!("{} mm deep", short(cuts[i].depth_mm)),
        Thing::LoosePiece(i) => format!("Ø{} mm", short(2.0 * pieces[i].radius_mm)),
        _ => String::new(),
    });
    if !pieces.is_empty() {
        crate::app::top_line::button(app, ui, Action::WritePieces);
    }
    match app.chosen() {
        Some(Thing::ReliefCut(i)) if i < cuts.len() => one_cut(app, ui, i, &cuts[i]),
        Some(Thing::LoosePiece(i)) if i < pieces.len() => one_piece(app, ui, i, &pieces[i]),
        _ => {}
    }
}

fn one_cut(app: &mut App, ui: &mut Ui, i: usize, cut: &ReliefCut) {
    let thing = Thing::ReliefCut(i);
    let change = |p: &mut Plan, f: &dyn Fn(&mut ReliefCut)| {
        if let Some(cut) = p.parting.relief_cuts.get_mut(i) {
            f(cut);
        }
    };
    let mut name = cut.name.clone();
    let response = fields::text(ui, "Name", &mut name, &thing.plain_title());
    app.after(&response, &format!("Rename {}", thing.in_sentence()), |p| change(p, &|c| c.name = name.clone()));
    let mut depth = cut.depth_mm;
    let response = fields::length(ui, "Depth into the rubber", &mut depth, 0.5..=300.0);
    app.after(&response, &format!("Change {}", thing.in_sentence()), |p| change(p, &|c| c.depth_mm = depth));
    placed::show_and_delete(app, ui, thing);
}

fn one_piece(app: &mut App, ui: &mut Ui, i: usize, piece: &LoosePiece) {
    let thing = Thing::LoosePiece(i);
    let change = |p: &mut Plan, f: &dyn Fn(&mut LoosePiece)| {
        if let Some(piece) = p.parting.loose_pieces.get_mut(i) {
            f(piece);
        }
    };
    let what = format!("Change {}", thing.in_sentence());
    let mut name = piece.name.clone();
    let response = fields::text(ui, "Name", &mut name, &thing.plain_title());
    app.after(&response, &format!("Rename {}", thing.in_sentence()), |p| change(p, &|c| c.name = name.clone()));
    let mut diameter = 2.0 * piece.radius_mm;
    let response = fields::length(ui, "Diameter", &mut diameter, 0.5..=300.0);
    app.after(&response, &what, |p| change(p, &|c| c.radius_mm = diameter / 2.0));
    let word = |of: PieceOf| if of == PieceOf::Metal { "Metal, a core" } else { "Rubber" }.to_owned();
    if let Some(of) = fields::choice(ui, "Made of", piece.of, &[PieceOf::Rubber, PieceOf::Metal], word) {
        app.edit(&what, |p| change(p, &|c| c.of = of));
    }
    ui.label("Leaves along");
    let pressed = ui.horizontal_wrapped(|ui| fields::directions(ui, piece.leaves_along)).inner;
    let square = ui.button("Square to the surface").on_hover_text("The outward normal where it sits").clicked();
    let along: Option<DVec3> = match pressed {
        Some((_, along)) => Some(along),
        None if square => app.known().setting().map(|s| s.frames.normal_in_work(&piece.at).as_dvec3()),
        None => None,
    };
    if let Some(along) = along {
        app.edit(&what, |p| change(p, &|c| c.leaves_along = along));
    }
    placed::exact_place(app, ui, thing);
}
