//! Plane sections of the surface, walked from one triangle.

use super::surface::{NONE, Surface};
use glam::{DVec3, Vec3};

/// A section of the surface with a plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its points, in order, each on the edge by which the triangle beside it in `triangles` is left.
    pub points: Vec<Vec3>,
    /// The triangles that it runs through, one a point.
    pub triangles: Vec<u32>,
    /// False where it ran out into an open edge.
    pub closed: bool,
}

impl Section {
    /// Length of the edge that ends at point `i`, millimetres; the first one closes the section.
    fn step_mm(&self, i: usize) -> f32 {
        let n = self.points.len();
        self.points[i].distance(self.points[(i + n - 1) % n])
    }

    /// Length of the closed section, millimetres.
    pub fn length_mm(&self) -> f32 {
        (0..self.points.len()).map(|i| self.step_mm(i)).sum()
    }

    /// The middle of the closed section, weighted by length.
    pub fn middle(&self) -> Vec3 {
        let n = self.points.len();
        let mut sum = DVec3::ZERO;
        for i in 0..n {
            let half_way = (self.points[i] + self.points[(i + n - 1) % n]) * 0.5;
            sum += half_way.as_dvec3() * self.step_mm(i) as f64;
        }
        (sum / (self.length_mm() as f64).max(f64::MIN_POSITIVE)).as_vec3()
    }

    /// How far the surface faces the middle of the closed section, from -1 to 1: round a hole it does, round a limb of the
    /// part it faces away.
    pub fn faces_inwards(&self, surface: &Surface) -> f32 {
        let middle = self.middle();
        let faces = |i: usize| {
            let normal = surface.normal[self.triangles[i] as usize];
            normal.dot((middle - self.points[i]).normalize_or_zero()) * self.step_mm(i)
        };
        (0..self.points.len()).map(faces).sum::<f32>() / self.length_mm().max(f32::MIN_POSITIVE)
    }
}

/// The section of the surface through the middle of triangle `f` square to `away`; none where the triangle lies in that
/// plane.
pub fn section(surface: &Surface, f: u32, away: Vec3) -> Option<Section> {
    section_at(surface, f, away, surface.centroid[f as usize].dot(away))
}

/// The section of the surface through triangle `f` square to `away` at `level` along it; none where the triangle does not
/// reach that level.
pub fn section_at(surface: &Surface, f: u32, away: Vec3, level: f32) -> Option<Section> {
    let positions = &surface.mesh.positions;
    // A corner in the level counts as above it, so that each triangle is left by one edge or not met at all.
    let above = |f: usize, k: usize| positions[surface.mesh.triangles[f][k % 3] as usize].dot(away) >= level;
    let leave = |f: usize| (0..3).find(|&k| above(f, k) && !above(f, k + 1));
    let mut section = Section { points: Vec::new(), triangles: Vec::new(), closed: false };
    let mut at = f as usize;
    for _ in 0..surface.len() {
        let k = leave(at)?;
        let [a, b] = surface.ends(at, k);
        let (ha, hb) = (a.dot(away), b.dot(away));
        let t = if ha > hb { ((ha - level) / (ha - hb)).clamp(0.0, 1.0) } else { 0.5 };
        section.points.push(a + (b - a) * t);
        section.triangles.push(at as u32);
        let next = surface.across[at][k];
        if next == NONE {
            break;
        }
        if next == f {
            section.closed = true;
            break;
        }
        at = next as usize;
    }
    Some(section)
}
