//! Where everything of a plan stands.

use crate::mesh::Bounds;
use crate::plan::Plan;
use crate::study::job::block::Block;
use crate::study::job::channels::Channels;
use crate::study::job::frames::Frames;
use crate::study::job::insert_shapes::InsertShape;
use crate::study::job::master_size::MasterSize;
use crate::study::job::other_shot::Other;
use crate::study::job::placed::Placed;
use glam::Vec3;
use std::sync::Arc;

/// What follows from a plan at once: where everything stands.
#[derive(Clone, Debug)]
pub struct Setting {
    /// The parts, read and placed.
    pub placed: Arc<Placed>,
    /// The box round each part with the axes of the box, about the origin of `work`.
    pub upright: Arc<Vec<Bounds>>,
    /// The frames of the job.
    pub frames: Arc<Frames>,
    /// The block.
    pub block: Block,
    /// Vents and gates as rods.
    pub channels: Arc<Channels>,
    /// Inserts as solids.
    pub inserts: Arc<Vec<InsertShape>>,
    /// The other shot's part, or why it cannot be read; none where there is one shot.
    pub other: Option<Result<Arc<Other>, String>>,
}

/// A point so near to a box counts as on it, millimetres.
const ON_BOX_MM: f32 = 0.01;

impl Setting {
    /// The size of the master of `plan`.
    pub fn master_size(&self, plan: &Plan) -> MasterSize {
        let (factor, block) = (plan.master_factor(), &self.block);
        let half_mm = block.size_mm.truncate() / 2.0;
        MasterSize { factor, below_mm: block.below_mm, top_mm: block.size_mm.z, half_mm }
    }

    /// The other shot's part where it is one closed surface that others can be compared with.
    pub fn other_whole(&self) -> Option<&Arc<Other>> {
        let other = self.other.as_ref()?.as_ref().ok()?;
        other.trouble.is_none().then_some(other)
    }

    /// The part that a point in `work` lies on: the only one, else the one whose surface comes nearest.
    pub fn part_at(&self, point: Vec3) -> usize {
        let (meshes, bounds) = (&self.placed.meshes, &self.placed.bounds);
        if meshes.len() < 2 {
            return 0;
        }
        // Parts of a set stand apart, so that one box nearly always tells.
        let holds = |b: &Bounds| (point.cmpge(b.min - ON_BOX_MM) & point.cmple(b.max + ON_BOX_MM)).all();
        let mut held = (0..bounds.len()).filter(|i| holds(&bounds[*i]));
        if let (Some(only), None) = (held.next(), held.next()) {
            return only;
        }
        let distance = |i: usize| self.placed.trees[i].nearest(point).map_or(f32::INFINITY, |n| n.distance);
        (0..meshes.len()).min_by(|a, b| distance(*a).total_cmp(&distance(*b))).unwrap_or(0)
    }
}
