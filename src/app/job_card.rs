//! The job card at the left: the steps in the order of the bench, each with its tick box and what it holds.

use crate::app::fields::{mass, short, volume};
use crate::app::known::SinceIssue;
use crate::app::theme::{Look, bold, look};
use crate::app::{App, practice};
use crate::mesh::Bounds;
use crate::plan::{Attitude, Stage};
use crate::study::air::Matters;
use crate::study::air::facts::AirFacts;
use crate::study::findings::Step;
use crate::study::findings::finding::Severity;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::ways_up::words::direction;
use egui::{Align2, Color32, FontId, Key, Modifiers, Pos2, Rect, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

/// State of a tick box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tick {
    /// Nothing was decided here yet.
    Untouched,
    /// In order.
    InOrder,
    /// Nothing was objected to so far, and it is not looked at to the end.
    Looking,
    /// Something may go wrong.
    LookHere,
    /// The block must not be poured like this.
    Stop,
}

impl Tick {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Tick::Untouched => "untouched",
            Tick::InOrder => "in order",
            Tick::Looking => "being looked at",
            Tick::LookHere => "look here",
            Tick::Stop => "stop",
        }
    }

    /// The state of a step.
    pub fn of(app: &App, step: Step) -> Tick {
        if app.part_is_missing() {
            // What was decided is there, but nobody can say that it is in order.
            return if step == Step::Part { Tick::Stop } else { Tick::Untouched };
        }
        match app.known().worst_of(step) {
            Some(Severity::Stop) => Tick::Stop,
            Some(Severity::Warn) => Tick::LookHere,
            _ if !touched(app, step) => Tick::Untouched,
            // What follows from a change is not known before it was looked at.
            _ if !app.knows_all() => Tick::Looking,
            _ if step == Step::Sheet => of_sheet(app),
            _ => Tick::InOrder,
        }
    }

    /// Draws the box: empty, a tick, three dots in a circle, an exclamation mark in a triangle, a bar in an octagon.
    pub fn paint(self, painter: &egui::Painter, centre: Pos2, look: &Look) {
        let r = 8.0;
        let shape = |n: usize, turn: f32, size: f32| -> Vec<Pos2> {
            (0..n)
                .map(|i| {
                    let a = turn + std::f32::consts::TAU * i as f32 / n as f32;
                    centre + size * vec2(a.cos(), a.sin())
                })
                .collect()
        };
        let square = Rect::from_center_size(centre, vec2(2.0 * r - 1.0, 2.0 * r - 1.0));
        match self {
            Tick::Untouched => {
                painter.rect(square, 2.0, look.card, Stroke::new(1.3, look.quiet), StrokeKind::Inside);
            }
            Tick::InOrder => {
                painter.rect(square, 2.0, look.card, Stroke::new(1.3, look.good), StrokeKind::Inside);
                let points = vec![centre + vec2(-4.5, 0.3), centre + vec2(-1.4, 3.8), centre + vec2(5.0, -4.6)];
                painter.add(egui::Shape::line(points, Stroke::new(2.2, look.good)));
            }
            Tick::Looking => {
                painter.circle(centre, r - 0.5, look.card, Stroke::new(1.3, look.quiet));
                for x in [-3.6, 0.0, 3.6] {
                    painter.circle_filled(centre + vec2(x, 0.0), 1.2, look.quiet);
                }
            }
            Tick::LookHere => {
                let turn = -std::f32::consts::FRAC_PI_2;
                let points = shape(3, turn, r * 1.2);
                let points = points.into_iter().map(|p| p + vec2(0.0, 1.5)).collect();
                painter.add(egui::Shape::convex_polygon(points, Color32::TRANSPARENT, Stroke::new(1.8, look.warn)));
                painter.line_segment([centre + vec2(0.0, -2.8), centre + vec2(0.0, 2.2)], Stroke::new(1.8, look.warn));
                painter.circle_filled(centre + vec2(0.0, 4.6), 1.1, look.warn);
            }
            Tick::Stop => {
                let points = shape(8, std::f32::consts::FRAC_PI_8, r * 1.1);
                painter.add(egui::Shape::convex_polygon(points, look.stop, Stroke::NONE));
                painter.line_segment([centre - vec2(4.5, 0.0), centre + vec2(4.5, 0.0)], Stroke::new(2.6, look.card));
            }
        }
    }
}

