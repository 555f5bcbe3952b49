//! Changes of the plan that come from gestures in the view, from buttons and from proposals.

use super::App;
use super::canvas::tool::{Gesture, Tool};
use super::propose::{Proposed, Wanted};
use super::thing::{Thing, insert_radius_mm};
use crate::plan::{
    Attitude, Gate, GateKind, HalfMark, Insert, InsertKind, Made, Pin, Plan, PocketMade, ShownSurface, Spot, Threads,
    Vent,
};
use crate::study::findings::Step;
use glam::{DQuat, DVec3, Vec3};

/// Usual diameters of a gate and its runner, millimetres: common practice, no source.
const GATE_MM: f64 = 4.0;
const RUNNER_MM: f64 = 8.0;

impl App {
    /// One edit, undone by itself.
    pub fn edit(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        if let Some(document) = &mut self.document {
            document.edit(name, change);
        }
        self.forget_what_is_gone();
    }

    /// A step of typing or dragging in a field: all steps of one field are undone as one.
    pub fn after(&mut self, response: &egui::Response, name: &str, change: impl FnOnce(&mut Plan)) {
        let Some(document) = &mut self.document else { return };
        if response.changed() {
            document.stroke(name, change);
        }
        if response.lost_focus() || response.drag_stopped() {
            document.settle();
        }
    }

    /// Does what a hand did in the view.
    pub(super) fn gesture(&mut self, gesture: Gesture) {
        match gesture {
            Gesture::Place(tool, spot) => self.place(tool, spot),
            Gesture::Face(tool, normal) => self.face(tool, normal),
            Gesture::Choose(thing) => {
                self.chosen = thing;
                if let Some(thing) = thing
                    && thing.step() != self.step
                {
                    self.go_to(thing.step());
                    self.chosen = Some(thing);
                }
            }
            Gesture::Move(thing, spot) => {
                self.chosen = Some(thing);
                if let Some(document) = &mut self.document {
                    document.stroke(&format!("Move {}", thing.in_sentence()), |p| thing.put(p, spot));
                }
            }
            Gesture::Dropped => {
                if let Some(document) = &mut self.document {
                    document.settle();
                }
            }
            Gesture::Stroke(tool, spots) => self.stroke(tool, spots),
            Gesture::Turn(turn) => self.turn_hang(turn),
        }
    }

    fn place(&mut self, tool: Tool, spot: Spot) {
        match tool {
            Tool::Vent => self.place_vent(spot),
            Tool::Gate => self.place_gate(spot),
            Tool::Insert => self.place_insert(spot),
            Tool::Pin => {
                self.edit("Pin the parting line", |p| p.parting.pins.push(Pin { at: spot }));
                self.chosen = self.plan().map(|p| Thing::Pin(p.parting.pins.len() - 1));
            }
            _ => {}
        }
    }

    /// Puts a vent.
    pub fn place_vent(&mut self, spot: Spot) {
        let Some(number) = self.plan().map(Plan::free_vent_number) else { return };
        let last = self.plan().and_then(|p| p.vents.last()).map(|v| v.diameter_mm);
        let diameter_mm = last.unwrap_or(self.shop().limits.vent_mm);
        let vent = Vent { number, name: String::new(), at: spot, diameter_mm, made: Made::RodPulled };
        self.edit(&format!("Put vent {number}"), |p| p.vents.push(vent));
        self.chosen = Some(Thing::Vent(number));
    }

    /// Puts a gate.
    pub fn place_gate(&mut self, spot: Spot) {
        let Some(number) = self.plan().map(Plan::free_gate_number) else { return };
        let gate = Gate { number, at: spot, diameter_mm: GATE_MM, runner_diameter_mm: RUNNER_MM, ..Gate::default() };
        let kind = self.kind_for(&spot);
        self.edit(&format!("Put gate {number}"), |p| p.feed.gates.push(gate));
        self.chosen = Some(Thing::Gate(number));
        if kind != GateKind::Top {
            self.route(number, kind, &format!("Put gate {number}"));
        }
    }

    /// A face that looks up is fed from above, one that looks down from below, others from the side.
    fn kind_for(&self, spot: &Spot) -> GateKind {
        let Some(setting) = self.known().setting() else { return GateKind::Top };
        match setting.frames.normal_in_work(spot).dot(setting.frames.rubber_up()) {
            n if n > 0.5 => GateKind::Top,
            n if n < -0.5 => GateKind::Bottom,
            _ => GateKind::Side,
        }
    }

    /// Changes where a gate is fed from, and its runner with it.
    pub fn set_gate_kind(&mut self, number: u32, kind: GateKind) {
        self.route(number, kind, &format!("Feed gate {number} another way"));
    }

