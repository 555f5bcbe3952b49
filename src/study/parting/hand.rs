//! Hand work on the parting: pins that the line passes through, strokes that give faces to a half or mark them shown.

use super::surface::{NONE, Surface};
use crate::plan::Half;
use glam::Vec3;
use rayon::prelude::*;

/// A pin in `work`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinPoint {
    /// Where.
    pub at: Vec3,
    /// Outward normal there.
    pub normal: Vec3,
}

/// A stroke over the surface in `work`: everything within a radius of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Points of the stroke, joined in order.
    pub points: Vec<Vec3>,
    /// Outward normals at the points, as many as there are points; triangles that face away from them are not meant.
    pub normals: Vec<Vec3>,
    /// Radius, millimetres.
    pub radius_mm: f32,
}

/// A stroke that gives faces to a half.
#[derive(Clone, Debug, PartialEq)]
pub struct HalfStroke {
    /// Which half.
    pub half: Half,
    /// Where.
    pub stroke: Stroke,
}

/// Radius round a pin within which triangles are forced, in edge lengths of the refined surface.
const PIN_EDGES: f32 = 2.5;

impl Stroke {
    /// Whether the place `at` with outward normal `normal` lies under the stroke.
    fn covers(&self, at: Vec3, normal: Vec3) -> bool {
        let near = |i: usize, j: usize| {
            let (a, b) = (self.points[i], self.points[j]);
            let ab = b - a;
            let t = if ab == Vec3::ZERO { 0.0 } else { ((at - a).dot(ab) / ab.length_squared()).clamp(0.0, 1.0) };
            let facing = |k: usize| self.normals.get(k).is_none_or(|n| n.dot(normal) > -0.1);
            (a + ab * t).distance_squared(at) <= self.radius_mm * self.radius_mm && facing(if t < 0.5 { i } else { j })
        };
        match self.points.len() {
            0 => false,
            1 => near(0, 0),
            n => (1..n).any(|i| near(i - 1, i)),
        }
    }

    /// For each triangle of the surface, whether its centroid lies under the stroke. The triangle nearest to each point
    /// of the stroke is always taken, however small the radius.
    pub fn mark(&self, surface: &Surface) -> Vec<bool> {
        let mut marked: Vec<bool> =
            (0..surface.len()).into_par_iter().map(|f| self.covers(surface.centroid[f], surface.normal[f])).collect();
        for (i, &p) in self.points.iter().enumerate() {
            if let Some(f) = nearest_triangle(surface, p, self.normals.get(i).copied().unwrap_or(Vec3::ZERO)) {
                marked[f] = true;
            }
        }
        marked
    }
}

/// The triangle nearest to a point of the surface; of equally near ones the one that faces most along `normal`, then
/// the lowest.
pub fn nearest_triangle(surface: &Surface, at: Vec3, normal: Vec3) -> Option<usize> {
    (0..surface.len())
        .into_par_iter()
        .map(|f| {
            let away = nearest_in_triangle(surface.mesh.corners(f), at).distance(at);
            // Within a hair all are equally near.
            ((away / surface.hair_mm).floor(), -surface.normal[f].dot(normal), f)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)))
        .map(|(_, _, f)| f)
}

/// The point of a triangle nearest to `p` (Ericson, Real-Time Collision Detection, 2005, 5.1.5).
pub(super) fn nearest_in_triangle([a, b, c]: [Vec3; 3], p: Vec3) -> Vec3 {
    let (ab, ac, ap) = (b - a, c - a, p - a);
    let (d1, d2) = (ab.dot(ap), ac.dot(ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return a;
    }
    let bp = p - b;
    let (d3, d4) = (ab.dot(bp), ac.dot(bp));
    if d3 >= 0.0 && d4 <= d3 {
        return b;
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        return a + ab * (d1 / (d1 - d3).max(f32::MIN_POSITIVE));
    }
    let cp = p - c;
    let (d5, d6) = (ab.dot(cp), ac.dot(cp));
    if d6 >= 0.0 && d5 <= d6 {
        return c;
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        return a + ac * (d2 / (d2 - d6).max(f32::MIN_POSITIVE));
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 {
        return b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6)).max(f32::MIN_POSITIVE));
    }
    let sum = va + vb + vc;
    if sum == 0.0 { a } else { a + ab * (vb / sum) + ac * (vc / sum) }
}

