//! Changes of the set: parts added, copied, moved, turned and taken out.

use super::App;
use super::asking::{Asking, Purpose};
use super::propose::Wanted;
use crate::plan::{Part, Plan, Pose};
use crate::study::job::frames;
use glam::{DQuat, DVec3};
use std::path::Path;

impl App {
    /// Puts one more of part `i` into the block, with all that lies on it, and lays the set out.
    pub fn add_copy(&mut self, i: usize) {
        if self.refuses_a_set() {
            return;
        }
        let Some(document) = &self.document else { return };
        let mut plan = document.plan().clone();
        let Some(pose) = plan.parts.get(i).map(|p| p.pose) else { return };
        plan.copy_part(i, pose);
        self.proposer.start(Wanted::AddCopy, plan, document.version());
    }

    /// Tells that a two-shot job has one part a block, where it is one.
    fn refuses_a_set(&mut self) -> bool {
        let two_shots = self.plan().is_some_and(|p| p.second_shot.is_some());
        if two_shots {
            self.tell("A two-shot job has one part a block. Take the other shot out first, or plan a block for each");
        }
        two_shots
    }

    /// Asks for a mesh that shall be cast in the same block.
    pub fn ask_for_part(&mut self) {
        if self.refuses_a_set() {
            return;
        }
        let start = self.document.as_ref().and_then(super::document::Document::folder).map(|f| f.join(""));
        self.asking = Some(Asking::file(Purpose::AddPart, start, None));
    }

    /// Puts another mesh into the block and lays the set out.
    pub fn add_part(&mut self, path: &Path) {
        let Some(document) = &self.document else { return };
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let name = path.file_stem().map_or_else(|| "Part".to_owned(), |s| s.to_string_lossy().into_owned());
        let mut plan = document.plan().clone();
        let scale = plan.parts.first().map(|p| p.scale).unwrap_or_default();
        let mesh = path.to_string_lossy().into_owned();
        plan.parts.push(Part { name, mesh, scale, ..Part::default() });
        self.proposer.start(Wanted::AddPart, plan, document.version());
    }

    /// Takes part `i` out with all that lies on it.
    pub fn take_part_out(&mut self, i: usize) {
        let Some(title) = self.plan().map(|p| p.part_title(i)) else { return };
        self.edit(&format!("Take {title} out"), |p| p.remove_part(i));
    }

    /// Where the middle of part `i` stands from that of the first, along the box, across it and up; none before its mesh is
    /// read.
    pub fn part_offset(&self, i: usize) -> Option<DVec3> {
        let plan = self.plan()?;
        Some(frames::turns(&plan.hang).0 * (self.part_middle(plan, i)? - self.part_middle(plan, 0)?))
    }

    /// The middle of part `i` in `set`: a fixed point of it.
    fn part_middle(&self, plan: &Plan, i: usize) -> Option<DVec3> {
        let loaded = self.known().setting()?.placed.loaded.get(i)?.clone();
        Some(plan.parts.get(i)?.pose.set_from_part().transform_point3(loaded.centre))
    }

    /// How far part `i` is turned about up, degrees counter-clockwise seen from above.
    pub fn part_turn_deg(&self, i: usize) -> Option<f64> {
        let plan = self.plan()?;
        let upright = frames::turns(&plan.hang).0;
        let turn = upright * plan.parts.get(i)?.pose.rotation * upright.inverse();
        let turned = (2.0 * turn.z.atan2(turn.w)).to_degrees();
        Some((turned + 180.0).rem_euclid(360.0) - 180.0)
    }

    /// The plan with part `i` shifted along the sides of the box, and turned about up through its own middle.
    pub fn part_moved(&self, i: usize, shift: DVec3, turn_deg: f64) -> Option<Plan> {
        let mut plan = self.plan()?.clone();
        let upright = frames::turns(&plan.hang).0;
        let middle = self.part_middle(&plan, i)?;
        let up = upright.inverse() * DVec3::Z;
        plan.turn_part(i, DQuat::from_axis_angle(up, turn_deg.to_radians()), middle);
        let pose = plan.parts.get(i)?.pose;
        let translation_mm = pose.translation_mm + upright.inverse() * shift;
        plan.move_part(i, Pose { translation_mm, ..pose });
        Some(plan)
    }
}
