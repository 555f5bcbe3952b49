//! Axis-aligned boxes.

use glam::Vec3;

/// An axis-aligned box, millimetres. `min > max` where it is empty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Lowest corner.
    pub min: Vec3,
    /// Highest corner.
    pub max: Vec3,
}

impl Bounds {
    /// The box that holds nothing.
    pub const EMPTY: Bounds = Bounds { min: Vec3::INFINITY, max: Vec3::NEG_INFINITY };

    /// The smallest box round the points.
    pub fn of(points: impl IntoIterator<Item = Vec3>) -> Bounds {
        points.into_iter().fold(Bounds::EMPTY, |b, p| b.with(p))
    }

    /// This box grown to hold `p`.
    pub fn with(self, p: Vec3) -> Bounds {
        Bounds { min: self.min.min(p), max: self.max.max(p) }
    }

    /// This box grown to hold `other`.
    pub fn union(self, other: Bounds) -> Bounds {
        Bounds { min: self.min.min(other.min), max: self.max.max(other.max) }
    }

    /// True where the box holds no point.
    pub fn is_empty(&self) -> bool {
        !(self.min.x <= self.max.x && self.min.y <= self.max.y && self.min.z <= self.max.z)
    }

    /// True where the two boxes have a point in common.
    pub fn overlaps(&self, other: &Bounds) -> bool {
        (self.max.cmpge(other.min) & self.min.cmple(other.max)).all()
    }

    /// This box grown by `mm` to all sides.
    pub fn grown(self, mm: f32) -> Bounds {
        Bounds { min: self.min - mm, max: self.max + mm }
    }

    /// Edge lengths; zero for an empty box.
    pub fn size(&self) -> Vec3 {
        if self.is_empty() { Vec3::ZERO } else { self.max - self.min }
    }

    /// The middle; zero for an empty box.
    pub fn centre(&self) -> Vec3 {
        if self.is_empty() { Vec3::ZERO } else { (self.min + self.max) * 0.5 }
    }

    /// Length of the space diagonal; zero for an empty box.
    pub fn diagonal(&self) -> f32 {
        self.size().length()
    }
}
