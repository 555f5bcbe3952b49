//! Tags of placed things and where they stand round a view.
//!
//! A tag is a round balloon with the thing's number. Print has no colours, so kinds differ by form: a gate is a black
//! disc with a white number, a vent a white disc, an insert a white disc in a square.

use super::page::{Anchor, Area, Item, Pen, Shade, Text};
use glam::Vec2;

/// Kind of a placed thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TagKind {
    /// Where resin comes in.
    Gate,
    /// Where air goes out.
    Vent,
    /// What is moulded in.
    Insert,
}

/// Kind and number of a placed thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tag {
    /// Kind.
    pub kind: TagKind,
    /// Number on card and sheet.
    pub number: u32,
}

/// Radius of a balloon, millimetres.
pub const RADIUS_MM: f32 = 2.9;
/// From balloon to balloon, and from ring to ring of balloons, millimetres.
pub const PITCH_MM: f32 = 6.8;

/// The form of a kind, without a number.
pub fn symbol(kind: TagKind, centre: Vec2, radius_mm: f32) -> Vec<Item> {
    let pen = Pen { width_mm: 0.35, ..Pen::NARROW };
    let fill = if kind == TagKind::Gate { Shade::BLACK } else { Shade::WHITE };
    let mut items = Vec::new();
    if kind == TagKind::Insert {
        items.push(Item::Rect {
            area: Area::at(centre - radius_mm, Vec2::splat(2.0 * radius_mm)),
            pen: Some(pen),
            fill: Some(Shade::TINT),
        });
    }
    items.push(Item::Circle { centre, radius_mm, pen: Some(pen), fill: Some(fill) });
    items
}

/// The tag drawn at `centre`.
pub fn drawn(tag: Tag, centre: Vec2) -> Vec<Item> {
    let mut items = symbol(tag.kind, centre, RADIUS_MM);
    let ink = if tag.kind == TagKind::Gate { Shade::WHITE } else { Shade::BLACK };
    let number = tag.number.to_string();
    let height = match number.len() {
        1 | 2 => 2.5,
        3 => 1.8,
        _ => 0.9,
    };
    items.push(Item::Text(
        Text::new(centre + Vec2::new(0.0, height * 0.5), number, height).bold().anchored(Anchor::Middle).shaded(ink),
    ));
    items
}

/// Places a balloon for each of the feet (points on the page) on rings round `round`, near its foot, no two on one place
/// and no two leaders crossing. `free` says where a balloon may stand; a place that is not free is left out. Returns the
/// centres in the order of the feet; `None` for a foot that found no place within eight rings.
pub fn placed(feet: &[Vec2], round: Area, free: impl Fn(Area) -> bool) -> Vec<Option<Vec2>> {
    let mut slots = Vec::new();
    for ring in 0..8 {
        slots.extend(ring_of(round.grown(PITCH_MM * (ring as f32 + 1.0))).into_iter().filter(|&s| {
            let room = Area::at(s - RADIUS_MM, Vec2::splat(2.0 * RADIUS_MM)).grown(0.3);
            free(room)
        }));
        // Some places more than are needed, so that none is forced far away.
        if slots.len() >= feet.len() * 2 + 8 {
            break;
        }
    }
    let mut taken = vec![false; slots.len()];
    let mut place: Vec<Option<usize>> = vec![None; feet.len()];
    // The foot nearest to any free place goes first.
    let mut order: Vec<usize> = (0..feet.len()).collect();
    let rim = |p: Vec2| (p.x - round.min.x).min(round.max.x - p.x).min(p.y - round.min.y).min(round.max.y - p.y);
    order.sort_by(|&a, &b| rim(feet[a]).total_cmp(&rim(feet[b])).then(a.cmp(&b)));
    for foot in order {
        let best = (0..slots.len())
            .filter(|&s| !taken[s])
            .min_by(|&a, &b| slots[a].distance(feet[foot]).total_cmp(&slots[b].distance(feet[foot])));
        if let Some(s) = best {
            taken[s] = true;
            place[foot] = Some(s);
        }
    }
    // Crossed leaders are longer than uncrossed ones, so that exchanging shortens the sum and comes to an end.
    let mut changed = true;
    let mut rounds = 0;
    while changed && rounds < 200 {
        changed = false;
        rounds += 1;
        for i in 0..feet.len() {
            for j in i + 1..feet.len() {
                let (Some(a), Some(b)) = (place[i], place[j]) else { continue };
                let far = |s: usize, f: usize| slots[s].as_dvec2().distance(feet[f].as_dvec2());
                let (now, other) = (far(a, i) + far(b, j), far(b, i) + far(a, j));
                if other < now - 1e-6 {
                    (place[i], place[j]) = (Some(b), Some(a));
                    changed = true;
                }
            }
        }
    }
    place.into_iter().map(|p| p.map(|s| slots[s])).collect()
}

/// Places along the four sides of a rectangle, a pitch apart.
fn ring_of(area: Area) -> Vec<Vec2> {
    let size = area.size();
    let corners = [area.min, Vec2::new(area.max.x, area.min.y), area.max, Vec2::new(area.min.x, area.max.y)];
    let mut out = Vec::new();
    for side in 0..4 {
        let (from, to) = (corners[side], corners[(side + 1) % 4]);
        let length = if side % 2 == 0 { size.x } else { size.y };
        let count = ((length / PITCH_MM) as usize).clamp(1, 200);
        out.extend((0..count).map(|k| from.lerp(to, k as f32 / count as f32)));
    }
    out
}
