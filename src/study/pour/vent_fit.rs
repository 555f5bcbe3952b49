//! Where a vent fits: how wide it may be in its wall, and whether its rod goes straight up.
//!
//! Its stalk is cut off every cast, and one nearly as thick as the wall leaves a hole or a sink.

use crate::mesh::tree::Tree;
use crate::shop::Limits;
use crate::study::job::body::Body;
use crate::study::job::thickness::Thickness;
use crate::study::parting::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use glam::Vec3;

/// Thinnest vent that is still made with a rod, millimetres: common practice, no source.
pub const THINNEST_VENT_MM: f64 = 0.8;
/// A peak so near to the line is let off through the parting face, millimetres: common practice, no source.
pub const NEAR_LINE_MM: f32 = 1.0;
/// A rod has left its own mouth this far on, as a share of its diameter and at least so many millimetres.
const LEFT_SHARE: f32 = 0.5;
const LEFT_MM: f32 = 0.3;
/// Rays round the edge of a rod, and how far out they stand as a share of its radius.
const RAYS: usize = 8;
const OUT: f32 = 0.9;

/// The narrowest wall at `at`, whichever way it runs: down under a top, sideways in a rim, a rib or a fin. Millimetres;
/// infinite where it is not known.
pub fn wall_mm(body: &Body, walls: &Thickness, at: Vec3) -> f64 {
    let narrowest = walls.narrowest_mm(at);
    if narrowest.is_finite() {
        return f64::from(narrowest);
    }
    let triangle = body.tree.nearest(at).map(|n| n.triangle as usize);
    let wall = triangle.and_then(|t| walls.of_triangle_mm.get(t)).copied();
    wall.filter(|w| w.is_finite()).map_or(f64::INFINITY, f64::from)
}

/// The widest vent that a wall takes, millimetres; narrower than [`THINNEST_VENT_MM`] where no rod will do.
pub fn widest_mm(wall_mm: f64, limits: &Limits) -> f64 {
    limits.vent_wall_share * wall_mm
}

/// In whole tenths of a millimetre as rods come, not more than it is but for what no rod shows.
pub fn tenths(mm: f64) -> f64 {
    if mm.is_finite() { (mm * 10.0 + 0.01).floor() / 10.0 } else { mm }
}

/// True where a rod that wide, straight up from `at`, would go through the part; `tree` is of the part.
pub fn is_covered(tree: &Tree, at: Vec3, up: Vec3, diameter_mm: f64) -> bool {
    let radius = 0.5 * diameter_mm as f32;
    let left = (2.0 * radius * LEFT_SHARE).max(LEFT_MM);
    let (u, v) = crate::mesh::solids::frame_square_to(up);
    let around = (0..RAYS).map(|k| {
        let (s, c) = (std::f32::consts::TAU * k as f32 / RAYS as f32).sin_cos();
        (u * c + v * s) * radius * OUT
    });
    let mut hits = Vec::new();
    std::iter::once(Vec3::ZERO).chain(around).any(|aside| {
        hits.clear();
        tree.all_hits(at + aside, up, f32::INFINITY, &mut hits);
        hits.iter().any(|hit| hit.entering && hit.t > left)
    })
}

/// The point of a parting line nearest to `at`.
pub fn nearest_on_line(parting: &PartingFacts, at: Vec3) -> Option<Vec3> {
    let lines = parting.loops.iter().zip(&parting.lines).filter(|(l, _)| l.kind == LoopKind::Parting);
    let near = lines.filter_map(|(_, line)| nearest_on(&line.points, line.closed, at));
    near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
}

/// The point of a line nearest to `at`.
fn nearest_on(points: &[Vec3], closed: bool, at: Vec3) -> Option<Vec3> {
    let n = points.len();
    let spans = (0..n).filter(|i| closed || i + 1 < n).map(|i| (points[i], points[(i + 1) % n]));
    let on = spans.map(|(a, b)| {
        let t = ((at - a).dot(b - a) / (b - a).length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
        a + (b - a) * t
    });
    on.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
}

/// A cut that lies flatter than this does not lead a groove up to the top of the block (sine of the angle between draw
/// and up).
const UPRIGHT_CUT: f32 = 0.5;

/// True where the cut stands upright enough to lead a groove up to the top of the block.
pub fn leads_up(parting: &PartingFacts, up: Vec3) -> bool {
    parting.draw.dot(up).abs() <= UPRIGHT_CUT
}
