//! The map of ways up: both halves of the sphere of directions, each as a disc of true areas, coloured by what was measured.
//!
//! Lambert's azimuthal equal-area projection (Lambert 1772): a direction at angle θ from the middle of its disc lies √2·sin(θ/2)
//! from it, so that the rim, at a right angle, is 1. Both discs have the part's X to the right and its Y upwards, the second
//! as if one looked through the first.

use crate::app::App;
use crate::app::fields::short;
use crate::app::hang_desk::Ways;
use crate::app::held::Held;
use crate::app::theme::{look, on_screen};
use crate::plan::HangWeights;
use crate::study::ways_up::{Criterion, HangSearch, Scored, words};
use crate::view::palette::{self, Scale};
use egui::{Align2, Color32, ColorImage, FontId, Pos2, Rect, Sense, Stroke, Ui, pos2, vec2};
use glam::{Vec2, Vec3};

/// Points along a disc of the picture.
const SIDE: usize = 144;
/// No direction: outside the discs.
const NONE: u16 = u16::MAX;
/// Room round the discs for the names of the axes, points.
const MARGIN: f32 = 18.0;

/// Said under the ramp.
const LESS: &str = "less is better";

/// What a coloured map was made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Painted {
    ways: Held<Ways>,
    shown: Option<Criterion>,
    weights: HangWeights,
}

/// The direction at a place of a disc, the first with Z up in its middle; none outside it.
pub fn direction_at(disc: usize, place: Vec2) -> Option<Vec3> {
    let r = place.length();
    if r > 1.0 {
        return None;
    }
    let angle = 2.0 * (r * std::f32::consts::FRAC_1_SQRT_2).asin();
    let aside = if r > 0.0 { place / r * angle.sin() } else { Vec2::ZERO };
    let up = if disc == 0 { angle.cos() } else { -angle.cos() };
    Some(Vec3::new(aside.x, aside.y, up).normalize())
}

/// The disc and the place on it where a direction lies.
pub fn place_of(direction: Vec3) -> (usize, Vec2) {
    let disc = usize::from(direction.z < 0.0);
    let angle = direction.z.abs().clamp(0.0, 1.0).acos();
    let aside = direction.truncate().normalize_or_zero();
    (disc, aside * (std::f32::consts::SQRT_2 * (angle / 2.0).sin()))
}

/// For every point of the picture, both discs side by side, the measured direction that is nearest.
pub fn nearest_of(search: &HangSearch) -> Vec<u16> {
    let mut nearest = Vec::with_capacity(2 * SIDE * SIDE);
    for row in 0..SIDE {
        for column in 0..2 * SIDE {
            let (disc, column) = (column / SIDE, column % SIDE);
            let at = |i: usize| (i as f32 + 0.5) / SIDE as f32 * 2.0 - 1.0;
            let direction = direction_at(disc, Vec2::new(at(column), -at(row)));
            nearest.push(direction.map_or(NONE, |d| search.nearest(d) as u16));
        }
    }
    nearest
}

/// The figure that the map shows of a direction.
fn figure(search: &HangSearch, way: &Scored, shown: Option<Criterion>, weights: &HangWeights) -> Option<f64> {
    match shown {
        Some(criterion) => criterion.value(&way.criteria),
        None => Some(search.total(&way.criteria, weights)),
    }
}

/// The range of the colours: from the least to where nine in ten are below, since a few very bad directions would take the
/// whole ramp. Not finite where nothing is known.
fn scale_of(figures: &[Option<f64>]) -> Scale {
    let mut known: Vec<f64> = figures.iter().flatten().copied().collect();
    known.sort_by(f64::total_cmp);
    let low = known.first().copied().unwrap_or(f64::INFINITY);
    let most = known.last().copied().unwrap_or(f64::NEG_INFINITY);
    let nine_in_ten = known.get(known.len() * 9 / 10).copied().unwrap_or(most);
    Scale { low: low as f32, high: if nine_in_ten > low { nine_in_ten } else { most } as f32 }
}

/// What the map shows, as its list says.
pub fn label(shown: Option<Criterion>) -> &'static str {
    shown.map_or("All together, in high points", Criterion::label)
}

