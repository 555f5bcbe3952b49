//! Values that no plan may hold, whoever wrote it: not finite, of no length, or naming a part that is not there.

use super::{Bodies, Gate, InsertKind, MasterCore, Plan, Pose, Scale, Spot};
use glam::DVec3;

/// The first value that cannot be, in words; `None` where the plan is sound.
pub fn first_fault(plan: &Plan) -> Option<String> {
    let mut look = Look { plan, fault: None };
    look.whole_plan();
    look.fault
}

struct Look<'a> {
    plan: &'a Plan,
    fault: Option<String>,
}

impl Look<'_> {
    fn say(&mut self, fault: String) {
        self.fault.get_or_insert(fault);
    }

    fn positive(&mut self, value: f64, what: &str) {
        if !(value.is_finite() && value > 0.0) {
            self.say(format!("{what} is {value}, it must be above 0"));
        }
    }

    fn not_negative(&mut self, value: f64, what: &str) {
        if !(value.is_finite() && value >= 0.0) {
            self.say(format!("{what} is {value}, it must be 0 or more"));
        }
    }

    fn within(&mut self, value: f64, low: f64, high: f64, what: &str) {
        if !(low..=high).contains(&value) {
            self.say(format!("{what} is {value}, it must lie between {low} and {high}"));
        }
    }

    fn direction(&mut self, d: DVec3, what: &str) {
        if !d.is_finite() || d.length_squared() < 1e-12 {
            self.say(format!("{what} ({}, {}, {}) points nowhere", d.x, d.y, d.z));
        }
    }

    fn point(&mut self, p: DVec3, what: &str) {
        if !p.is_finite() {
            self.say(format!("the place of {what} is not a number"));
        }
    }

    fn spot(&mut self, spot: &Spot, what: &str) {
        self.point(spot.position, what);
        self.direction(spot.normal, &format!("the normal of {what}"));
        if spot.part >= self.plan.parts.len() {
            let (named, there) = (spot.part, self.plan.parts.len());
            self.say(format!("{what} sits on part {named}, but there are {there} parts counted from 0"));
        }
    }

    fn stroke(&mut self, stroke: &[Spot], radius_mm: f64, what: &str) {
        for spot in stroke {
            self.spot(spot, what);
        }
        self.positive(radius_mm, &format!("the radius of {what}"));
    }

    /// A runner must come to the cup in the end.
    fn joins(&mut self, gate: &Gate) {
        let gates = &self.plan.feed.gates;
        let mut next = gate.joins;
        for _ in 0..=gates.len() {
            let Some(number) = next else { return };
            let Some(into) = gates.iter().find(|g| g.number == number) else {
                self.say(format!("gate {} runs into gate {number}, but there is no such gate", gate.number));
                return;
            };
            next = into.joins;
        }
        self.say(format!("the runner of gate {} runs round into itself and never comes to the cup", gate.number));
    }

    fn whole_plan(&mut self) {
        let plan = self.plan;
        for part in &plan.parts {
            let name = &part.name;
            match part.scale {
                Scale::Nominal { master_factor: f } | Scale::Master { factor: f } => {
                    if !(0.5..=2.0).contains(&f) {
                        self.say(format!("the master factor of {name} is {f}, it must lie between 0.5 and 2"));
                    }
                }
            }
            self.pose(&part.pose, name);
            if let Bodies::One(at) = part.bodies {
                for corner in [at.centroid, at.low, at.high] {
                    self.point(corner, &format!("the body that {name} is"));
                }
            }
        }
        self.direction(plan.hang.rubber.up, "up while rubber is poured");
        if !(plan.hang.rubber.turn.is_finite() && plan.hang.cast_attitude().turn.is_finite()) {
            self.say("the turn about up is not a number".into());
        }
        self.direction(plan.hang.cast_attitude().up, "up while resin is poured");
        let w = plan.hang.weights;
        let resin = [w.high_point, w.air, w.ceiling, w.shown];
        let rubber = [w.rubber_air, w.height, w.block, w.undercut_level, w.undercut_upright];
        for weight in resin.into_iter().chain(rubber) {
            self.within(weight, 0.0, 1000.0, "a weight of the hang");
        }
        self.parting();
        self.positive(plan.feed.cup.diameter_mm, "the cup's diameter");
        self.positive(plan.feed.cup.height_mm, "the cup's height");
        for gate in &plan.feed.gates {
            let what = format!("gate {}", gate.number);
            self.spot(&gate.at, &what);
            self.positive(gate.diameter_mm, &format!("the diameter of {what}"));
            self.positive(gate.runner_diameter_mm, &format!("the runner diameter of {what}"));
            self.positive(gate.land_mm, &format!("the length of the narrow end of {what}"));
            for corner in &gate.runner {
                self.point(*corner, &format!("the runner of {what}"));
            }
            self.joins(gate);
        }
        for vent in &plan.vents {
            let what = format!("vent {}", vent.number);
            self.spot(&vent.at, &what);
            self.positive(vent.diameter_mm, &format!("the diameter of {what}"));
        }
        for insert in &plan.inserts {
            let what = format!("insert {}", insert.number);
            self.spot(&insert.at, &what);
            self.not_negative(insert.in_pocket_mm, &format!("the pocket length of {what}"));
            let sizes: &[f64] = match &insert.kind {
                InsertKind::Bush { diameter_mm, length_mm, .. }
                | InsertKind::Pin { diameter_mm, length_mm }
                | InsertKind::Magnet { diameter_mm, length_mm } => &[*diameter_mm, *length_mm],
                InsertKind::Plate { length_mm, width_mm, thickness_mm } => &[*length_mm, *width_mm, *thickness_mm],
                InsertKind::Mesh { .. } => &[],
            };
            for size in sizes {
                self.positive(*size, &format!("a size of {what}"));
            }
            self.positive(insert.density_g_cm3.unwrap_or(1.0), &format!("the density of {what}"));
            self.within(insert.hottest_c.unwrap_or(0.0), -273.15, 3000.0, &format!("the hottest that {what} bears"));
        }
        self.second_shot();
        for shown in &plan.shown {
            self.stroke(&shown.stroke, shown.radius_mm, &format!("shown surface {}", shown.name));
        }
        for (value, what) in [
            (plan.block.wall_mm, "the rubber at the sides"),
            (plan.block.below_mm, "the rubber below the part"),
            (plan.block.above_mm, "the rubber above the part"),
            (plan.block.first_pour_mm, "the height of the first pour"),
            (plan.master.density_g_cm3, "the density of the master"),
            (plan.master.weighed_g, "the mass of the master"),
        ] {
            if let Some(value) = value {
                self.positive(value, what);
            }
        }
        if let MasterCore::Hollow { skin_mm, .. } = plan.master.core {
            self.positive(skin_mm, "the skin of the hollow master");
        }
        self.positive(plan.master.plugged_rod_mm, "the diameter of the plugged rods");
        self.within(plan.master.plugged_rods as f64, 0.0, 1000.0, "the number of plugged rods");
        self.within(plan.block.cure_c.unwrap_or(23.0), 0.0, 200.0, "the temperature at which the rubber cures");
        self.within(plan.materials.pigment_pct, 0.0, 50.0, "the pigment");
        self.within(plan.quantity.reject_share.unwrap_or(0.0), 0.0, 0.99, "the share of rejects");
        self.within(plan.diary.masters as f64, 1.0, 1000.0, "the number of masters");
        self.within(plan.diary.blocks_a_batch as f64, 1.0, 1000.0, "the number of blocks that a batch fills");
        if !plan.diary.works.contains(&true) {
            self.say("no day of the week is worked".into());
        }
        for dimension in &plan.dimensions {
            self.positive(dimension.length_mm, &format!("dimension {}", dimension.name));
        }
        if plan.issues.iter().any(|i| i.decisions.len() > super::issue::MOST_DECISIONS) {
            self.say(format!("an issue of the sheet holds more than {} things", super::issue::MOST_DECISIONS));
        }
        for cast in &plan.log {
            self.not_negative(cast.trimmed_g, &format!("the mass of shot {}", cast.shot));
        }
    }

    fn second_shot(&mut self) {
        let Some(second) = &self.plan.second_shot else { return };
        let parts = self.plan.parts.len();
        if parts > 1 {
            // Window and commands never write that: which of the parts the other shot is cast over, nobody has said.
            self.say(format!(
                "it holds {parts} parts and another shot, but a two-shot job has one part a block; keep one part, or take \
                 `second_shot` out of the file, and plan a block for each"
            ));
        }
        let what = "the other shot's part";
        self.pose(&second.pose, what);
        self.not_negative(second.wait_s.unwrap_or(0.0), "the time between the two shots");
        self.not_negative(second.channels_mm3.unwrap_or(0.0), "what the channels of the other shot hold");
    }

    fn pose(&mut self, pose: &Pose, what: &str) {
        self.point(pose.translation_mm, what);
        let q = pose.rotation;
        if !q.is_finite() || q.length_squared() < 1e-12 {
            self.say(format!("the turn of {what} is not a rotation"));
        }
    }

    fn parting(&mut self) {
        let parting = &self.plan.parting;
        self.direction(parting.draw, "the draw");
        if parting.plane_mm.is_some_and(|h| !(h.abs() <= 1e6)) {
            self.say("the height of the parting plane is not a number within a kilometre".into());
        }
        for pin in &parting.pins {
            self.spot(&pin.at, "a pin of the parting line");
        }
        for mark in &parting.marks {
            self.stroke(&mark.stroke, mark.radius_mm, "a mark of the parting");
        }
        for held in &parting.held_loops {
            for spot in &held.points {
                self.spot(spot, "a held loop");
            }
        }
        for choice in &parting.shut_offs {
            self.spot(&choice.near, "a shut-off");
            if !(choice.moved_mm.abs() <= 1e6) {
                self.say("the way of a shut-off along its hole is not a number within a kilometre".into());
            }
            for spot in &choice.held {
                self.spot(spot, "a shut-off that was moved");
            }
        }
        for cut in &parting.relief_cuts {
            for spot in &cut.points {
                self.spot(spot, &format!("relief cut {}", cut.name));
            }
            self.positive(cut.depth_mm, &format!("the depth of relief cut {}", cut.name));
        }
        for piece in &parting.loose_pieces {
            self.spot(&piece.at, &format!("loose piece {}", piece.name));
            self.direction(piece.leaves_along, &format!("the way out of loose piece {}", piece.name));
            self.positive(piece.radius_mm, &format!("the size of loose piece {}", piece.name));
        }
    }
}
