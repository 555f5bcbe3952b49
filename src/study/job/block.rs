//! The block of rubber round the parts, and where they sit in it.

use crate::plan::BlockPlan;
use crate::shop::Limits;
use glam::DVec3;

/// Longest side of a small part and of a middling one, millimetres: what the three walls of [`Limits::wall_mm`] go by
/// (common practice, no source).
const PART_SIZES_MM: [f64; 2] = [100.0, 300.0];

/// A block of rubber as it stands while rubber is poured, Z up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Block {
    /// Length, width and height, whole millimetres.
    pub size_mm: DVec3,
    /// Rubber at the sides as asked for, mm; rounding the block up adds up to half a millimetre.
    pub wall_mm: f64,
    /// Rubber below the parts, mm.
    pub below_mm: f64,
    /// Rubber above the parts as asked for, mm; rounding the block up adds up to a millimetre.
    pub above_mm: f64,
    /// Where the middle of the block's floor lies in the frame of the parts' bounds: subtract it to come to the box.
    pub floor_middle: DVec3,
}

impl Block {
    /// The block round parts that reach from `low` to `high`, millimetres, in a frame with the axes of the box.
    ///
    /// What the plan leaves open comes from the shop: the wall by the longest side of the parts, the same below, and
    /// the shop's figure above. Sizes are rounded up to whole millimetres; the parts stay in the middle and at the
    /// asked height over the floor.
    pub fn round(low: DVec3, high: DVec3, plan: &BlockPlan, limits: &Limits) -> Block {
        let part = (high - low).max(DVec3::ZERO);
        let longest = part.max_element();
        let class = PART_SIZES_MM.iter().filter(|&&size| longest > size).count();
        let wall_mm = plan.wall_mm.unwrap_or(limits.wall_mm[class]);
        let below_mm = plan.below_mm.unwrap_or(wall_mm);
        let above_mm = plan.above_mm.unwrap_or(limits.above_mm);
        let bare = part + DVec3::new(2.0 * wall_mm, 2.0 * wall_mm, below_mm + above_mm);
        // A size that is whole but for rounding stays as it is.
        let size_mm = (bare - 1e-6).ceil();
        let middle = 0.5 * (low + high);
        let floor_middle = DVec3::new(middle.x, middle.y, low.z - below_mm);
        Block { size_mm, wall_mm, below_mm, above_mm, floor_middle }
    }

    /// Volume of the whole block, mm³.
    pub fn volume_mm3(&self) -> f64 {
        self.size_mm.x * self.size_mm.y * self.size_mm.z
    }
}
