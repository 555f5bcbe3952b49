//! The frames of a job and the transforms between them.
//!
//! `part` → `set` → `work` → `box` → `cast`. `work` is `set` with an origin near the parts subtracted, so that `f32`
//! positions stay fine however far from zero the mesh was drawn. `box` has Z up as rubber is poured and its origin in the
//! middle of the block's floor; `cast` has Z up as resin is poured and turns about the same origin.

use crate::plan::{Hang, Spot};
use glam::{DAffine3, DQuat, DVec3, Vec3};

/// How far from the origin of `work` a point of the plan may come to lie along each axis, millimetres. A block is no larger;
/// what a plan puts farther off, since its mesh was moved or it was written by hand, is drawn in to here: still far off the
/// part, as the findings tell, and nowhere that lengths and cells are not made for.
pub const FARTHEST_IN_WORK_MM: f64 = 20_000.0;

fn near(point: DVec3) -> Vec3 {
    point.clamp(DVec3::splat(-FARTHEST_IN_WORK_MM), DVec3::splat(FARTHEST_IN_WORK_MM)).as_vec3()
}

/// Transforms of one job, in double precision.
#[derive(Clone, Debug, PartialEq)]
pub struct Frames {
    /// From each part's own coordinates (millimetres) to `work`, by part index.
    pub work_from_part: Vec<DAffine3>,
    /// Origin of `work` in `set`.
    pub origin_in_set: DVec3,
    /// From `work` to the box.
    pub box_from_work: DAffine3,
    /// From the box to the closed block as it stands for casting.
    pub cast_from_box: DAffine3,
}

impl Frames {
    /// A point of the plan on a part, in `work`, no farther off than [`FARTHEST_IN_WORK_MM`]; the first part's frame where the
    /// part is not there.
    pub fn spot_in_work(&self, spot: &Spot) -> Vec3 {
        near(self.work_from(spot.part).transform_point3(spot.position))
    }

    /// The outward normal of a point of the plan, in `work`.
    pub fn normal_in_work(&self, spot: &Spot) -> Vec3 {
        self.work_from(spot.part).transform_vector3(spot.normal).as_vec3().normalize_or(Vec3::Z)
    }

    /// A point and normal in `work` as a spot of the plan on part `part`.
    pub fn spot_from_work(&self, part: usize, position: Vec3, normal: Vec3) -> Spot {
        let part_from_work = self.work_from(part).inverse();
        Spot {
            part,
            position: part_from_work.transform_point3(position.as_dvec3()),
            normal: part_from_work.transform_vector3(normal.as_dvec3()).normalize_or(DVec3::Z),
        }
    }

    /// A point in `work` in a part's own coordinates, with every digit.
    pub fn part_from_work_point(&self, part: usize, point: DVec3) -> DVec3 {
        self.work_from(part).inverse().transform_point3(point)
    }

    /// A point in `set` (the corner of a runner), in `work`, no farther off than [`FARTHEST_IN_WORK_MM`].
    pub fn set_point_in_work(&self, point: DVec3) -> Vec3 {
        near(point - self.origin_in_set)
    }

    /// A point in `work` as a point in `set`.
    pub fn set_point_from_work(&self, point: Vec3) -> DVec3 {
        point.as_dvec3() + self.origin_in_set
    }

    /// A point in `work`, in the box.
    pub fn point_in_box(&self, point: Vec3) -> DVec3 {
        self.box_from_work.transform_point3(point.as_dvec3())
    }

    /// A point of the box, in `work`.
    pub fn work_from_box_point(&self, point: DVec3) -> Vec3 {
        self.box_from_work.inverse().transform_point3(point).as_vec3()
    }

    /// Up while rubber is poured, in `work`.
    pub fn rubber_up(&self) -> Vec3 {
        self.box_from_work.inverse().transform_vector3(DVec3::Z).as_vec3().normalize_or(Vec3::Z)
    }

    /// Up while resin is poured, in `work`.
    pub fn cast_up(&self) -> Vec3 {
        let cast_from_work = self.cast_from_box * self.box_from_work;
        cast_from_work.inverse().transform_vector3(DVec3::Z).as_vec3().normalize_or(Vec3::Z)
    }

    fn work_from(&self, part: usize) -> DAffine3 {
        self.work_from_part.get(part).or(self.work_from_part.first()).copied().unwrap_or(DAffine3::IDENTITY)
    }
}

/// The turns of the hang: `work` to the box's axes, and the box to the cast's axes.
pub fn turns(hang: &Hang) -> (DQuat, DQuat) {
    let box_from_set = hang.rubber.upright_from_set();
    let cast_from_set = hang.cast_attitude().upright_from_set();
    (box_from_set, cast_from_set * box_from_set.inverse())
}

/// A point of `work` in the box.
pub fn in_box(frames: &Frames, at: Vec3) -> [f64; 3] {
    frames.point_in_box(at).to_array()
}

/// A direction of `work` in the box.
pub fn direction_in_box(frames: &Frames, d: Vec3) -> [f64; 3] {
    frames.box_from_work.transform_vector3(d.as_dvec3()).to_array()
}
