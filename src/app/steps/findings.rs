//! Findings: one line each, worst first; opened it says why it matters and what to do.

use super::closer;
use crate::app::App;
use crate::app::theme::{Look, look, strong};
use crate::app::thing::Thing;
use crate::plan::GateKind;
use crate::study::findings::finding::Severity;
use crate::study::findings::{Finding, Remedy, Step};
use egui::{Color32, Pos2, Sense, Stroke, Ui, pos2, vec2};

/// What a severity says and its colour.
pub fn words(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "Stop",
        Severity::Warn => "Look here",
        Severity::Note => "Note",
    }
}

fn colour(severity: Severity, look: &Look) -> Color32 {
    match severity {
        Severity::Stop => look.stop,
        Severity::Warn => look.warn,
        Severity::Note => look.quiet,
    }
}

/// The sign of a severity, a shape as well as a colour.
fn paint_sign(painter: &egui::Painter, centre: Pos2, severity: Severity, look: &Look) {
    let colour = colour(severity, look);
    match severity {
        Severity::Stop => {
            let points = (0..8).map(|i| {
                let a = std::f32::consts::TAU * (i as f32 + 0.5) / 8.0;
                centre + 6.5 * vec2(a.cos(), a.sin())
            });
            painter.add(egui::Shape::convex_polygon(points.collect(), colour, Stroke::NONE));
            painter.line_segment([centre - vec2(3.5, 0.0), centre + vec2(3.5, 0.0)], Stroke::new(2.0, look.card));
        }
        Severity::Warn => {
            let points = vec![centre + vec2(0.0, -6.5), centre + vec2(6.5, 5.5), centre + vec2(-6.5, 5.5)];
            painter.add(egui::Shape::convex_polygon(points, Color32::TRANSPARENT, Stroke::new(1.6, colour)));
            painter.line_segment([centre + vec2(0.0, -2.5), centre + vec2(0.0, 1.5)], Stroke::new(1.6, colour));
            painter.circle_filled(centre + vec2(0.0, 3.6), 0.9, colour);
        }
        Severity::Note => {
            painter.circle_stroke(centre, 5.5, Stroke::new(1.4, colour));
            painter.line_segment([centre + vec2(0.0, -0.8), centre + vec2(0.0, 3.0)], Stroke::new(1.6, colour));
            painter.circle_filled(centre + vec2(0.0, -3.0), 0.9, colour);
        }
    }
}

/// The sign of a severity as a thing of its own in a row of words.
pub fn sign(ui: &mut Ui, severity: Severity) {
    let (rect, _) = ui.allocate_exact_size(vec2(16.0, 16.0), Sense::hover());
    paint_sign(ui.painter(), rect.center(), severity, look(ui));
}

/// The findings of the open step.
pub fn of_step(app: &mut App, ui: &mut Ui) {
    let findings: Vec<Finding> = app.known().findings_of(app.step()).cloned().collect();
    if app.hides_answers() {
        return;
    }
    ui.add_space(10.0);
    ui.separator();
    ui.label(strong("Findings"));
    if findings.is_empty() {
        let words = match app.known().complete {
            true if app.known().has_part() => "Nothing to object to here",
            _ if app.part_is_missing() => "Nothing can be looked into until the part is there",
            _ => "Still looking…",
        };
        crate::app::fields::hint(ui, words);
    }
    for (i, finding) in findings.iter().enumerate() {
        one(app, ui, i, finding);
    }
}