/// The state of a sheet that has a revision: in order only where it tells what was issued.
fn of_sheet(app: &App) -> Tick {
    match &app.known().since_issue {
        SinceIssue::Same => Tick::InOrder,
        SinceIssue::Changed(_) => Tick::LookHere,
        SinceIssue::NoRecord => Tick::Untouched,
    }
}

/// True where something was decided at a step.
fn touched(app: &App, step: Step) -> bool {
    let Some(plan) = app.plan() else { return false };
    match step {
        Step::Part => app.known().has_part(),
        Step::Hang => plan.hang != Default::default(),
        Step::Parting => plan.parting != Default::default(),
        Step::Feed => !plan.feed.gates.is_empty(),
        Step::Vents => !plan.vents.is_empty(),
        Step::Inserts => !plan.inserts.is_empty(),
        Step::Block => app.known().has_part(),
        Step::Casting => plan.materials.resin.is_some() || plan.quantity != Default::default() || !plan.log.is_empty(),
        Step::Sheet => plan.revision > 0,
    }
}

fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => format!("No {many}"),
        1 => format!("1 {one}"),
        _ => format!("{n} {many}"),
    }
}

/// What a step holds, in a few words.
pub fn holds(app: &App, step: Step) -> String {
    let Some(plan) = app.plan() else { return String::new() };
    let known = app.known();
    let facts = known.facts.as_deref();
    match step {
        Step::Part => match (facts, &known.trouble) {
            (Some(f), _) if plan.parts.len() > 1 => {
                let solid: f64 = f.setting.placed.loaded.iter().map(|l| l.check.measures.volume_mm3.abs()).sum();
                let kinds: Vec<String> =
                    plan.kinds().iter().map(|k| crate::sheet::words::so_many(k.a_shot(), &k.name)).collect();
                format!("{}, {}", kinds.join(", "), volume(solid))
            }
            (Some(f), _) => {
                let s = known
                    .part_bounds
                    .iter()
                    .take(known.plan.parts.len())
                    .copied()
                    .fold(Bounds::EMPTY, Bounds::union)
                    .size();
                let solid: f64 = f.setting.placed.loaded.iter().map(|l| l.check.measures.volume_mm3.abs()).sum();
                format!("{:.0} × {:.0} × {:.0} mm, {}", s.x, s.y, s.z, volume(solid))
            }
            (None, Some(_)) => "Could not be read".into(),
            (None, None) => "Reading…".into(),
        },
        Step::Hang => hang_words(plan.hang.rubber, plan.hang.cast),
        Step::Parting => match facts.and_then(|f| f.parting.as_ref()) {
            Some(p) => {
                let shut = p.loops.iter().filter(|l| l.kind == LoopKind::ShutOff).count();
                let mut words = count(p.loops.len() - shut, "line", "lines");
                if shut > 0 {
                    words += &format!(", {}", count(shut, "shut-off", "shut-offs"));
                }
                let undercuts = facts.and_then(|f| f.release.as_ref()).map_or(0, |r| r.undercuts.len());
                if undercuts > 0 {
                    words += &format!(", {}", count(undercuts, "undercut", "undercuts"));
                }
                words
            }
            None if app.part_is_missing() => "The part is not there".into(),
            None => "Working…".into(),
        },
        Step::Feed => {
            let gates = count(plan.feed.gates.len(), "gate", "gates");
            match facts.and_then(|f| f.flow.as_ref()).and_then(|f| f.longest.as_ref()) {
                Some(path) => format!("{gates}, path {:.0} mm", path.length_mm),
                None => gates,
            }
        }
        Step::Vents => {
            let vents = count(plan.vents.len(), "vent", "vents");
            match facts.and_then(|f| f.air.as_ref()) {
                Some(air) if air.worst_mm3 >= app.shop().limits.air_pocket_mm3 => {
                    format!("{vents}, {}", air_words(app, air))
                }
                Some(_) => format!("{vents}, no air to speak of stays"),
                None => vents,
            }
        }
        Step::Inserts => count(plan.inserts.len(), "insert", "inserts"),
        Step::Block => match (facts, &known.report) {
            (Some(f), report) => {
                let s = f.setting.block.size_mm;
                let rubber = report.as_ref().map(|r| format!(", {}", mass(r.silicone.mass_g)));
                format!("{:.0} × {:.0} × {:.0} mm{}", s.x, s.y, s.z, rubber.unwrap_or_default())
            }
            _ => String::new(),
        },
        Step::Casting => {
            let shot = known.report.as_ref().map(|r| format!("{} a shot, ", mass(r.resin.shot_g)));
            let wanted = if plan.parts.len() > 1 {
                format!("{} good shots", plan.good_shots())
            } else {
                format!("{} wanted", plan.quantity.good)
            };
            format!("{}{wanted}", shot.unwrap_or_default())
        }
        Step::Sheet if plan.revision == 0 => "Not issued yet".into(),
        Step::Sheet => match &known.since_issue {
            SinceIssue::Changed(_) if app.knows_all() => format!("Changed since revision {}", plan.revision),
            SinceIssue::NoRecord if app.knows_all() => format!("Revision {}, no issue on record", plan.revision),
            _ => format!("Revision {}", plan.revision),
        },
    }
}

