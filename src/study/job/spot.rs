//! A place on the part as a plan keeps it.

use crate::plan::Spot;
use crate::study::job::body::Body;
use crate::study::job::setting::Setting;
use glam::Vec3;

/// The point of the plan's parts nearest to `at`, as a spot with the body's outward normal there.
pub fn spot_on_part(setting: &Setting, body: &Body, at: Vec3) -> Spot {
    let normal =
        body.tree.nearest(at).map_or(Vec3::Z, |n| body.mesh.unit_normal(n.triangle as usize).normalize_or(Vec3::Z));
    setting.frames.spot_from_work(setting.part_at(at), at, normal)
}
