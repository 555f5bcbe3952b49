//! Inserts: each with a section through its pocket.

use super::balloons::{self, Tag, TagKind};
use super::drawing::{Shape, scale_for};
use super::layout::Flow;
use super::lettering::{LINE_PER_HEIGHT, heights, wrapped};
use super::page::{Area, Item, Pen, Shade, Text, Weight};
use super::setup::from_walls;
use super::words::{self, heading, inserts as say};
use super::{SheetInput, figures, section};
use crate::mesh::slice::{Plane, cut};
use crate::plan::Insert;
use crate::study::numbers::insert_figures::InsertReport;
use glam::{DVec2, DVec3, Vec2};

/// Sections on the sheet at most; a sheet is no archive.
const MOST: usize = 40;
/// Height of one insert's strip, millimetres.
const STRIP_MM: f32 = 66.0;
/// Radius of the circle that a section is drawn in, millimetres on paper.
const CIRCLE_MM: f32 = 29.0;
/// Distance of hatching lines on paper, millimetres.
const HATCH_MM: f64 = 2.0;

/// The page; nothing without inserts.
pub fn inserts(flow: &mut Flow, input: &SheetInput<'_>) {
    if input.plan.inserts.is_empty() {
        return;
    }
    flow.new_page();
    flow.heading(heading::INSERTS, STRIP_MM + 8.0);
    flow.paragraph(say::HOW_TO_READ, Weight::Regular, heights::TABLE);
    for insert in input.plan.inserts.iter().take(MOST) {
        let found = input.report.inserts.iter().find(|i| i.number == insert.number);
        let area = flow.take(STRIP_MM);
        let picture = Area::at(area.min, Vec2::splat(2.0 * CIRCLE_MM + 2.0));
        let mut items = Vec::new();
        if let Some(found) = found {
            items.extend(drawn(input, insert, found, picture));
        }
        items.extend(told(input, insert, found, area, picture.max.x + 6.0));
        let y = area.max.y - 0.5;
        let pen = Pen { shade: Shade(150), ..Pen::NARROW };
        items.push(Item::Line { from: Vec2::new(area.min.x, y), to: Vec2::new(area.max.x, y), pen });
        flow.add(items);
    }
    let more = input.plan.inserts.len().saturating_sub(MOST);
    if more > 0 {
        flow.paragraph(&say::more(more), Weight::Bold, heights::TABLE);
    }
}

/// The section through the insert's axis: resin hatched, the insert bare with a wide outline, rubber left white.
fn drawn(input: &SheetInput<'_>, insert: &Insert, found: &InsertReport, room: Area) -> Vec<Item> {
    let Some(plane) =
        Plane::along(super::templates::on_master(input, found.position_mm), DVec3::from_array(found.axis))
    else {
        return Vec::new();
    };
    let tag = Tag { kind: TagKind::Insert, number: insert.number };
    let solid = input.geometry.things.iter().find(|t| t.tag == Some(tag)).and_then(|t| match &t.shape {
        Shape::Solid(mesh) => Some(*mesh),
        Shape::Rod { .. } => None,
    });
    let part = cut(input.geometry.part, &plane);
    let own = solid.map(|m| cut(m, &plane)).unwrap_or_default();
    // As much as shows the insert and some of what is round it.
    let reach = own.iter().flatten().map(|p| p.length()).fold(insert.in_pocket_mm.max(1.0), f64::max);
    let (ratio, scale) = scale_for(CIRCLE_MM as f64 / (reach * 1.5 + 2.0));
    let radius = CIRCLE_MM as f64 / scale;
    let centre = room.centre();
    let on_page = |p: DVec2| centre + Vec2::new((p.x * scale) as f32, (-p.y * scale) as f32);
    let lines = |pieces: &[[DVec2; 2]]| -> Vec<Vec<Vec2>> {
        pieces.iter().filter_map(|p| section::in_circle(*p, radius)).map(|p| p.map(on_page).to_vec()).collect()
    };
    let mut items = Vec::new();
    let mut put = |lines: Vec<Vec<Vec2>>, pen: Pen| {
        if !lines.is_empty() {
            items.push(Item::Polylines { lines, pen });
        }
    };
    put(lines(&section::hatched(&part, &own, HATCH_MM / scale, radius)), Pen { width_mm: 0.18, ..Pen::NARROW });
    put(lines(&part), Pen { width_mm: 0.35, ..Pen::WIDE });
    put(lines(&own), Pen { width_mm: 0.7, ..Pen::WIDE });
    // The axis.
    let axis = [DVec2::new(0.0, -reach - 2.0 / scale), DVec2::new(0.0, reach + 2.0 / scale)];
    let thin = Pen { width_mm: 0.18, ..Pen::NARROW };
    put(lines(&[axis]), thin.with(super::page::Dash::LongDashDot));
    items.push(Item::Circle { centre, radius_mm: CIRCLE_MM, pen: Some(Pen::NARROW), fill: None });
    let below = Vec2::new(room.min.x, room.max.y + 4.0);
    items.push(Item::Text(Text::new(below, words::scale(&ratio), heights::TABLE)));
    items
}

/// What is written beside the section.
fn told(input: &SheetInput<'_>, insert: &Insert, found: Option<&InsertReport>, area: Area, left: f32) -> Vec<Item> {
    let mut items = balloons::drawn(
        Tag { kind: TagKind::Insert, number: insert.number },
        Vec2::new(left + balloons::RADIUS_MM, area.min.y + balloons::RADIUS_MM + 0.6),
    );
    let name = words::insert(insert.number, &insert.name);
    let x = left + 2.0 * balloons::RADIUS_MM + 2.0;
    let name = super::lettering::fitted(&name, Weight::Bold, heights::HEADING, area.max.x - x);
    items.push(Item::Text(Text::new(Vec2::new(x, area.min.y + 5.6), name, heights::HEADING).bold()));
    let mut lines = vec![
        words::insert_kind(&insert.kind),
        say::in_pocket(&figures::mm(insert.in_pocket_mm), words::pocket(insert.pocket)),
    ];
    if let Some(found) = found {
        lines.push(say::points_to(words::toward(found.axis)));
        if let (Some(gap), Some(length)) = (found.gap_mm, found.gap_length_mm) {
            lines.push(say::past_it(&figures::mm(gap), &figures::mm(length), found.gap_reach_mm.map(figures::mm)));
        }
        lines.push(say::at(&from_walls(input, found.position_mm).join(" · ")));
    }
    if let Some(half) = insert.half {
        lines.push(say::sits_in(words::half(half)));
    }
    lines.push(words::threads(insert.threads).to_owned());
    lines.push(if insert.stays { say::STAYS } else { say::PULLED }.to_owned());
    let size = heights::BODY;
    let mut y = area.min.y + 9.5;
    for line in lines.iter().flat_map(|l| wrapped(&sentence(l), Weight::Regular, size, area.max.x - left)) {
        y += size * LINE_PER_HEIGHT;
        if y > area.max.y - 2.0 {
            break;
        }
        items.push(Item::Text(Text::new(Vec2::new(left, y), line, size)));
    }
    items
}

/// With a capital at its head.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + letters.as_str())
}
