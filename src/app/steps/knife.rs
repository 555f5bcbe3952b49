//! The cut: the block drawn open, what the knife meets, and the section at a place along its way.

use crate::app::action::Action;
use crate::app::fields::{self, short};
use crate::app::{App, theme};
use crate::sheet::section::hatched;
use crate::study::parting::cut::facts::CutFacts;
use crate::study::parting::cut::through::Through;
use egui::{Color32, Pos2, Rect, Sense, Stroke, Ui, pos2, vec2};
use glam::DVec2;

/// Height of the picture through the knife, points.
const HIGH: f32 = 190.0;
/// Blank round the block in it, points.
const ROUND: f32 = 8.0;
/// Between hatching lines, points.
const HATCH: f32 = 7.0;

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let cut = app.known().facts.as_ref().and_then(|f| f.cut.clone());
    let depth = cut.as_ref().and_then(|c| c.knife_depth_mm);
    let more = depth.map_or(String::new(), |[_, most]| format!("{} mm deep at most", short(most)));
    let opened = app.open_share() > 0.0;
    fields::fold(ui, "The cut", &more, false, opened, |ui| the_cut(app, ui, cut.as_deref()));
}

fn the_cut(app: &mut App, ui: &mut Ui, cut: Option<&CutFacts>) {
    let mut open = f64::from(app.open_share()) * 100.0;
    let slider = fields::row(ui, "Open the block", |ui, label| {
        ui.add(egui::Slider::new(&mut open, 0.0..=100.0).show_value(false)).labelled_by(label)
    });
    if slider.changed() {
        app.set_open_share((open / 100.0) as f32);
    }
    crate::app::top_line::button(app, ui, Action::WriteHalves);
    if let Some(words) = app.opening_words().filter(|_| app.open_share() > 0.0) {
        fields::hint(ui, &words);
    }
    let Some(cut) = cut else { return };
    if let Some([least, most]) = cut.knife_depth_mm {
        fields::fact(ui, "Knife goes in", format!("{} to {} mm", short(least), short(most)));
    }
    if let Some((mm, _)) = cut.least_rubber {
        fields::fact(ui, "Least rubber beside it", format!("{} mm", short(mm)));
    }
    if let Some(most) = cut.hooks.iter().map(|h| h.depth_mm).reduce(f64::max) {
        fields::fact(ui, "Halves hook in by", format!("{} mm", short(most)));
    }
    if cut.surface.is_err() {
        return;
    }
    fields::fact(ui, "Keys", cut.keys.len().to_string());
    fields::fact(
        ui,
        "Tape on the master",
        format!("{} mm", short(cut.tape_mm * app.plan().map_or(1.0, |p| p.master_factor()))),
    );
    through(app, ui, cut);
}

/// The section square to the wall at a place along the knife's way.
fn through(app: &mut App, ui: &mut Ui, cut: &CutFacts) {
    fields::heading(ui, "Through the knife");
    let (mut along, length_mm) = (app.knife_at_mm(cut), cut.entry_mm());
    let slider = fields::row(ui, "Along the cut", |ui, label| {
        ui.add(egui::Slider::new(&mut along, 0.0..=length_mm).suffix(" mm").fixed_decimals(0)).labelled_by(label)
    });
    if slider.changed() {
        app.set_knife_at_mm(along);
    }
    let Some(seen) = app.through_knife() else {
        fields::hint(ui, "Looking through the knife");
        return;
    };
    let section = &seen.through.section;
    picture(ui, &seen.through);
    fields::fact(ui, "Goes in by", format!("{} wall, {} mm up", section.wall.name(), short(section.at_mm.y)));
    let end = if section.to_part { "to the part" } else { "to the cut from the next wall" };
    fields::fact(ui, "Depth", format!("{} mm, {end}", short(section.depth_mm)));
    let reach = app.shop().limits.blade_reach_mm;
    if section.depth_mm > reach {
        fields::hint(ui, &format!("The longest blade cuts {} mm deep", short(reach)));
    }
    for (name, mm) in ["Rubber left in half 1", "Rubber left in half 2"].into_iter().zip(section.rubber_mm) {
        if mm.is_finite() {
            fields::fact(ui, name, format!("{} mm", short(mm)));
        }
    }
    if let Some((i, mm)) = section.metal {
        fields::fact(ui, "Nearest metal", format!("Insert {}, {} mm", i + 1, short(mm)));
    }
}

fn picture(ui: &mut Ui, through: &Through) {
    let look = theme::look(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HIGH), Sense::hover());
    let words = format!("Section at the knife, {} mm deep", short(through.section.depth_mm));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &words));
    let Some(paper) = Paper::of(rect, through) else { return };
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, look.card);
    let lines = |pieces: &[[DVec2; 2]], width: f32, colour: Color32| {
        for p in pieces {
            painter.line_segment(p.map(|p| paper.at(p)), Stroke::new(width, colour));
        }
    };
    lines(&through.block, 1.4, look.ink);
    let none: Vec<[DVec2; 2]> = through.metal.iter().flat_map(|m| m.1.iter().copied()).collect();
    let step = f64::from(HATCH / paper.scale);
    lines(&hatched(&through.part, &none, step, paper.reach), 0.7, look.quiet);
    lines(&through.part, 1.2, look.ink);
    for (_, metal) in &through.metal {
        lines(&hatched(metal, &[], 0.4 * step, paper.reach), 0.7, look.ink);
        lines(metal, 1.2, look.ink);
    }
    for leg in through.blade.windows(2) {
        painter.line_segment([paper.at(leg[0]), paper.at(leg[1])], Stroke::new(3.0, look.accent));
    }
    if let Some(first) = through.blade.first() {
        painter.circle_filled(paper.at(*first), 4.0, look.accent);
    }
}

/// Where millimetres of the section lie on the screen.
struct Paper {
    middle: DVec2,
    centre: Pos2,
    /// Points a millimetre.
    scale: f32,
    /// Radius about the section's origin that holds everything, millimetres.
    reach: f64,
}

impl Paper {
    fn of(rect: Rect, through: &Through) -> Option<Paper> {
        let all = || through.block.iter().flatten().copied();
        let (low, high) = all().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(a, b), p| (a.min(p), b.max(p)));
        let size = high - low;
        if !(size.is_finite() && size.min_element() > 0.0) {
            return None;
        }
        let room = rect.shrink(ROUND).size();
        let scale = (f64::from(room.x) / size.x).min(f64::from(room.y) / size.y);
        let reach = all().map(|p| p.length()).fold(0.0, f64::max);
        Some(Paper { middle: 0.5 * (low + high), centre: rect.center(), scale: scale as f32, reach })
    }

    fn at(&self, p: DVec2) -> Pos2 {
        let d = (p - self.middle).as_vec2() * self.scale;
        pos2(self.centre.x + d.x, self.centre.y - d.y)
    }
}