fn one(app: &mut App, ui: &mut Ui, index: usize, finding: &Finding) {
    let look = look(ui);
    let key = (finding.step, finding.code, index);
    let open = app.opened_finding() == Some(key);
    let width = ui.available_width();
    let text = egui::WidgetText::from(finding.message.clone());
    let galley = text.into_galley(ui, Some(egui::TextWrapMode::Wrap), width - 34.0, egui::TextStyle::Body);
    let (rect, response) = ui.allocate_exact_size(vec2(width, galley.size().y + 12.0), Sense::click());
    let said = format!("{}: {}", words(finding.severity), finding.message);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, open, said.clone()));
    let painter = ui.painter();
    if response.hovered() || response.has_focus() || open {
        painter.rect_filled(rect, 4.0, if open { look.chosen } else { look.hovered });
    }
    paint_sign(painter, pos2(rect.left() + 14.0, rect.top() + 15.0), finding.severity, look);
    painter.galley(pos2(rect.left() + 28.0, rect.top() + 6.0), galley, look.ink);
    // The place of an opened finding stays lit; one that is pointed at comes before it.
    if response.hovered() || (open && !app.is_lit()) {
        app.light(finding.place);
    }
    if response.clicked() {
        app.open_finding(if open { None } else { Some(key) });
        if !open {
            response.scroll_to_me(Some(egui::Align::TOP));
        }
        if let Some(place) = finding.place.filter(|_| !open) {
            app.show_place(place);
        }
    }
    if open {
        egui::Frame::new().inner_margin(egui::Margin { left: 28, right: 4, top: 2, bottom: 6 }).show(ui, |ui| {
            ui.add(egui::Label::new(&finding.why).wrap());
            if let Some(look) = app.closer_look(finding) {
                closer::show(ui, &look);
            }
            ui.add(egui::Label::new(strong(&finding.remedy)).wrap());
            ui.horizontal_wrapped(|ui| {
                for remedy in &finding.remedies {
                    if ui.button(remedy.label()).clicked() {
                        apply(app, remedy);
                    }
                }
                if let Some(place) = finding.place
                    && ui.button("Show the place").clicked()
                {
                    app.show_place(place);
                }
            });
        });
    }
}

/// Does what a remedy offers: as one edit, or by asking for what is more than that.
pub fn apply(app: &mut App, remedy: &Remedy) {
    use crate::app::propose::Wanted;
    match remedy {
        // What is put, and what is taken away, is chosen or no longer chosen as well.
        Remedy::AddVent(spot) => app.place_vent(*spot),
        Remedy::AddGate(spot) => app.place_gate(*spot),
        Remedy::RemovePin(i) => app.delete(Thing::Pin(*i)),
        Remedy::RemoveMark(i) => app.delete(Thing::Mark(*i)),
        Remedy::LeadRound(number) => app.set_gate_kind(*number, GateKind::Side),
        Remedy::ProposeVents => app.propose(Wanted::Vents),
        Remedy::ProposeFeed => app.propose(Wanted::Feed),
        Remedy::ProposeDraw => app.propose(Wanted::Draw),
        Remedy::LayOutSet => app.propose(Wanted::LayOut),
        edit => {
            let shop = app.shop().clone();
            app.edit(&edit.edit_name(), |p| {
                edit.carry_out(p, &shop);
            });
        }
    }
}

/// What is open at the other steps, at the foot of the panel.
pub fn elsewhere(app: &mut App, ui: &mut Ui) {
    let steps: Vec<(Step, usize, Severity)> = Step::ALL
        .into_iter()
        .filter(|s| *s != app.step())
        .filter_map(|s| {
            let matters = |f: &&Finding| f.severity != Severity::Note;
            let n = app.known().findings_of(s).filter(matters).count();
            let worst = app.known().worst_of(s)?;
            (n > 0).then_some((s, n, worst))
        })
        .collect();
    ui.add_space(4.0);
    if app.hides_answers() {
        crate::app::fields::hint(ui, "Practice: findings are shown after the pour");
    } else if steps.is_empty() {
        let words = match app.known().complete {
            _ if app.part_is_missing() => "The part is not there, so nothing was looked into",
            true => "Nothing open elsewhere",
            false => "Still looking elsewhere…",
        };
        crate::app::fields::hint(ui, words);
    } else {
        ui.label(strong("Open elsewhere"));
        ui.horizontal_wrapped(|ui| {
            for (step, n, worst) in steps {
                let colour = colour(worst, look(ui));
                let text = egui::RichText::new(format!("{} {n}", step.name())).color(colour);
                let said = format!("{n} open in {}", step.name());
                let button = ui.add(egui::Button::new(text)).on_hover_text(&said);
                if button.clicked() {
                    app.go_to(step);
                }
            }
        });
    }
    ui.add_space(4.0);
}