/// Air that stays, told as it is judged: how much where that is too much, else the largest bubble with its limit.
fn air_words(app: &App, air: &AirFacts) -> String {
    let known = app.known();
    let objected = known.findings_of(Step::Vents).any(|f| f.severity != Severity::Note && f.code.starts_with("air-"));
    let piece = air.worst_piece.filter(|_| !objected && !app.hides_answers());
    match (piece, known.setting()) {
        (Some(piece), Some(setting)) => {
            let matters = Matters::of(&known.plan, &setting.frames, &app.shop().limits);
            let limit_mm = matters.bubble_mm(piece.position);
            format!("largest bubble Ø{}, limit Ø{} mm", short(piece.bubble_mm), short(limit_mm))
        }
        _ => format!("{} of air stays", volume(air.worst_mm3)),
    }
}

fn hang_words(rubber: Attitude, cast: Option<Attitude>) -> String {
    let up = rubber.up.normalize_or(glam::DVec3::Z).as_vec3();
    let tipped = if cast.is_some_and(|c| c != rubber) { ", tipped to cast" } else { "" };
    format!("Part’s {}{tipped}", direction(up))
}

/// Stage in words.
pub fn stage_name(stage: Stage) -> &'static str {
    match stage {
        Stage::Planned => "Planned",
        Stage::Poured => "Rubber poured",
        Stage::Cut => "Block cut",
        Stage::Casting => "Casting",
    }
}

/// Draws the job card.
pub fn show(app: &mut App, ui: &mut Ui) {
    let look = look(ui);
    let frame = egui::Frame::new().fill(look.card).inner_margin(egui::Margin::symmetric(0, 8));
    egui::Panel::left("job card").default_size(248.0).size_range(196.0..=340.0).frame(frame).show(ui, |ui| {
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            head(app, ui);
            ui.spacing_mut().item_spacing.y = 0.0;
            for &step in steps(app) {
                if line(app, ui, step) {
                    app.go_to(step);
                }
            }
        });
    });
    let free = !ui.ctx().text_edit_focused() && ui.memory(|m| m.focused().is_none()) && !app.is_asking();
    if free {
        let steps = steps(app);
        let at = steps.iter().position(|s| *s == app.step()).unwrap_or(0);
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::ArrowDown)) && at + 1 < steps.len() {
            app.go_to(steps[at + 1]);
        }
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::ArrowUp)) && at > 0 {
            app.go_to(steps[at - 1]);
        }
    }
}

