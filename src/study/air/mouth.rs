//! Mouths: where air can leave the cavity.

use crate::plan::Plan;
use crate::solve::surface_tree::SurfaceTree;
use crate::study::job::frames::Frames;
use glam::{DVec3, Vec3};
use std::collections::HashSet;

/// How far from the surface the middle of a mouth may lie, millimetres: set here. A rod that ends farther off ends in
/// rubber, however wide it is.
const REACH_MM: f64 = 0.5;

/// What a mouth belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MouthOf {
    /// The vent with this number.
    Vent(u32),
    /// The gate with this number, where a person counts on air leaving through it.
    Gate(u32),
    /// One of a proposal's, counted from 0.
    Proposed(u32),
}

/// A round opening in the cavity wall, in `work`.
///
/// The highest point of the surface inside its circle is where air can last leave: its rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mouth {
    /// Whose it is.
    pub of: MouthOf,
    /// Centre, on the surface or near it.
    pub centre: Vec3,
    /// Outward normal of the surface there; zero where it is not known.
    pub normal: Vec3,
    /// Diameter, millimetres.
    pub diameter_mm: f64,
}

impl Mouth {
    /// The mouths that a plan gives: its vents, and gates only where the plan says that air may leave there. A gate
    /// is full of resin.
    pub fn of_plan(plan: &Plan, frames: &Frames) -> Vec<Mouth> {
        let vents = plan.vents.iter().map(|v| (MouthOf::Vent(v.number), &v.at, v.diameter_mm));
        let gates = plan.feed.gates.iter().filter(|g| g.lets_air_out);
        let gates = gates.map(|g| (MouthOf::Gate(g.number), &g.at, g.diameter_mm));
        vents
            .chain(gates)
            .map(|(of, at, diameter_mm)| Mouth {
                of,
                centre: frames.spot_in_work(at),
                normal: frames.normal_in_work(at),
                diameter_mm,
            })
            .collect()
    }

    /// True where the centre lies so near to the nearest surface, `away_mm`, that the channel opens on it.
    pub fn opens_at(away_mm: f64) -> bool {
        away_mm <= REACH_MM
    }
}

/// Where a mouth counts: the branch and the height of its rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rim {
    /// The branch of the join tree.
    pub branch: u32,
    /// Height of the rim.
    pub height: f64,
}

/// The rim of `mouth` on the surface of `tree`; none where the mouth lies off the surface.
///
/// Looks over the triangles connected to the nearest one inside the ball about the centre, on the mouth's own side of
/// a wall; the rim is their highest point inside the ball.
pub fn rim_on_surface(tree: &SurfaceTree, mouth: &Mouth) -> Option<Rim> {
    let surface = &tree.surface;
    let nearest = surface.tree.nearest(mouth.centre)?;
    let centre = nearest.point.as_dvec3();
    if !Mouth::opens_at(centre.distance(mouth.centre.as_dvec3())) {
        return None;
    }
    let own = surface.mesh.unit_normal(nearest.triangle as usize);
    let facing = if mouth.normal.dot(own) > 0.0 { mouth.normal } else { own };
    let radius = 0.5 * mouth.diameter_mm.max(0.0);
    let mut best = (centre.dot(tree.up), nearest.triangle);
    let mut seen = HashSet::from([nearest.triangle]);
    let mut open = vec![nearest.triangle];
    while let Some(t) = open.pop() {
        let corners = surface.mesh.corners_f64(t as usize);
        if let Some(height) = highest_inside(&corners, centre, radius, tree.up)
            && (height > best.0 || (height == best.0 && t < best.1))
        {
            best = (height, t);
        }
        for (k, n) in surface.neighbours(t).into_iter().enumerate() {
            let inside = distance_to_segment(centre, corners[k], corners[(k + 1) % 3]) <= radius;
            if inside && surface.mesh.unit_normal(n as usize).dot(facing) > 0.0 && seen.insert(n) {
                open.push(n);
            }
        }
    }
    let (height, triangle) = best;
    Some(Rim { branch: tree.branch_at(triangle, height), height })
}

pub(in crate::study) fn distance_to_segment(p: DVec3, a: DVec3, b: DVec3) -> f64 {
    let d = b - a;
    let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * t)
}

/// Height of the highest point of a triangle inside a ball; none where they do not meet in a corner, an edge or the
/// top of the circle in which the plane cuts the ball.
fn highest_inside(corners: &[DVec3; 3], centre: DVec3, radius: f64, up: DVec3) -> Option<f64> {
    let mut best: Option<f64> = None;
    let mut offer = |p: DVec3| best = Some(best.map_or(p.dot(up), |b: f64| b.max(p.dot(up))));
    for k in 0..3 {
        let (a, d) = (corners[k], corners[(k + 1) % 3] - corners[k]);
        // |a + t·d − centre| = radius, cut down to the edge.
        let (qa, qb, qc) = (d.length_squared(), d.dot(a - centre), (a - centre).length_squared() - radius * radius);
        let root = qb * qb - qa * qc;
        if qa > 0.0 && root >= 0.0 {
            let (from, to) = (((-qb - root.sqrt()) / qa).max(0.0), ((-qb + root.sqrt()) / qa).min(1.0));
            if from <= to {
                offer(a + d * from);
                offer(a + d * to);
            }
        }
    }
    let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]).normalize_or_zero();
    let off = (centre - corners[0]).dot(normal);
    let circle = (radius * radius - off * off).max(0.0).sqrt();
    if normal != DVec3::ZERO && off.abs() <= radius {
        let top = centre - normal * off + (up - normal * up.dot(normal)).normalize_or_zero() * circle;
        let inside = (0..3).all(|k| {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            (b - a).cross(top - a).dot(normal) >= 0.0
        });
        if inside {
            offer(top);
        }
    }
    best
}
