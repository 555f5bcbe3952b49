//! What a colour of the part cannot show yet: why, in words over the view, and the button that cures it.

use super::sight::Colouring;
use super::tool::Tool;
use crate::app::App;
use crate::app::theme::look;
use crate::study::findings::Step;
use egui::{Align2, Rect, Stroke, Ui, UiBuilder, vec2};

/// What would make a colour show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cure {
    /// The fill must be followed.
    FollowTheFill,
    /// There must be a gate.
    PlaceAGate,
}

impl Cure {
    /// What its button says.
    pub fn label(self) -> &'static str {
        match self {
            Cure::FollowTheFill => "Follow it now",
            Cure::PlaceAGate => "Place gates",
        }
    }
}

/// Why the part does not show the colour that is chosen; none where it does. Computing is waited for without a button.
pub fn why(app: &App) -> Option<(&'static str, Option<Cure>)> {
    let facts = app.known().facts.as_deref()?;
    let plan = app.plan()?;
    let complete = app.known().complete;
    let gated = !plan.feed.gates.is_empty();
    match app.canvas().colouring_of(app.step()) {
        Colouring::Plain | Colouring::Height => None,
        Colouring::Halves => match app.known().parting_to_draw() {
            Some(_) => None,
            None if complete => Some(("No line was found that parts the block in halves", None)),
            None => Some(("The halves are still being sought", None)),
        },
        Colouring::Walls if facts.walls.is_some() => None,
        Colouring::Walls if complete => Some(("The walls could not be measured", None)),
        Colouring::Walls => Some(("The walls are still being measured", None)),
        Colouring::Flow if facts.flow.as_ref().is_some_and(|f| f.field.is_some()) => None,
        Colouring::Fill if app.has_fill_times() => None,
        Colouring::Flow | Colouring::Fill if app.hides_answers() => Some(("This is told after the pour", None)),
        Colouring::Flow | Colouring::Fill if !gated => {
            let cure = Some(Cure::PlaceAGate).filter(|_| app.tool() != Tool::Gate);
            Some(("Place a gate first: without one no resin comes in", cure))
        }
        Colouring::Flow if complete => Some(("The way of the resin could not be followed", None)),
        Colouring::Flow => Some(("The way of the resin is still being sought", None)),
        Colouring::Fill if app.is_filling() => Some(("The fill is being followed", None)),
        Colouring::Fill => Some(("Follow the fill first: times are known only after it", Some(Cure::FollowTheFill))),
    }
}

/// Says it in the upper corner of the view that the legend leaves free.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some((words, cure)) = why(app) else { return };
    let view = app.canvas().rect();
    let (wide, tall) = (300f32.min(view.width() - 20.0), if cure.is_some() { 66.0 } else { 34.0 });
    if wide < 120.0 || view.height() < tall + 20.0 {
        return;
    }
    let place = match app.canvas().legend_at_left {
        true => Align2::RIGHT_TOP.anchor_size(view.right_top() + vec2(-10.0, 10.0), vec2(wide, tall)),
        false => Align2::LEFT_TOP.anchor_size(view.left_top() + vec2(10.0, 10.0), vec2(wide, tall)),
    };
    let colours = look(ui);
    let edge = Stroke::new(1.0, colours.rule);
    ui.painter().rect(place, 5.0, colours.card.gamma_multiply(0.95), edge, egui::StrokeKind::Inside);
    let inside = Rect::from_min_max(place.min + vec2(10.0, 7.0), place.max - vec2(10.0, 7.0));
    let pressed = ui
        .scope_builder(UiBuilder::new().id_salt("colour absent").max_rect(inside), |ui| {
            ui.add(egui::Label::new(words).wrap());
            cure.filter(|cure| ui.button(cure.label()).clicked())
        })
        .inner;
    match pressed {
        Some(Cure::FollowTheFill) => app.follow_the_fill(),
        Some(Cure::PlaceAGate) => {
            app.go_to(Step::Feed);
            app.take(Tool::Gate);
        }
        None => {}
    }
}
