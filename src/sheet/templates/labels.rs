//! Where the words of holes stand: near their hole, on nothing else.

use crate::sheet::page::Area;
use glam::Vec2;

/// Directions in which room is looked for, a quarter turn each twice halved.
const ROUND: usize = 16;
/// From ring to ring of places, millimetres.
const RING_MM: f32 = 3.0;
/// Rings that are looked at.
const RINGS: usize = 40;

/// The areas of labels of these sizes, each near the hole (middle and radius, by its place) it belongs to, inside `room`,
/// off all holes and off each other, and with leaders that cross none before. `None` where nothing is free.
pub fn placed(holes: &[(Vec2, f32)], sizes: &[Vec2], room: Area, taken: &[Area]) -> Vec<Option<Area>> {
    let mut used: Vec<Area> = taken.to_vec();
    let mut leaders: Vec<(Vec2, Vec2)> = Vec::new();
    let mut out = Vec::with_capacity(holes.len());
    for (i, (&(at, radius), &size)) in holes.iter().zip(sizes).enumerate() {
        let free = |area: Area| {
            room.holds(area, 0.0)
                && used.iter().all(|u| !u.overlaps(area.grown(0.6), 0.0))
                && holes.iter().all(|&(h, r)| !area.grown(r + 0.8).overlaps(Area { min: h, max: h }, -1e-3))
                && leaders.iter().all(|&(a, b)| !meets(area, a, b))
        };
        let mut found: Option<(Area, bool)> = None;
        'rings: for ring in 0..RINGS {
            for k in 0..ROUND {
                let turn = std::f32::consts::TAU * k as f32 / ROUND as f32;
                let out = Vec2::from_angle(turn);
                // The label's middle so far out that its border is a ring away from the hole.
                let reach = (size.x * 0.5 * out.x.abs()).max(size.y * 0.5 * out.y.abs());
                let middle = at + out * (radius + 2.5 + reach + ring as f32 * RING_MM);
                let area = Area::at(middle - size * 0.5, size);
                if !free(area) {
                    continue;
                }
                let end = leader(at, radius, area).1;
                let clear = leaders.iter().all(|&(a, b)| !cross(at, end, a, b))
                    && used.iter().all(|u| !meets(*u, at, end))
                    && holes.iter().enumerate().all(|(j, &(h, r))| j == i || distance(h, at, end) > r + 0.4);
                if clear {
                    found = Some((area, true));
                    break 'rings;
                }
                if found.is_none() {
                    found = Some((area, false));
                }
            }
        }
        if let Some((area, _)) = found {
            used.push(area);
            leaders.push(leader(at, radius, area));
        }
        out.push(found.map(|f| f.0));
    }
    out
}

/// From the rim of a hole to the nearest point of its label.
pub fn leader(at: Vec2, radius: f32, label: Area) -> (Vec2, Vec2) {
    let end = at.clamp(label.min, label.max);
    (at + (end - at).normalize_or_zero() * radius, end)
}

fn distance(p: Vec2, a: Vec2, b: Vec2) -> f32 {
    let d = b - a;
    let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * t)
}

fn cross(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).perp_dot(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// True where the segment comes into the area.
fn meets(area: Area, a: Vec2, b: Vec2) -> bool {
    let clipped = super::clip::segment(a.as_dvec2(), b.as_dvec2(), area.min.as_dvec2(), area.max.as_dvec2());
    clipped.is_some()
}