/// The lines that are on the card now.
fn steps(app: &App) -> &'static [Step] {
    if app.practice().is_some() { &practice::STEPS } else { &Step::ALL }
}

fn head(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let (title, stage, revision) = (plan.name.clone(), plan.stage, plan.revision);
    egui::Frame::new().inner_margin(egui::Margin::symmetric(14, 2)).show(ui, |ui| {
        let quiet = look(ui).quiet;
        let head = if app.practice().is_some() { "Practice card" } else { "Job card" };
        ui.label(egui::RichText::new(head).small().color(quiet));
        let name = if title.is_empty() { "Unnamed job" } else { &title };
        ui.add(egui::Label::new(egui::RichText::new(name).heading()).wrap());
        if app.practice().is_some() {
            return;
        }
        let mut chosen = None;
        ui.horizontal(|ui| {
            let label = ui.label(egui::RichText::new("Stage").color(quiet));
            let combo = egui::ComboBox::from_id_salt("stage").width(130.0).selected_text(stage_name(stage));
            let combo = combo.show_ui(ui, |ui| {
                for one in [Stage::Planned, Stage::Poured, Stage::Cut, Stage::Casting] {
                    if ui.selectable_label(one == stage, stage_name(one)).clicked() && one != stage {
                        chosen = Some(one);
                    }
                }
            });
            combo.response.labelled_by(label.id);
        });
        if revision > 0 {
            ui.label(egui::RichText::new(format!("Revision {revision}")).color(quiet));
        }
        if let Some(stage) = chosen {
            let shop = app.shop().clone();
            app.edit(&format!("Set the stage to {}", stage_name(stage).to_lowercase()), |p| {
                p.keep_materials(&shop);
                p.stage = stage;
            });
        }
    });
    ui.add_space(6.0);
}

/// One line of the card; true where it was clicked.
fn line(app: &App, ui: &mut Ui, step: Step) -> bool {
    let look = look(ui);
    let (tick, words, open) = (Tick::of(app, step), holds(app, step), app.step() == step);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 46.0), Sense::click());
    let said = format!("{}, {}: {}", step.name(), tick.words(), words);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::ListBoxOption, true, open, said.clone()));
    let painter = ui.painter();
    if open {
        painter.rect_filled(rect, 0.0, look.chosen);
        painter.rect_filled(Rect::from_min_size(rect.min, vec2(4.0, rect.height())), 0.0, look.accent);
    } else if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 0.0, look.hovered);
    }
    painter.line_segment([rect.left_bottom(), rect.right_bottom()], Stroke::new(1.0, look.rule));
    tick.paint(painter, pos2(rect.left() + 24.0, rect.center().y), look);
    let left = rect.left() + 44.0;
    let name = FontId::new(13.5, bold());
    painter.text(pos2(left, rect.top() + 8.0), Align2::LEFT_TOP, step.name(), name, look.ink);
    let room = rect.right() - left - 8.0;
    let mut job = egui::text::LayoutJob::single_section(
        words.clone(),
        egui::TextFormat::simple(FontId::proportional(11.5), look.quiet),
    );
    job.wrap = egui::text::TextWrapping::truncate_at_width(room);
    let galley = ui.painter().layout_job(job);
    let cut_off = galley.elided;
    painter.galley(pos2(left, rect.top() + 26.0), galley, look.quiet);
    let response = if cut_off { response.on_hover_text(words) } else { response };
    response.clicked()
}
