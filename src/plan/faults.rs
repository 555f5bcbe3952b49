//! Values that no plan may hold, whoever wrote it: not finite, beyond every bench, of no length, or naming a part that is
//! not there. Every number of a plan has its range here, so that nothing after the reader meets one that it was not made for.

use super::{Bodies, Gate, InsertKind, MasterCore, Plan, Pose, Scale, Spot};
use crate::files::place::Way;
use crate::mesh::read_stl::FARTHEST_MM;
use crate::shop::ranges::{self, figure, inside};
use glam::DVec3;
use std::collections::BTreeMap;

/// A value that cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The way to it from the plan.
    pub way: Way,
    /// What is wrong with it, in words with its limit.
    pub words: String,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}`: {}", self.way, self.words)
    }
}

/// What a length of a thing on the bench may be, millimetres: from a micrometre to two metres, more than any vacuum chamber of a
/// model shop holds (set here).
const LENGTH_MM: [f64; 2] = [0.001, 2e3];
/// A length that may be nought, millimetres.
const FROM_NOUGHT_MM: [f64; 2] = [0.0, 2e3];
/// How far along its axis something may be moved or stand, millimetres: a kilometre.
const WAY_MM: [f64; 2] = [-1e6, 1e6];
/// Angles, radians.
const TURN: [f64; 2] = [-1e6, 1e6];
/// Lengths of directions and of the four numbers of a turn.
const DIRECTION: [f64; 2] = [1e-6, 1e6];
/// Casts, shots, numbers on card and sheet, revisions.
const COUNT: [f64; 2] = [0.0, 1e6];
/// Densities, g/cm³: a little over osmium, the densest of all.
const DENSITY_G_CM3: [f64; 2] = [0.001, 25.0];
/// Masses, grams.
const MASS_G: [f64; 2] = [0.001, 1e7];
/// Most parts, gates, vents, inserts, pins, marks, loops, shut-offs, cuts, pieces or surfaces of a plan, each.
pub const MOST_THINGS: usize = 5000;
/// Most points of one stroke, loop or runner.
pub const MOST_POINTS: usize = 20_000;
/// Most entries of a list that nothing is computed from but itself.
pub const MOST_ENTRIES: usize = 20_000;

/// The first value that cannot be; `None` where the plan is sound.
pub fn first_fault(plan: &Plan) -> Option<Fault> {
    let mut look = Look { plan, fault: None };
    look.whole_plan();
    look.fault
}

struct Look<'a> {
    plan: &'a Plan,
    fault: Option<Fault>,
}

impl Look<'_> {
    fn say(&mut self, way: &Way, words: String) {
        if self.fault.is_none() {
            self.fault = Some(Fault { way: way.clone(), words });
        }
    }

    /// `what` is the name of the number, `unit` its unit with a blank before it or nothing.
    fn number(&mut self, way: Way, value: f64, range: [f64; 2], what: &str, unit: &str) {
        if let Some(words) = inside(value, range, unit) {
            self.say(&way, format!("{what} is {words}"));
        }
    }

    fn length(&mut self, way: Way, value: f64, what: &str) {
        self.number(way, value, LENGTH_MM, what, " mm");
    }

    fn count(&mut self, way: Way, value: u32, what: &str) {
        self.number(way, f64::from(value), COUNT, what, "");
    }

    fn at_most(&mut self, way: &Way, length: usize, most: usize) {
        if length > most {
            self.say(way, format!("the list has {length} entries, it may have up to {most}"));
        }
    }

    fn direction(&mut self, way: Way, d: DVec3, what: &str) {
        if !d.is_finite() || !(DIRECTION[0]..=DIRECTION[1]).contains(&d.length()) {
            let [x, y, z] = d.to_array().map(figure);
            let [low, high] = DIRECTION.map(figure);
            self.say(
                &way,
                format!("{what} ({x}, {y}, {z}) points nowhere, its length must lie between {low} and {high}"),
            );
        }
    }

    fn point(&mut self, way: Way, p: DVec3, what: &str) {
        for (i, value) in p.to_array().into_iter().enumerate() {
            self.number(way.item(i), value, [-FARTHEST_MM, FARTHEST_MM], &format!("the place of {what}"), " mm");
        }
    }

    fn spot(&mut self, way: &Way, spot: &Spot, what: &str) {
        self.point(way.then("position"), spot.position, what);
        self.direction(way.then("normal"), spot.normal, &format!("the normal of {what}"));
        if spot.part >= self.plan.parts.len() {
            let (named, there) = (spot.part, self.plan.parts.len());
            self.say(
                &way.then("part"),
                format!("{what} sits on part {named}, but there are {there} parts counted from 0"),
            );
        }
    }

    fn spots(&mut self, way: Way, spots: &[Spot], what: &str) {
        self.at_most(&way, spots.len(), MOST_POINTS);
        for (i, spot) in spots.iter().enumerate() {
            self.spot(&way.item(i), spot, what);
        }
    }

    fn pose(&mut self, way: Way, pose: &Pose, what: &str) {
        self.point(way.then("translation_mm"), pose.translation_mm, what);
        let q = pose.rotation;
        if !q.is_finite() || !(DIRECTION[0]..=DIRECTION[1]).contains(&q.length()) {
            let [low, high] = DIRECTION.map(figure);
            self.say(
                &way.then("rotation"),
                format!(
                    "the turn of {what} is not a rotation, the length of its numbers must lie between {low} and {high}"
                ),
            );
        }
    }

    fn scale(&mut self, way: &Way, scale: Scale, name: &str) {
        let (field, factor) = match scale {
            Scale::Nominal { master_factor } => ("master_factor", master_factor),
            Scale::Master { factor } => ("factor", factor),
        };
        self.number(way.then("scale").then(field), factor, [0.5, 2.0], &format!("the master factor of {name}"), "");
    }

    /// A runner must come to the cup in the end.
    fn joins(&mut self, way: &Way, gate: &Gate, joins: &BTreeMap<u32, Option<u32>>) {
        let mut next = gate.joins;
        for _ in 0..=joins.len() {
            let Some(number) = next else { return };
            let Some(into) = joins.get(&number) else {
                let words = format!("gate {} runs into gate {number}, but there is no such gate", gate.number);
                self.say(&way.then("joins"), words);
                return;
            };
            next = *into;
        }
        let words = format!("the runner of gate {} runs round into itself and never comes to the cup", gate.number);
        self.say(&way.then("joins"), words);
    }

    fn whole_plan(&mut self) {
        let plan = self.plan;
        let top = Way::default();
        self.count(top.then("revision"), plan.revision, "the revision");
        self.lists(&top);
        for (i, part) in plan.parts.iter().enumerate() {
            let way = top.then("parts").item(i);
            self.scale(&way, part.scale, &part.name);
            self.pose(way.then("pose"), &part.pose, &part.name);
            self.count(way.then("wanted"), part.wanted.unwrap_or(0), "the number wanted");
            if let Bodies::One(at) = part.bodies {
                let what = format!("the body that {} is", part.name);
                for (field, corner) in [("centroid", at.centroid), ("low", at.low), ("high", at.high)] {
                    self.point(way.then("bodies").then(field), corner, &what);
                }
            }
        }
        self.hang(&top.then("hang"));
        self.parting(&top.then("parting"));
        self.feed(&top.then("feed"));
        for (i, vent) in plan.vents.iter().enumerate() {
            let (way, what) = (top.then("vents").item(i), format!("vent {}", vent.number));
            self.count(way.then("number"), vent.number, "the number of a vent");
            self.spot(&way.then("at"), &vent.at, &what);
            self.length(way.then("diameter_mm"), vent.diameter_mm, &format!("the diameter of {what}"));
        }
        self.inserts(&top.then("inserts"));
        self.second_shot(&top.then("second_shot"));
        for (i, shown) in plan.shown.iter().enumerate() {
            let (way, what) = (top.then("shown").item(i), format!("shown surface {}", shown.name));
            self.spots(way.then("stroke"), &shown.stroke, &what);
            self.length(way.then("radius_mm"), shown.radius_mm, &format!("the radius of {what}"));
        }
        self.master_and_block(&top);
        self.materials(&top.then("materials"));
        self.casting(&top);
        for (i, issue) in plan.issues.iter().enumerate() {
            let way = top.then("issues").item(i);
            self.count(way.then("revision"), issue.revision, "the revision of an issue");
            self.at_most(&way.then("decisions"), issue.decisions.len(), super::issue::MOST_DECISIONS);
            let drawn = issue.draws_mm3.unwrap_or(0.0);
            let range = [0.0, super::issue::MOST_DRAWN_MM3];
            self.number(way.then("draws_mm3"), drawn, range, "what the let-up draws", " mm³");
        }
    }

    fn lists(&mut self, top: &Way) {
        let plan = self.plan;
        let parting = &plan.parting;
        for (way, length) in [
            ("parts", plan.parts.len()),
            ("feed.gates", plan.feed.gates.len()),
            ("vents", plan.vents.len()),
            ("inserts", plan.inserts.len()),
            ("shown", plan.shown.len()),
            ("parting.pins", parting.pins.len()),
            ("parting.marks", parting.marks.len()),
            ("parting.held_loops", parting.held_loops.len()),
            ("parting.shut_offs", parting.shut_offs.len()),
            ("parting.relief_cuts", parting.relief_cuts.len()),
            ("parting.loose_pieces", parting.loose_pieces.len()),
            ("dimensions", plan.dimensions.len()),
        ] {
            self.at_most(&top.then(way), length, MOST_THINGS);
        }
        for (way, length) in [("unlocked", plan.unlocked.len()), ("log", plan.log.len()), ("issues", plan.issues.len())]
        {
            self.at_most(&top.then(way), length, MOST_ENTRIES);
        }
    }

    fn hang(&mut self, way: &Way) {
        let hang = &self.plan.hang;
        for (field, attitude, what) in
            [("rubber", Some(hang.rubber), "rubber is poured"), ("cast", hang.cast, "resin is poured")]
        {
            let Some(attitude) = attitude else { continue };
            let way = way.then(field);
            self.direction(way.then("up"), attitude.up, &format!("up while {what}"));
            self.number(way.then("turn"), attitude.turn, TURN, &format!("the turn about up while {what}"), " rad");
        }
        let w = hang.weights;
        for (field, weight) in [
            ("high_point", w.high_point),
            ("air", w.air),
            ("rubber_air", w.rubber_air),
            ("ceiling", w.ceiling),
            ("height", w.height),
            ("block", w.block),
            ("undercut_level", w.undercut_level),
            ("undercut_upright", w.undercut_upright),
            ("shown", w.shown),
        ] {
            self.number(way.then("weights").then(field), weight, [0.0, 1000.0], "a weight of the hang", "");
        }
    }

    fn feed(&mut self, way: &Way) {
        let feed = &self.plan.feed;
        self.length(way.then("cup.diameter_mm"), feed.cup.diameter_mm, "the cup's diameter");
        self.length(way.then("cup.height_mm"), feed.cup.height_mm, "the cup's height");
        // Of gates of one number the first counts, as everywhere.
        let joins: BTreeMap<u32, Option<u32>> = feed.gates.iter().rev().map(|g| (g.number, g.joins)).collect();
        for (i, gate) in feed.gates.iter().enumerate() {
            let (way, what) = (way.then("gates").item(i), format!("gate {}", gate.number));
            self.count(way.then("number"), gate.number, "the number of a gate");
            self.spot(&way.then("at"), &gate.at, &what);
            self.length(way.then("diameter_mm"), gate.diameter_mm, &format!("the diameter of {what}"));
            let runner = format!("the runner of {what}");
            self.length(way.then("runner_diameter_mm"), gate.runner_diameter_mm, &format!("the diameter of {runner}"));
            self.length(way.then("land_mm"), gate.land_mm, &format!("the length of the narrow end of {what}"));
            self.at_most(&way.then("runner"), gate.runner.len(), MOST_THINGS);
            for (k, corner) in gate.runner.iter().enumerate() {
                self.point(way.then("runner").item(k), *corner, &runner);
            }
            self.joins(&way, gate, &joins);
        }
    }

    fn inserts(&mut self, way: &Way) {
        for (i, insert) in self.plan.inserts.iter().enumerate() {
            let (way, what) = (way.item(i), format!("insert {}", insert.number));
            self.count(way.then("number"), insert.number, "the number of an insert");
            self.spot(&way.then("at"), &insert.at, &what);
            let pocket = format!("the pocket length of {what}");
            self.number(way.then("in_pocket_mm"), insert.in_pocket_mm, FROM_NOUGHT_MM, &pocket, " mm");
            let sizes: &[(&str, f64)] = match &insert.kind {
                InsertKind::Bush { diameter_mm, length_mm, .. }
                | InsertKind::Pin { diameter_mm, length_mm }
                | InsertKind::Magnet { diameter_mm, length_mm } => {
                    &[("diameter_mm", *diameter_mm), ("length_mm", *length_mm)]
                }
                InsertKind::Plate { length_mm, width_mm, thickness_mm } => {
                    &[("length_mm", *length_mm), ("width_mm", *width_mm), ("thickness_mm", *thickness_mm)]
                }
                InsertKind::Mesh { .. } => &[],
            };
            for (field, size) in sizes {
                self.length(way.then("kind").then(field), *size, &format!("a size of {what}"));
            }
            if let Some(density) = insert.density_g_cm3 {
                let words = format!("the density of {what}");
                self.number(way.then("density_g_cm3"), density, DENSITY_G_CM3, &words, " g/cm³");
            }
            if let Some(hottest) = insert.hottest_c {
                let words = format!("the hottest that {what} bears");
                self.number(way.then("hottest_c"), hottest, [-273.15, 3000.0], &words, " °C");
            }
        }
    }

    fn master_and_block(&mut self, top: &Way) {
        let (master, block) = (&self.plan.master, &self.plan.block);
        let way = top.then("block");
        for (field, value, what) in [
            ("wall_mm", block.wall_mm, "the rubber at the sides"),
            ("below_mm", block.below_mm, "the rubber below the part"),
            ("above_mm", block.above_mm, "the rubber above the part"),
            ("first_pour_mm", block.first_pour_mm, "the height of the first pour"),
        ] {
            if let Some(value) = value {
                self.length(way.then(field), value, what);
            }
        }
        if let Some(cure_c) = block.cure_c {
            self.number(way.then("cure_c"), cure_c, [0.0, 200.0], "the temperature at which the rubber cures", " °C");
        }
        let way = top.then("master");
        if let Some(density) = master.density_g_cm3 {
            self.number(way.then("density_g_cm3"), density, DENSITY_G_CM3, "the density of the master", " g/cm³");
        }
        if let Some(mass) = master.weighed_g {
            self.number(way.then("weighed_g"), mass, MASS_G, "the mass of the master", " g");
        }
        if let MasterCore::Hollow { skin_mm, .. } = master.core {
            self.length(way.then("core.skin_mm"), skin_mm, "the skin of the hollow master");
        }
        self.length(way.then("plugged_rod_mm"), master.plugged_rod_mm, "the diameter of the plugged rods");
        let rods = f64::from(master.plugged_rods);
        self.number(way.then("plugged_rods"), rods, [0.0, 1000.0], "the number of plugged rods", "");
    }

    fn materials(&mut self, way: &Way) {
        let used = &self.plan.materials;
        self.number(way.then("pigment_pct"), used.pigment_pct, [0.0, 50.0], "the pigment", " %");
        let found = [
            ("silicone", used.silicone.as_ref().and_then(ranges::silicone)),
            ("resin", used.resin.as_ref().and_then(ranges::resin)),
            ("panel", used.panel.as_ref().and_then(ranges::panel)),
            ("rod", used.rod.as_ref().and_then(ranges::rod)),
        ];
        for (field, fault) in found {
            if let Some(fault) = fault {
                self.say(&way.then(field).then(&fault.figure), fault.words);
            }
        }
    }

    fn casting(&mut self, top: &Way) {
        let plan = self.plan;
        let (way, quantity) = (top.then("quantity"), &plan.quantity);
        self.count(way.then("good"), quantity.good, "the number of good casts");
        self.count(way.then("set_up"), quantity.set_up.unwrap_or(0), "the number of casts to set the job up");
        if let Some(share) = quantity.reject_share {
            self.number(way.then("reject_share"), share, [0.0, 0.99], "the share of rejects", "");
        }
        let (way, diary) = (top.then("diary"), &plan.diary);
        self.number(way.then("masters"), f64::from(diary.masters), [1.0, 1000.0], "the number of masters", "");
        let batch = f64::from(diary.blocks_a_batch);
        self.number(way.then("blocks_a_batch"), batch, [1.0, 1000.0], "the number of blocks that a batch fills", "");
        if !diary.works.contains(&true) {
            self.say(&way.then("works"), "no day of the week is worked".into());
        }
        for (i, dimension) in plan.dimensions.iter().enumerate() {
            let way = top.then("dimensions").item(i);
            self.length(way.then("length_mm"), dimension.length_mm, &format!("dimension {}", dimension.name));
        }
        for (i, cast) in plan.log.iter().enumerate() {
            let way = top.then("log").item(i);
            self.count(way.then("shot"), cast.shot, "the number of a shot");
            let what = format!("the mass of shot {}", cast.shot);
            self.number(way.then("trimmed_g"), cast.trimmed_g, [0.0, MASS_G[1]], &what, " g");
        }
    }

    fn second_shot(&mut self, way: &Way) {
        let Some(second) = &self.plan.second_shot else { return };
        let parts = self.plan.parts.len();
        if parts > 1 {
            // Window and commands never write that: which of the parts the other shot is cast over, nobody has said.
            let words = format!(
                "it holds {parts} parts and another shot, but a two-shot job has one part a block; keep one part, or take \
                 `second_shot` out of the file, and plan a block for each"
            );
            self.say(way, words);
        }
        self.pose(way.then("pose"), &second.pose, "the other shot's part");
        if let Some(wait) = second.wait_s {
            self.number(way.then("wait_s"), wait, [0.0, 1e8], "the time between the two shots", " s");
        }
        if let Some(mm3) = second.channels_mm3 {
            let what = "what the channels of the other shot hold";
            self.number(way.then("channels_mm3"), mm3, [0.0, 1e12], what, " mm³");
        }
        if let Some(fault) = second.resin.as_ref().and_then(ranges::resin) {
            self.say(&way.then("resin").then(&fault.figure), fault.words);
        }
    }

    fn parting(&mut self, way: &Way) {
        let parting = &self.plan.parting;
        self.direction(way.then("draw"), parting.draw, "the draw");
        if let Some(plane) = parting.plane_mm {
            self.number(way.then("plane_mm"), plane, WAY_MM, "the height of the parting plane", " mm");
        }
        for (i, pin) in parting.pins.iter().enumerate() {
            self.spot(&way.then("pins").item(i).then("at"), &pin.at, "a pin of the parting line");
        }
        for (i, mark) in parting.marks.iter().enumerate() {
            let way = way.then("marks").item(i);
            self.spots(way.then("stroke"), &mark.stroke, "a mark of the parting");
            self.length(way.then("radius_mm"), mark.radius_mm, "the radius of a mark of the parting");
        }
        for (i, held) in parting.held_loops.iter().enumerate() {
            self.spots(way.then("held_loops").item(i).then("points"), &held.points, "a held loop");
        }
        for (i, choice) in parting.shut_offs.iter().enumerate() {
            let way = way.then("shut_offs").item(i);
            self.spot(&way.then("near"), &choice.near, "a shut-off");
            self.number(way.then("moved_mm"), choice.moved_mm, WAY_MM, "the way of a shut-off along its hole", " mm");
            self.spots(way.then("held"), &choice.held, "a shut-off that was moved");
        }
        for (i, cut) in parting.relief_cuts.iter().enumerate() {
            let (way, what) = (way.then("relief_cuts").item(i), format!("relief cut {}", cut.name));
            self.spots(way.then("points"), &cut.points, &what);
            self.length(way.then("depth_mm"), cut.depth_mm, &format!("the depth of {what}"));
        }
        for (i, piece) in parting.loose_pieces.iter().enumerate() {
            let (way, what) = (way.then("loose_pieces").item(i), format!("loose piece {}", piece.name));
            self.spot(&way.then("at"), &piece.at, &what);
            self.direction(way.then("leaves_along"), piece.leaves_along, &format!("the way out of {what}"));
            self.length(way.then("radius_mm"), piece.radius_mm, &format!("the size of {what}"));
        }
    }
}
