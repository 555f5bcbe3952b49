//! Changes of the plan that come from gestures in the view, from buttons and from proposals.

use super::App;
use super::canvas::tool::{Gesture, Tool};
use super::propose::{Made as Proposal, Proposed, Wanted};
use super::thing::{Thing, insert_radius_mm};
use crate::plan::{
    Attitude, Gate, HalfMark, Insert, InsertKind, LoosePiece, PieceOf, Pin, Plan, PocketMade, ReliefCut, ShownSurface,
    Spot, Threads,
};
use crate::study::findings::Step;
use glam::{DQuat, DVec3, Vec3};

/// Usual diameters of a gate and its runner, millimetres: common practice, no source.
const GATE_MM: f64 = 4.0;
const RUNNER_MM: f64 = 8.0;
/// Radius of a loose piece that a hand puts, millimetres, and depth of a relief cut before the block is known: set here,
/// to be changed at once.
const LOOSE_PIECE_MM: f64 = 5.0;
const RELIEF_DEPTH_MM: f64 = 15.0;

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
            Gesture::Missed => self.chosen = None,
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
                    document.stroke(&thing.move_name(), |p| thing.put(p, spot));
                }
                self.was_moved(thing);
            }
            Gesture::GrabLine(grab, pin) => self.grab_line(grab, pin),
            Gesture::LeadLine { hand, free } => self.lead_line(hand, free),
            Gesture::LetGoOfLine => self.let_go_of_line(),
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
            Tool::Fault => self.point_at_fault(spot),
            Tool::Pin => {
                self.edit("Pin the parting line", |p| p.parting.pins.push(Pin { at: spot }));
                self.chosen = self.plan().map(|p| Thing::Pin(p.parting.pins.len() - 1));
            }
            Tool::LoosePiece => {
                let Some(setting) = self.known().setting() else { return };
                let leaves_along = setting.frames.normal_in_work(&spot).as_dvec3();
                let piece = LoosePiece {
                    name: String::new(),
                    at: spot,
                    leaves_along,
                    radius_mm: LOOSE_PIECE_MM,
                    of: PieceOf::Rubber,
                };
                self.put_loose_piece(piece);
            }
            _ => {}
        }
    }

    /// Puts a vent.
    pub fn place_vent(&mut self, spot: Spot) {
        let Some(vent) = self.plan().map(|p| p.next_vent(spot, self.shop().limits.vent_mm)) else { return };
        let number = vent.number;
        self.edit(&format!("Put vent {number}"), |p| p.vents.push(vent));
        self.chosen = Some(Thing::Vent(number));
    }

    /// Puts a gate; its runner follows as soon as a way for it is found.
    pub fn place_gate(&mut self, spot: Spot) {
        let Some(number) = self.plan().map(Plan::free_gate_number) else { return };
        let gate = Gate { number, at: spot, diameter_mm: GATE_MM, runner_diameter_mm: RUNNER_MM, ..Gate::default() };
        let name = format!("Put gate {number}");
        self.edit(&name, |p| p.feed.gates.push(gate));
        self.chosen = Some(Thing::Gate(number));
        self.want_runner(number, None, &name);
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
            density_g_cm3: None,
            hottest_c: None,
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
            // One place is no cut.
            Tool::ReliefCut if stroke.len() > 1 => {
                let depth_mm = self.known().setting().map_or(RELIEF_DEPTH_MM, |s| s.block.wall_mm.max(1.0).ceil());
                self.lay_relief_cut(ReliefCut { name: String::new(), points: stroke, depth_mm });
            }
            _ => {}
        }
    }

    /// Lays a relief cut.
    pub fn lay_relief_cut(&mut self, cut: ReliefCut) {
        self.edit("Lay a relief cut", |p| p.parting.relief_cuts.push(cut));
        self.chosen = self.plan().map(|p| Thing::ReliefCut(p.parting.relief_cuts.len() - 1));
    }

    /// Puts a loose piece.
    pub fn put_loose_piece(&mut self, piece: LoosePiece) {
        self.edit("Put a loose piece", |p| p.parting.loose_pieces.push(piece));
        self.chosen = self.plan().map(|p| Thing::LoosePiece(p.parting.loose_pieces.len() - 1));
    }

    /// Brings a face down or up.
    fn face(&mut self, tool: Tool, normal: Vec3) {
        let normal = normal.as_dvec3().normalize_or(DVec3::Z);
        let up = if tool == Tool::FaceDown { -normal } else { normal };
        self.hang_anew("Stand the part on a face", |p| p.hang.rubber = Attitude { up, turn: p.hang.rubber.turn });
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
            Tool::LoosePiece => LOOSE_PIECE_MM,
            _ => 0.8,
        }
    }

    /// Starts a proposal.
    pub fn propose(&mut self, wanted: Wanted) {
        if wanted.waits_for_bodies() && self.bodies_not_said().is_some() {
            self.go_to(Step::Part);
        }
        if let Some(document) = &self.document {
            self.proposer.start(wanted, document.plan().clone(), document.version());
        }
    }

    /// True while a proposal is being made.
    pub fn is_proposing(&self) -> bool {
        self.proposer.is_under_way()
    }

    pub(super) fn take_in_proposal(&mut self, proposed: Proposed) {
        let Some(document) = &mut self.document else { return };
        match proposed.outcome {
            Ok(_) if proposed.version != document.version() => self
                .notices
                .trouble("The plan was changed while the proposal was being made, so it was dropped. Ask again"),
            Ok(Proposal { plan, reasons, stop }) => {
                let name = proposed.wanted.name();
                document.edit(name, |p| *p = plan);
                // One reason is no longer than what it would be folded under.
                let (text, folded) = match reasons.len() {
                    0 => ("Nothing better was found".to_owned(), Vec::new()),
                    1 => (reasons.concat(), Vec::new()),
                    _ => (format!("{name}: done"), reasons),
                };
                self.notices.proposed(text, folded, stop);
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
    Attitude::of_rotation(turn * attitude.upright_from_set())
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
