//! The legend: what the colours and signs of the view mean, only for what is on.

use super::sight::Colouring;
use super::{Situation, extent, fill_marks, scenery};
use crate::app::theme::{look, on_screen};
use crate::study::findings::Step;
use crate::study::parting::loop_kind::LoopKind;
use crate::view::palette::{self, Colour, Scale};
use crate::view::scene::{Mark, Paint, Pattern, Scene, Shape, Solid};
use egui::{Align2, Color32, FontId, Rect, Stroke, pos2, vec2};

/// A sign with its words.
enum Entry {
    Patch(Colour, &'static str),
    Line(bool, &'static str),
    Hatch(&'static str),
    Stipple(Colour, &'static str),
    Ramp(Scale, &'static str),
}

const ROW: f32 = 19.0;

/// What the view shows.
pub struct Seen<'a> {
    /// How the part is coloured.
    pub colouring: Colouring,
    /// The scene, once there is one.
    pub scene: Option<&'a Scene>,
    /// The range of wall thickness on the ramp.
    pub walls: Option<Scale>,
    /// True where the legend stands in the upper left corner.
    pub at_left: bool,
}

/// Draws the legend in an upper corner of the view, and says what room it took.
pub fn show(ui: &egui::Ui, rect: Rect, now: &Situation<'_>, sight: &Seen<'_>) -> Option<Rect> {
    let entries = entries(now, sight);
    if entries.is_empty() {
        return None;
    }
    let look = look(ui);
    let font = FontId::proportional(11.5);
    let words = |e: &Entry| match e {
        Entry::Patch(_, w) | Entry::Line(_, w) | Entry::Hatch(w) | Entry::Stipple(_, w) | Entry::Ramp(_, w) => {
            (*w).to_owned()
        }
    };
    let galleys: Vec<_> =
        entries.iter().map(|e| ui.painter().layout_no_wrap(words(e), font.clone(), look.ink)).collect();
    let wide = galleys.iter().map(|g| g.size().x).fold(0.0, f32::max).max(150.0) + 46.0;
    let tall: f32 = entries.iter().map(height).sum::<f32>() + 10.0;
    let place = match sight.at_left {
        true => Align2::LEFT_TOP.anchor_size(rect.left_top() + vec2(10.0, 10.0), vec2(wide, tall)),
        false => Align2::RIGHT_TOP.anchor_size(rect.right_top() + vec2(-10.0, 10.0), vec2(wide, tall)),
    };
    if !rect.contains_rect(place) {
        return None;
    }
    // It is told to those who do not see it, and takes no click or drag from the view.
    let told = ui.interact(place, ui.scope_id().with("legend"), egui::Sense::hover());
    let all = entries.iter().map(words).collect::<Vec<_>>().join("; ");
    told.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, format!("Legend: {all}")));
    let painter = ui.painter();
    let edge = Stroke::new(1.0, look.rule);
    painter.rect(place, 5.0, look.card.gamma_multiply(0.92), edge, egui::StrokeKind::Inside);
    let mut y = place.top() + 5.0;
    for (entry, galley) in entries.iter().zip(galleys) {
        let mid = y + ROW * 0.5;
        let sign = Rect::from_center_size(pos2(place.left() + 20.0, mid), vec2(22.0, 11.0));
        let dark = Color32::from_rgb(24, 28, 34);
        match entry {
            Entry::Patch(colour, _) => {
                painter.rect(sign, 2.0, on_screen(*colour), Stroke::new(1.0, dark), egui::StrokeKind::Inside);
            }
            Entry::Line(dashed, _) => {
                let pieces: &[(f32, f32)] = if *dashed { &[(0.0, 0.4), (0.6, 1.0)] } else { &[(0.0, 1.0)] };
                for (a, b) in pieces {
                    let x = |t: f32| sign.left() + sign.width() * t;
                    let ends = [pos2(x(*a), mid), pos2(x(*b), mid)];
                    painter.line_segment(ends, Stroke::new(5.0, dark));
                    painter.line_segment(ends, Stroke::new(2.0, on_screen(palette::LINE_LIGHT)));
                }
            }
            Entry::Hatch(_) => {
                painter.rect(sign, 2.0, look.field, Stroke::new(1.0, dark), egui::StrokeKind::Inside);
                for i in 0..5 {
                    let x = sign.left() + 2.0 + i as f32 * 5.0;
                    let ends = [pos2(x, sign.bottom() - 1.0), pos2((x + 7.0).min(sign.right()), sign.top() + 1.0)];
                    painter.line_segment(ends, Stroke::new(1.2, dark));
                }
            }
            Entry::Stipple(colour, _) => {
                painter.rect(sign, 2.0, look.field, Stroke::new(1.0, dark), egui::StrokeKind::Inside);
                for i in 0..8 {
                    let (x, y) = (3.5 + i as f32 * 2.2, if i % 2 == 0 { 3.5 } else { 7.5 });
                    painter.circle_filled(sign.min + vec2(x, y), 1.2, on_screen(*colour));
                }
            }
            Entry::Ramp(scale, _) => {
                let bar = Rect::from_min_size(pos2(place.left() + 9.0, y + ROW), vec2(place.width() - 18.0, 9.0));
                let n = 40;
                for i in 0..n {
                    let left = bar.left() + bar.width() * i as f32 / n as f32;
                    let piece = Rect::from_min_size(pos2(left, bar.top()), vec2(bar.width() / n as f32 + 0.5, 9.0));
                    painter.rect_filled(piece, 0.0, on_screen(palette::ramp(i as f32 / (n - 1) as f32)));
                }
                for mark in scale.marks(5) {
                    let x = bar.left() + bar.width() * scale.share(mark);
                    let foot = pos2(x, bar.bottom() + 1.0);
                    painter.line_segment([pos2(x, bar.top()), foot], Stroke::new(1.0, dark));
                    let align = match scale.share(mark) {
                        s if s < 0.06 => Align2::LEFT_TOP,
                        s if s > 0.94 => Align2::RIGHT_TOP,
                        _ => Align2::CENTER_TOP,
                    };
                    painter.text(foot, align, crate::app::fields::short(mark as f64), font.clone(), look.ink);
                }
            }
        }
        let x = if matches!(entry, Entry::Ramp(..)) { place.left() + 9.0 } else { place.left() + 38.0 };
        painter.galley(pos2(x, mid - galley.size().y * 0.5), galley, look.ink);
        y += height(entry);
    }
    Some(place)
}

fn height(entry: &Entry) -> f32 {
    if matches!(entry, Entry::Ramp(..)) { ROW + 28.0 } else { ROW }
}

fn entries(now: &Situation<'_>, seen: &Seen<'_>) -> Vec<Entry> {
    let mut entries = Vec::new();
    let (colouring, scene) = (seen.colouring, seen.scene);
    let (Some(facts), Some(scene)) = (now.known.facts.as_deref(), scene) else { return entries };
    let ramp = |words| {
        scene.surfaces.iter().find_map(|s| match &s.paint {
            Paint::PerVertex { scale, .. } | Paint::InCells { scale, .. } => Some(Entry::Ramp(*scale, words)),
            _ => None,
        })
    };
    match colouring {
        Colouring::Halves if facts.parting.is_some() => {
            entries.push(Entry::Patch(palette::HALF_1, "Half 1, lifts off along the draw"));
            entries.push(Entry::Patch(palette::HALF_2, "Half 2"));
        }
        Colouring::Walls => entries.extend(seen.walls.map(|scale| Entry::Ramp(scale, "Wall thickness, mm"))),
        Colouring::Flow => entries.extend(ramp("From the gate along the flow, mm")),
        Colouring::Fill => {
            entries.extend(ramp("Resin comes after, s"));
            if let Some(fill) = &facts.fill {
                if !fill.knit.is_empty() {
                    entries.push(Entry::Line(true, "Knit line, where fronts meet"));
                }
                if fill_marks::closed(fill).next().is_some() {
                    entries.push(Entry::Patch(palette::TRAPPED_AIR, "Gas that resin closes round"));
                }
                if !fill.last.is_empty() {
                    entries.push(Entry::Patch(palette::LINE_DARK, "Last to fill"));
                }
            }
        }
        Colouring::Height => entries.extend(ramp("Height above the lowest point, mm")),
        _ => {}
    }
    let has_lines = !scene.lines.is_empty();
    if let Some(parting) = facts.parting.as_ref().filter(|_| has_lines)
        && (now.step == Step::Parting || now.step == Step::Block || colouring == Colouring::Halves)
    {
        let has = |kind| parting.loops.iter().any(|l| l.kind == kind);
        if has(LoopKind::Parting) {
            entries.push(Entry::Line(false, "Parting line"));
        }
        if has(LoopKind::ShutOff) {
            entries.push(Entry::Line(true, "Shut-off"));
        }
        let release = facts.release.as_ref();
        if now.step == Step::Parting && release.is_some_and(|r| !r.undercuts.is_empty()) {
            entries.push(Entry::Hatch("Undercut"));
        }
    }
    if now.step == Step::Parting && !now.plan.parting.relief_cuts.is_empty() {
        entries.push(Entry::Patch(palette::VERMILION, "Relief cut"));
    }
    if now.step == Step::Parting && !now.plan.parting.loose_pieces.is_empty() {
        entries.push(Entry::Patch(palette::BLUE, "Loose piece"));
    }
    if now.step == Step::Part && !now.plan.shown.is_empty() {
        entries.push(Entry::Patch(palette::BLUE, "Shown on the finished part"));
    }
    if let Some(second) = &now.plan.second_shot {
        let shade = scene.theme.part.mix(palette::LINE_DARK, scenery::OTHER_DARKER);
        let hard = second.makes == crate::plan::Shot::Soft;
        entries.push(Entry::Patch(shade, if hard { "Hard part" } else { "Soft part over it" }));
        if now.step == Step::Part {
            entries.push(Entry::Patch(palette::CONTACT, "Contact area, bonds"));
        }
    }
    let channels = extent::draws_channels(now.step);
    if channels && !now.plan.feed.gates.is_empty() {
        entries.push(Entry::Patch(palette::FEED, "Gate and feed"));
    }
    if channels && !now.plan.vents.is_empty() {
        entries.push(Entry::Patch(palette::VENT, "Vent"));
    }
    if !now.plan.inserts.is_empty() {
        entries.push(Entry::Patch(palette::INSERT, "Insert"));
    }
    if now.level.is_some() {
        entries.push(Entry::Patch(palette::RESIN, "Resin so far"));
    }
    // As resin rises, air is told of once it is drawn.
    let of_air = |m: &Mark| m.pattern == Pattern::Fill && m.colour == palette::TRAPPED_AIR;
    let body_of_air = |s: &Solid| s.colour == palette::TRAPPED_AIR && matches!(s.shape, Shape::Mesh { .. });
    if scene.solids.iter().any(body_of_air) || scene.surfaces.iter().any(|s| s.marks.iter().any(of_air)) {
        entries.push(Entry::Patch(palette::TRAPPED_AIR, "Air that stays"));
    }
    let stippled =
        |m: &Mark| m.pattern == Pattern::Stipple && m.triangles.as_ref().is_some_and(|t| t.iter().any(|&on| on));
    if scene.surfaces.iter().any(|s| s.marks.iter().any(stippled)) {
        entries.push(Entry::Stipple(palette::TRAPPED_AIR, "Near-level ceiling, bubbles stay"));
    }
    if now.step == Step::Feed
        && facts.flow.as_ref().is_some_and(|f| f.longest.is_some())
        && colouring != Colouring::Flow
    {
        let high = facts.flow.as_ref().and_then(|f| f.longest.as_ref()).map_or(1.0, |l| l.length_mm as f32);
        entries.push(Entry::Ramp(Scale { low: 0.0, high }, "Longest flow path, mm"));
    }
    entries
}