/// Forces the triangles round each pin, so that the line passes through it: those above the plane that holds the pin
/// and its normal and is square to the draw made square to the normal go to half 1, those below to half 2. Where the
/// surface lies square to the draw the plane is undecided; there half 1 is put towards the middle of the body on a top
/// face, away from it on an under-face.
pub fn force_pins(surface: &Surface, pins: &[PinPoint], draw: Vec3, forced: &mut [Option<Half>]) {
    let mut near = Vec::new();
    let mut seen = vec![false; if pins.is_empty() { 0 } else { surface.len() }];
    for pin in pins {
        let normal = pin.normal.normalize_or_zero();
        let Some(start) = nearest_triangle(surface, pin.at, normal) else { continue };
        let mut up = draw - normal * normal.dot(draw);
        if up.length() < 0.02 {
            let body = surface.body[start];
            let mut middle = glam::DVec3::ZERO;
            let mut area = 0.0;
            for f in (0..surface.len()).filter(|&f| surface.body[f] == body) {
                middle += surface.centroid[f].as_dvec3() * surface.area_mm2[f] as f64;
                area += surface.area_mm2[f] as f64;
            }
            let inward = (middle / area.max(f64::MIN_POSITIVE)).as_vec3() - pin.at;
            up = (inward - normal * normal.dot(inward)) * normal.dot(draw).signum();
        }
        // The patch of surface round the pin, not what lies near it through the wall.
        let radius = PIN_EDGES * surface.edge_mm.min(longest_edge(surface, start) * 1.5);
        near.clear();
        near.push(start as u32);
        seen[start] = true;
        let mut at = 0;
        while at < near.len() {
            let f = near[at] as usize;
            at += 1;
            for &g in &surface.across[f] {
                if g != NONE
                    && !seen[g as usize]
                    && nearest_in_triangle(surface.mesh.corners(g as usize), pin.at).distance(pin.at) <= radius
                {
                    seen[g as usize] = true;
                    near.push(g);
                }
            }
        }
        for &f in &near {
            let f = f as usize;
            seen[f] = false;
            // Faces in the plane itself, but for rounding, lie on the side that they look to: the rim of a cup belongs to
            // the half that is drawn off over it, whichever that is called.
            let over = (surface.centroid[f] - pin.at).dot(up);
            let above = if over.abs() > surface.hair_mm { over } else { surface.normal[f].dot(up) };
            forced[f] = Some(if above >= 0.0 { Half::One } else { Half::Two });
        }
    }
}

fn longest_edge(surface: &Surface, f: usize) -> f32 {
    (0..3)
        .map(|k| {
            let [a, b] = surface.ends(f, k);
            a.distance(b)
        })
        .fold(0.0, f32::max)
}

/// Gives the triangles under each stroke to its half; later strokes win.
pub fn force_marks(surface: &Surface, marks: &[HalfStroke], forced: &mut [Option<Half>]) {
    for mark in marks {
        for (f, under) in mark.stroke.mark(surface).into_iter().enumerate() {
            if under {
                forced[f] = Some(mark.half);
            }
        }
    }
}

/// For each triangle whether it is shown; empty where nothing is marked as shown.
pub fn shown(surface: &Surface, strokes: &[Stroke]) -> Vec<bool> {
    let mut shown = Vec::new();
    for stroke in strokes {
        let under = stroke.mark(surface);
        if shown.is_empty() {
            shown = under;
        } else {
            shown.iter_mut().zip(under).for_each(|(s, u)| *s |= u);
        }
    }
    shown
}
