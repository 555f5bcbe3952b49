//! The ring that the rubber makes round the part at one level: its girth in the neck and over the head.

use crate::mesh::tree::Tree;
use crate::study::parting::aside::{self, Way};
use crate::study::parting::section::section;
use crate::study::parting::surface::Surface;
use glam::{DVec2, Vec3};

/// Points of the ring at which the way over the head is sought.
const POINTS: usize = 96;
/// Share of the ring that must be held for it to count as closed all round.
const ALL_ROUND: f64 = 0.95;

/// A ring of rubber at one level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Girth of the part in the neck over π, millimetres: the diameter where it is round.
    pub neck_mm: f64,
    /// The same of what it has to clear.
    pub head_mm: f64,
    /// Whether it is held all round.
    pub closed_round: bool,
}

/// The ring at the level of the way `deepest`. `held` says whether a triangle is hidden from the half in question.
pub fn ring(surface: &Surface, tree: &Tree, deepest: &Way, away: Vec3, held: impl Fn(u32) -> bool) -> Option<Ring> {
    let section = section(surface, deepest.triangle, away)?;
    let n = section.points.len();
    let (mut all, mut hidden) = (0.0, 0.0);
    for i in 0..n {
        let length = section.points[i].distance(section.points[(i + n - 1) % n]) as f64;
        all += length;
        hidden += if held(section.triangles[i]) { length } else { 0.0 };
    }
    let (u, v) = crate::mesh::solids::frame_square_to(away);
    let flat = |p: Vec3| DVec2::new(p.dot(u) as f64, p.dot(v) as f64);
    let mut neck: Vec<DVec2> = section.points.iter().map(|&p| flat(p)).collect();
    let mut head = neck.clone();
    let farthest = surface.mesh.bounds().diagonal();
    let mut clear = |i: usize, direction: Vec3| {
        let f = section.triangles[i] as usize;
        let start = section.points[i] + surface.normal[f] * surface.hair_mm;
        if let Some(way) = aside::first_free(tree, start, direction, away, farthest) {
            head.push(flat(start + direction * way));
        }
    };
    // Straight off the surface, from points spread by length so that fine and coarse stretches count alike …
    let step = all / POINTS as f64;
    let mut due = 0.0;
    for i in 0..n {
        due += section.points[i].distance(section.points[(i + n - 1) % n]) as f64;
        let normal = surface.normal[section.triangles[i] as usize];
        let off = (normal - away * normal.dot(away)).normalize_or_zero();
        if held(section.triangles[i]) && off != Vec3::ZERO && (due >= step || n <= POINTS) {
            due = 0.0;
            clear(i, off);
        }
    }
    // … and from the outermost point each way, for the corners of a head over those of a neck.
    for i in 0..POINTS {
        let (s, c) = (std::f32::consts::TAU * i as f32 / POINTS as f32).sin_cos();
        let direction = u * c + v * s;
        let outermost =
            (0..n).max_by(|&a, &b| section.points[a].dot(direction).total_cmp(&section.points[b].dot(direction)));
        if let Some(p) = outermost.filter(|&p| held(section.triangles[p])) {
            clear(p, direction);
        }
    }
    let (neck, head) = (girth(&mut neck), girth(&mut head));
    Some(Ring {
        neck_mm: neck / std::f64::consts::PI,
        head_mm: head.max(neck) / std::f64::consts::PI,
        closed_round: section.closed && hidden >= ALL_ROUND * all,
    })
}

/// Length of a thread pulled taut round points in a plane: the outline of their hull (monotone chain, Andrew 1979).
pub fn girth(points: &mut Vec<DVec2>) -> f64 {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 2 {
        return 0.0;
    }
    let mut hull: Vec<DVec2> = Vec::with_capacity(points.len());
    let mut side = |list: &mut dyn Iterator<Item = &DVec2>| {
        let base = hull.len();
        for &p in list {
            while hull.len() >= base + 2
                && (hull[hull.len() - 1] - hull[hull.len() - 2]).perp_dot(p - hull[hull.len() - 2]) <= 0.0
            {
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
    };
    side(&mut points.iter());
    side(&mut points.iter().rev());
    (0..hull.len()).map(|i| hull[i].distance(hull[(i + 1) % hull.len()])).sum()
}
