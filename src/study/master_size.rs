//! Places and lengths on the master, where it is made larger than the mesh: box, rods, tape and templates belong to it.
//!
//! All geometry is at the size of the mesh. The master hangs in the same place: it is taken to grow about the middle of the
//! box and from the lowest level of parts and runners. What ends at the top of the block ends there however large the master
//! is.

use super::channels::{Channel, Rod};
use super::frames::Frames;
use glam::DVec3;

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
}

impl MasterSize {
    /// A point of the box on the master.
    pub fn point(&self, in_box: DVec3) -> DVec3 {
        let foot = DVec3::new(0.0, 0.0, self.below_mm);
        let grown = foot + (in_box - foot) * self.factor;
        if (in_box.z - self.top_mm).abs() < AT_TOP_MM { grown.with_z(in_box.z) } else { grown }
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