/// The map; a click hangs the part that way.
pub fn show(app: &mut App, ui: &mut Ui, ways: &std::sync::Arc<Ways>, candidates: &[usize], holds: bool) {
    let Some(weights) = app.plan().map(|p| p.hang.weights) else { return };
    let search = &ways.search;
    let shown = app.hang_desk().shown;
    let figures: Vec<Option<f64>> = search.scored.iter().map(|w| figure(search, w, shown, &weights)).collect();
    let scale = scale_of(&figures);
    let wide = ui.available_width().min(420.0);
    let radius = ((wide - 3.0 * MARGIN) / 4.0).max(40.0);
    let (rect, response) = ui
        .allocate_exact_size(vec2(wide, 2.0 * (radius + MARGIN)), if holds { Sense::click() } else { Sense::hover() });
    let said = format!(
        "Map of ways up, {} directions, coloured by: {}. A click hangs the part that way; the list below does the same",
        search.scored.len(),
        label(shown)
    );
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, said.clone()));
    let middle = |disc: usize| {
        let side = if disc == 0 { -1.0 } else { 1.0 };
        rect.center() + vec2(side * (radius + MARGIN * 0.5), 0.0)
    };
    let texture = texture(app, ui, ways, &figures, scale, shown, weights);
    let look = look(ui);
    let painter = ui.painter();
    for disc in 0..2 {
        let place = Rect::from_center_size(middle(disc), vec2(2.0 * radius, 2.0 * radius));
        let part = Rect::from_min_max(pos2(0.5 * disc as f32, 0.0), pos2(0.5 + 0.5 * disc as f32, 1.0));
        let tint = if holds { Color32::WHITE } else { Color32::from_white_alpha(90) };
        painter.image(texture, place, part, tint);
        painter.circle_stroke(middle(disc), radius, Stroke::new(1.5, look.ink));
    }
    let at = |up: Vec3| {
        let (disc, p) = place_of(up);
        middle(disc) + vec2(p.x, -p.y) * radius
    };
    sign(painter, at(search.hung.up), None);
    for (n, i) in candidates.iter().enumerate() {
        sign(painter, at(search.scored[*i].up), Some(n + 1));
    }
    // The names stand over the signs: one at the rim would hide them.
    for disc in 0..2 {
        axes(ui.painter(), middle(disc), radius, disc, look.ink);
    }
    let most = figures.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
    ramp(ui, scale, shown, most);
    let under = |p: Pos2| {
        (0..2).find_map(|disc| {
            let off = (p - middle(disc)) / radius;
            direction_at(disc, Vec2::new(off.x, -off.y))
        })
    };
    let Some(pointed) = response.hover_pos().and_then(under).map(|d| search.nearest(d)) else { return };
    let way = search.scored[pointed];
    ui.painter().circle_stroke(at(way.up), 4.5, Stroke::new(2.0, look.ink));
    let clicked = response.clicked();
    response.on_hover_ui_at_pointer(|ui| numbers(ui, search, &way, &weights));
    if clicked {
        app.hang_as(&way);
    }
}

/// Every number of a direction.
pub fn numbers(ui: &mut Ui, search: &HangSearch, way: &Scored, weights: &HangWeights) {
    ui.label(crate::app::theme::strong(words::direction(way.up)));
    for criterion in Criterion::ALL {
        let said = criterion.value(&way.criteria).map_or("not counted".to_owned(), short);
        ui.label(format!("{}: {said}", criterion.label()));
    }
    ui.label(format!("{}: {}", label(None), short(search.total(&way.criteria, weights))));
}

/// The coloured picture, made again only where what it shows has changed.
fn texture(
    app: &mut App,
    ui: &Ui,
    ways: &std::sync::Arc<Ways>,
    figures: &[Option<f64>],
    scale: Scale,
    shown: Option<Criterion>,
    weights: HangWeights,
) -> egui::TextureId {
    let made = Painted { ways: Held::of(ways), shown, weights };
    let desk = app.hang_desk();
    if let Some((_, texture)) = desk.picture.as_ref().filter(|p| p.0 == made) {
        return texture.id();
    }
    let colours: Vec<Color32> =
        figures.iter().map(|f| f.map_or(Color32::GRAY, |f| on_screen(palette::ramp(scale.share(f as f32))))).collect();
    let colour = |i: &u16| colours.get(*i as usize).copied().unwrap_or(Color32::TRANSPARENT);
    let image = ColorImage::new([2 * SIDE, SIDE], ways.nearest.iter().map(colour).collect());
    let texture = match desk.picture.take() {
        Some((_, mut texture)) => {
            texture.set(image, egui::TextureOptions::LINEAR);
            texture
        }
        None => ui.ctx().load_texture("map of ways up", image, egui::TextureOptions::LINEAR),
    };
    let id = texture.id();
    desk.picture = Some((made, texture));
    id
}

/// The part's axes at the rim and in the middle of a disc.
fn axes(painter: &egui::Painter, middle: Pos2, radius: f32, disc: usize, ink: Color32) {
    let font = FontId::proportional(11.5);
    let rim = [
        (vec2(1.0, 0.0), Align2::LEFT_CENTER, "+X"),
        (vec2(-1.0, 0.0), Align2::RIGHT_CENTER, "−X"),
        (vec2(0.0, -1.0), Align2::CENTER_BOTTOM, "+Y"),
        (vec2(0.0, 1.0), Align2::CENTER_TOP, "−Y"),
    ];
    for (to, align, name) in rim {
        // Between the discs there is room for one name.
        if (disc == 0 && to.x > 0.0) || (disc == 1 && to.x < 0.0) {
            continue;
        }
        painter.line_segment([middle + to * radius, middle + to * (radius + 4.0)], Stroke::new(1.0, ink));
        painter.text(middle + to * (radius + 5.0), align, name, font.clone(), ink);
    }
    let name = if disc == 0 { "+Z" } else { "−Z" };
    let galley = painter.layout_no_wrap(name.to_owned(), font, ink);
    let place = middle + vec2(-radius * 0.98, -radius - MARGIN * 0.6);
    painter.galley(place, galley, ink);
}

