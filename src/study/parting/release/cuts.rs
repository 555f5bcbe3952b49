//! Relief cuts: further cuts into the rubber that open an undercut.

use super::range::range;
use glam::Vec3;

/// Points laid along a cut, millimetres apart.
const STEP_MM: f32 = 0.5;
/// Most points laid along one cut.
const MOST: usize = 4000;

/// A relief cut in `work`.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefCut {
    /// Name on card and sheet.
    pub name: String,
    /// Points along the cut on the part's surface.
    pub points: Vec<Vec3>,
    /// Outward normals there, one a point: the blade goes in along them.
    pub normals: Vec<Vec3>,
    /// Depth into the rubber, millimetres.
    pub depth_mm: f64,
}

impl ReliefCut {
    /// Length along the part, millimetres.
    pub fn length_mm(&self) -> f64 {
        self.points.windows(2).map(|w| w[0].distance(w[1]) as f64).sum()
    }

    /// Extent along a direction, millimetres.
    pub fn extent_along(&self, direction: Vec3) -> f64 {
        let (low, high) = range(self.points.iter().map(|p| p.dot(direction)));
        f64::from((high - low).max(0.0))
    }

    /// Area of one of its sides, mm²: the strip between the part and the blade's edge.
    pub fn area_mm2(&self) -> f64 {
        let deep = |i: usize| self.points[i] + self.normals[i].normalize_or_zero() * self.depth_mm as f32;
        (1..self.points.len())
            .map(|i| {
                let (a, b, c, d) = (self.points[i - 1], self.points[i], deep(i), deep(i - 1));
                (0.5 * ((b - a).cross(c - a).length() + (c - a).cross(d - a).length())) as f64
            })
            .sum()
    }

    /// Points spread evenly along it.
    pub fn along(&self) -> Vec<Vec3> {
        let step = STEP_MM.max(self.length_mm() as f32 / MOST as f32);
        let mut all: Vec<Vec3> = self.points.first().copied().into_iter().collect();
        for w in self.points.windows(2) {
            let n = (w[0].distance(w[1]) / step).ceil().max(1.0) as usize;
            all.extend((1..=n).map(|i| w[0].lerp(w[1], i as f32 / n as f32)));
        }
        all
    }
}
