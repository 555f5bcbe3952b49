//! Places and lengths on the master, where it is made larger than the mesh: box, rods, tape and templates belong to it.
//!
//! All geometry is at the size of the mesh. The master hangs in the same place: it is taken to grow about the middle of the
//! box and from the lowest level of parts and runners. What ends at the top of the block ends there however large the master
//! is.

use super::channels::{Channel, Rod};
use super::frames::Frames;
use glam::{DVec2, DVec3};

/// So near to the top of the block a rod ends there, millimetres.
const AT_TOP_MM: f64 = 1e-3;

/// How large the master is and from where it grows, in the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MasterSize {
    /// Length of the master over that of the mesh.
    pub factor: f64,
    /// Height of the lowest level over the floor, millimetres.
    pub below_mm: f64,
    /// Height of the block, millimetres.
    pub top_mm: f64,
    /// Half the length and half the width of the block, millimetres.
    pub half_mm: DVec2,
}

impl MasterSize {
    /// A point of the box on the master.
    pub fn point(&self, in_box: DVec3) -> DVec3 {
        let foot = DVec3::new(0.0, 0.0, self.below_mm);
        let grown = foot + (in_box - foot) * self.factor;
        if (in_box.z - self.top_mm).abs() < AT_TOP_MM { grown.with_z(in_box.z) } else { grown }
    }

    /// A point of the box as paper and messages tell it: from the left wall, the front wall and the floor to the place on the
    /// master, millimetres.
    pub fn from_walls(&self, in_box: DVec3) -> DVec3 {
        self.point(in_box) + self.half_mm.extend(0.0)
    }

    /// The point of the box that is told so. What lies at the top of the block lies there on the master too.
    pub fn in_box(&self, from_walls: DVec3) -> DVec3 {
        let grown = from_walls - self.half_mm.extend(0.0);
        let foot = DVec3::new(0.0, 0.0, self.below_mm);
        let point = foot + (grown - foot) / self.factor;
        if (grown.z - self.top_mm).abs() < AT_TOP_MM { point.with_z(grown.z) } else { point }
    }

    /// Length of a rod on the master, millimetres.
    pub fn rod_mm(&self, frames: &Frames, rod: &Rod) -> f64 {
        let [from, to] = [rod.from, rod.to].map(|p| self.point(frames.point_in_box(p)));
        from.distance(to)
    }

    /// Length of all rods of a channel, millimetres.
    pub fn channel_mm(&self, frames: &Frames, channel: &Channel) -> f64 {
        channel.rods.iter().map(|rod| self.rod_mm(frames, rod)).fold(0.0, |a, b| a + b)
    }
}