/// A candidate's number, or the ring of how the part hangs now: light on dark, so that it shows on every colour.
fn sign(painter: &egui::Painter, at: Pos2, number: Option<usize>) {
    let (dark, light) = (Color32::from_rgb(24, 28, 34), Color32::WHITE);
    match number {
        Some(n) => {
            painter.circle(at, 7.5, light, Stroke::new(1.5, dark));
            painter.text(at, Align2::CENTER_CENTER, n.to_string(), FontId::proportional(11.0), dark);
        }
        None => {
            painter.circle_stroke(at, 10.5, Stroke::new(4.0, dark));
            painter.circle_stroke(at, 10.5, Stroke::new(2.0, light));
        }
    }
}

/// The ramp with its ends and what lies between.
fn ramp(ui: &mut Ui, scale: Scale, shown: Option<Criterion>, most: f64) {
    let look = look(ui);
    if !(scale.low.is_finite() && scale.high.is_finite()) {
        ui.label(egui::RichText::new(format!("{}: not counted", label(shown))).color(look.quiet));
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width().min(420.0), 26.0), Sense::hover());
    let bar = Rect::from_min_size(rect.min + vec2(8.0, 0.0), vec2(rect.width() - 16.0, 8.0));
    let painter = ui.painter();
    let n = 48;
    for i in 0..n {
        let left = bar.left() + bar.width() * i as f32 / n as f32;
        let piece = Rect::from_min_size(pos2(left, bar.top()), vec2(bar.width() / n as f32 + 0.5, bar.height()));
        painter.rect_filled(piece, 0.0, on_screen(palette::ramp(i as f32 / (n - 1) as f32)));
    }
    let font = FontId::proportional(11.5);
    let (low, mut high) = (short(scale.low as f64), short(scale.high as f64));
    if most as f32 > scale.high {
        high += " and more";
    }
    let wide = |words: &str| painter.layout_no_wrap(words.to_owned(), font.clone(), look.ink).size().x;
    let (aside, better) = (wide(&low).max(wide(&high)), wide(LESS));
    for (words, align, share) in [(low, Align2::LEFT_TOP, 0.0), (high, Align2::RIGHT_TOP, 1.0)] {
        let at = pos2(bar.left() + bar.width() * share, bar.bottom() + 2.0);
        painter.text(at, align, words, font.clone(), look.ink);
    }
    if 2.0 * aside + better + 16.0 < bar.width() {
        let middle = pos2(bar.center().x, bar.bottom() + 2.0);
        painter.text(middle, Align2::CENTER_TOP, LESS, font, look.quiet);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_very_bad_directions_do_not_take_the_whole_ramp() {
        let mut figures: Vec<Option<f64>> = (0..100).map(|i| Some(i as f64 / 100.0)).collect();
        figures.extend([Some(50.0), None, Some(60.0)]);
        let scale = scale_of(&figures);
        assert!(scale.low == 0.0 && scale.high < 1.0 && scale.high > 0.85, "{scale:?}");
        assert!(!scale_of(&[None]).low.is_finite());
        // One that stands out among equals is still seen.
        let one = scale_of(&[
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(2.0),
            Some(9.0),
        ]);
        assert_eq!((one.low, one.high), (2.0, 9.0));
    }

    #[test]
    fn places_and_directions_are_each_others() {
        for (x, y, z) in [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.2), (-0.3, 0.8, -0.5), (0.1, -0.2, -0.9)] {
            let d = Vec3::new(x, y, z).normalize();
            let (disc, place) = place_of(d);
            let back = direction_at(disc, place).expect("on the disc");
            assert!(back.distance(d) < 1e-5, "{d} / {back}");
        }
        assert_eq!(direction_at(0, Vec2::new(0.8, 0.8)), None);
        assert!(direction_at(0, Vec2::X).expect("on the rim").distance(Vec3::X) < 1e-6);
    }

    /// Equal areas: a cap of half the hemisphere's area, 60° wide, fills half of the disc: its rim at √½.
    #[test]
    fn areas_are_true() {
        let (disc, place) = place_of(Vec3::new(60f32.to_radians().sin(), 0.0, 60f32.to_radians().cos()));
        assert!(disc == 0 && (place.x - 0.5f32.sqrt()).abs() < 1e-6, "{place}");
    }
}
