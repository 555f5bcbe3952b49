//! Where the parts sit in the block, and how large the block is.

use super::block::Block;
use super::frames::{self, Frames};
use super::placed::Placed;
use crate::mesh::Bounds;
use crate::plan::Plan;
use crate::shop::Limits;
use glam::{DAffine3, DVec3, Vec3};

/// What the plan's hang and block make of the placed parts.
///
/// The block goes round parts and runners; runners count because a down-runner stands beside the part.
pub fn lay_out(placed: &Placed, plan: &Plan, limits: &Limits, upright: Bounds) -> (Frames, Block) {
    let (box_turn, cast_turn) = frames::turns(&plan.hang);
    let mut bounds = upright;
    for gate in &plan.feed.gates {
        let r = gate.runner_diameter_mm as f32 / 2.0;
        for corner in &gate.runner {
            let p = (box_turn * (*corner - placed.origin_in_set)).as_vec3();
            bounds = bounds.with(p - r).with(p + r);
        }
    }
    let inner = if bounds.is_empty() { Bounds { min: Vec3::ZERO, max: Vec3::ZERO } } else { bounds };
    let mut wanted = plan.block;
    if plan.master.stuck_to_floor {
        wanted.below_mm = Some(0.0);
    }
    // The box is built round the master: larger about the same middle, and from the same lowest level.
    let (low, high) = (inner.min.as_dvec3(), inner.max.as_dvec3());
    let grows = 0.5 * (high - low) * (plan.master_factor() - 1.0);
    let low = low - grows.with_z(0.0);
    let high = high + grows * DVec3::new(1.0, 1.0, 2.0);
    let block = Block::round(low, high, &wanted, limits);
    let frames = Frames {
        work_from_part: placed.work_from_part.clone(),
        origin_in_set: placed.origin_in_set,
        box_from_work: DAffine3::from_rotation_translation(box_turn, -block.floor_middle),
        cast_from_box: DAffine3::from_quat(cast_turn),
    };
    (frames, block)
}