    /// Lays the runner of a gate: straight up from above; else out of the part, clear of it, and up beside it.
    fn route(&mut self, number: u32, kind: GateKind, name: &str) {
        let Some(setting) = self.known().setting().cloned() else { return };
        let Some(spot) = self.plan().and_then(|p| Thing::Gate(number).spot(p)) else { return };
        let runner = match kind {
            GateKind::Top => Vec::new(),
            _ => {
                let frames = &setting.frames;
                let at = frames.point_in_box(frames.spot_in_work(&spot));
                let up = frames.rubber_up();
                let normal = frames.normal_in_work(&spot);
                // Where the runner leaves: along the outward normal, level, or the nearest side of the block.
                let out = (normal - up * normal.dot(up)).as_dvec3();
                let level = frames.box_from_work.transform_vector3(out);
                let side = if level.truncate().length() > 0.2 {
                    level.normalize()
                } else {
                    DVec3::new(0.0, if at.y >= 0.0 { 1.0 } else { -1.0 }, 0.0)
                };
                let bounds =
                    self.known().part_bounds.iter().copied().fold(crate::mesh::Bounds::EMPTY, |a, b| a.union(b));
                let in_box = crate::view::scene::moved_box(&bounds, &frames.box_from_work);
                let clear = self.shop().limits.least_rubber_mm + RUNNER_MM;
                // Walk out until the part's box is left by the clearance.
                let reach = (0..2)
                    .filter(|&a| side[a].abs() > 1e-6)
                    .map(|a| {
                        let wall = if side[a] > 0.0 { in_box.max[a] as f64 } else { in_box.min[a] as f64 };
                        ((wall - at[a]) / side[a]).max(0.0)
                    })
                    .fold(f64::INFINITY, f64::min);
                let reach = if reach.is_finite() { reach } else { 0.0 } + clear;
                let mut corners = Vec::new();
                let mut from = at;
                if kind == GateKind::Bottom {
                    from.z -= clear.min(at.z * 0.6);
                    corners.push(from);
                }
                corners.push(from + side * reach);
                corners.into_iter().map(|c| frames.set_point_from_work(frames.work_from_box_point(c))).collect()
            }
        };
        let change = |p: &mut Plan| {
            if let Some(gate) = p.feed.gates.iter_mut().find(|g| g.number == number) {
                gate.kind = kind;
                gate.runner = runner;
            }
        };
        // Right after the gate was put this is a part of the same edit.
        self.amend(name, change);
    }

    /// Changes the plan as a part of the last edit where that is called `name`, else as an edit of its own.
    fn amend(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        let Some(document) = &mut self.document else { return };
        if document.history.undo_name() == Some(name) && name.starts_with("Put") {
            let mut plan = document.plan().clone();
            change(&mut plan);
            document.undo();
            document.edit(name, |p| *p = plan);
        } else {
            document.edit(name, change);
        }
    }

    fn place_insert(&mut self, spot: Spot) {
        let Some(number) = self.plan().map(Plan::free_insert_number) else { return };
        let kind = self.next_insert.clone();
        // A third of its length stands in the rubber: common practice, no source.
        let length = match &kind {
            InsertKind::Bush { length_mm, .. } | InsertKind::Pin { length_mm, .. } => *length_mm,
            InsertKind::Magnet { length_mm, .. } => *length_mm,
            InsertKind::Plate { thickness_mm, .. } => *thickness_mm,
            InsertKind::Mesh { .. } => 3.0,
        };
        let threads = if matches!(kind, InsertKind::Bush { .. }) { Threads::Screw } else { Threads::None };
        let insert = Insert {
            number,
            name: String::new(),
            kind,
            at: spot,
            in_pocket_mm: length / 3.0,
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads,
            half: None,
        };
        self.edit(&format!("Put insert {number}"), |p| p.inserts.push(insert));
        self.chosen = Some(Thing::Insert(number));
    }

    fn stroke(&mut self, tool: Tool, stroke: Vec<Spot>) {
        let radius_mm = self.stroke_radius_mm;
        match tool {
            Tool::Mark(half) => {
                self.edit("Give faces to a half", |p| p.parting.marks.push(HalfMark { half, stroke, radius_mm }));
                self.chosen = self.plan().map(|p| Thing::Mark(p.parting.marks.len() - 1));
            }
            Tool::Shown => {
                let n = self.plan().map_or(0, |p| p.shown.len()) + 1;
                let shown = ShownSurface { name: format!("Shown {n}"), stroke, radius_mm, ..ShownSurface::default() };
                self.edit("Mark a shown surface", |p| p.shown.push(shown));
                self.chosen = Some(Thing::Shown(n - 1));
            }
            _ => {}
        }
    }

    /// Brings a face down or up.
    fn face(&mut self, tool: Tool, normal: Vec3) {
        let normal = normal.as_dvec3().normalize_or(DVec3::Z);
        let up = if tool == Tool::FaceDown { -normal } else { normal };
        self.edit("Stand the part on a face", |p| p.hang.rubber = Attitude { up, turn: p.hang.rubber.turn });
        self.tool = Tool::Look;
    }

    /// Turns the part in the block by a turn given in the upright frame.
    fn turn_hang(&mut self, turn: DQuat) {
        let Some(document) = &mut self.document else { return };
        document.stroke("Turn the hang", |p| p.hang.rubber = turned(&p.hang.rubber, turn));
    }

    /// Takes a thing out.
    pub fn delete(&mut self, thing: Thing) {
        self.edit(&format!("Delete {}", thing.in_sentence()), |p| thing.remove(p));
        self.chosen = None;
    }

    /// Drops the choice of a thing that is no longer there.
    pub(super) fn forget_what_is_gone(&mut self) {
        if let (Some(thing), Some(plan)) = (self.chosen, self.plan())
            && thing.spot(plan).is_none()
        {
            self.chosen = None;
        }
    }

    /// The point of the part nearest to a point of `work`, as a spot.
    pub fn spot_near(&self, point: Vec3) -> Option<Spot> {
        let facts = self.known().facts.as_ref()?;
        let body = facts.body.as_ref()?;
        let nearest = body.tree.nearest(point)?;
        let normal = body.mesh.unit_normal(nearest.triangle as usize);
        let part = facts.setting.part_at(nearest.point);
        Some(facts.setting.frames.spot_from_work(part, nearest.point, normal))
    }

    /// Moves a thing to the nearest point of the part.
    pub fn onto_surface(&mut self, thing: Thing) {
        let Some(setting) = self.known().setting() else { return };
        let Some(spot) = self.plan().and_then(|p| thing.spot(p)) else { return };
        let Some(spot) = self.spot_near(setting.frames.spot_in_work(&spot)) else { return };
        self.edit(&format!("Move {} onto the surface", thing.in_sentence()), |p| thing.put(p, spot));
    }

    /// Brings a thing to the middle of the view, seen from outside.
    pub fn fly_to_thing(&mut self, thing: Thing) {
        let place = self.plan().and_then(|p| thing.spot(p)).zip(self.known().setting());
        if let Some((spot, setting)) = place {
            let (at, normal) = (setting.frames.spot_in_work(&spot), setting.frames.normal_in_work(&spot));
            self.fly_to(at, Some(normal));
        }
    }

    /// Radius of what the tool in hand leaves, millimetres.
    pub(super) fn tool_radius_mm(&self) -> f64 {
        match self.tool {
            Tool::Vent => {
                let last = self.plan().and_then(|p| p.vents.last()).map(|v| v.diameter_mm);
                last.unwrap_or(self.shop().limits.vent_mm) / 2.0
            }
            Tool::Gate => GATE_MM / 2.0,
            Tool::Insert => insert_radius_mm(&self.next_insert),
            Tool::Mark(_) | Tool::Shown => self.stroke_radius_mm,
            _ => 0.8,
        }
    }

    /// Starts a proposal.
    pub fn propose(&mut self, wanted: Wanted) {
        if let Some(document) = &self.document {
            self.proposer.start(wanted, document.plan().clone(), document.version());
        }
    }

    pub(super) fn take_in_proposal(&mut self, proposed: Proposed) {
        let Some(document) = &mut self.document else { return };
        match proposed.outcome {
            Ok(_) if proposed.version != document.version() => self
                .notices
                .trouble("The plan was changed while the proposal was being made, so it was dropped. Ask again"),
            Ok((plan, reasons)) => {
                document.edit(proposed.wanted.name(), |p| *p = plan);
                let reasons = if reasons.is_empty() { "Nothing better was found".into() } else { reasons.join(". ") };
                self.notices.done(reasons);
                if proposed.wanted == Wanted::Whole {
                    self.go_to(Step::Vents);
                }
                self.forget_what_is_gone();
            }
            Err(words) => self.notices.trouble(words),
        }
    }
}

/// An attitude turned further, by a turn in the upright frame.
pub fn turned(attitude: &Attitude, turn: DQuat) -> Attitude {
    let upright_from_set = (turn * attitude.upright_from_set()).normalize();
    let up = (upright_from_set.inverse() * DVec3::Z).normalize();
    // What is left over is a turn about up.
    let tip = Attitude { up, turn: 0.0 }.upright_from_set();
    let rest = upright_from_set * tip.inverse();
    let x = rest * DVec3::X;
    Attitude { up, turn: x.y.atan2(x.x) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turning_an_attitude_turns_its_frame() {
        let turns = [
            DQuat::from_rotation_x(0.3),
            DQuat::from_rotation_y(-1.1),
            DQuat::from_rotation_z(2.0),
            DQuat::from_rotation_x(std::f64::consts::PI),
            DQuat::from_euler(glam::EulerRot::XYZ, 0.4, 0.9, -2.2),
        ];
        let mut attitude = Attitude::default();
        for turn in turns {
            let wanted = turn * attitude.upright_from_set();
            attitude = turned(&attitude, turn);
            let off = wanted.dot(attitude.upright_from_set()).abs();
            assert!((off - 1.0).abs() < 1e-12, "{turn:?} gives {attitude:?}");
        }
    }
}
