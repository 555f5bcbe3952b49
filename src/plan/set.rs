//! The set: which parts one block casts, how many of each kind, and how a part is copied, moved or taken out together with
//! all that belongs to it.

use super::{Part, Plan, Pose, Spot};
use glam::{DAffine3, DQuat};

/// Parts of one mesh: the same thing several times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kind {
    /// What it is called.
    pub name: String,
    /// Its parts by their place in the plan, in order.
    pub parts: Vec<usize>,
    /// Good parts of it that are wanted.
    pub wanted: u32,
}

impl Kind {
    /// Parts of it in one shot.
    pub fn a_shot(&self) -> u32 {
        self.parts.len() as u32
    }

    /// Good shots that give what is wanted of it.
    pub fn shots(&self) -> u32 {
        self.wanted.div_ceil(self.a_shot().max(1))
    }
}

impl Part {
    /// True where the other is one more of the same.
    pub fn is_same_kind(&self, other: &Part) -> bool {
        self.mesh == other.mesh && self.unit == other.unit && self.bodies.one() == other.bodies.one()
    }
}

impl Plan {
    /// The kinds of parts, in the order of their first ones.
    pub fn kinds(&self) -> Vec<Kind> {
        let mut kinds: Vec<Kind> = Vec::new();
        for (i, part) in self.parts.iter().enumerate() {
            match kinds.iter_mut().find(|k| self.parts[k.parts[0]].is_same_kind(part)) {
                Some(kind) => kind.parts.push(i),
                None => kinds.push(Kind {
                    name: own_name(part),
                    parts: vec![i],
                    wanted: part.wanted.unwrap_or(self.quantity.good),
                }),
            }
        }
        kinds
    }

    /// What part `i` is called: its name, with a running number where several bear it.
    pub fn part_title(&self, i: usize) -> String {
        let Some(part) = self.parts.get(i) else { return String::new() };
        let bears_it = |p: &&Part| p.name == part.name;
        if self.parts.iter().filter(bears_it).count() < 2 {
            return own_name(part);
        }
        format!("{} {}", own_name(part), self.parts[..=i].iter().filter(bears_it).count())
    }

    /// What is called `name` and stands on part `i`; where several parts are cast, with the part's name.
    pub fn of_part(&self, name: &str, i: usize) -> String {
        if self.parts.len() < 2 { name.to_owned() } else { format!("{name} on {}", self.part_title(i)) }
    }

    /// Good shots that give every kind its quantity.
    pub fn good_shots(&self) -> u32 {
        self.kinds().iter().map(Kind::shots).max().unwrap_or(self.quantity.good)
    }

    /// Changes part `i` and every other of its kind.
    pub fn change_kind(&mut self, i: usize, mut change: impl FnMut(&mut Part)) {
        let Some(one) = self.parts.get(i).cloned() else { return };
        self.parts.iter_mut().filter(|p| p.is_same_kind(&one)).for_each(&mut change);
    }

    /// Puts a copy of part `i` at `pose`, with a copy of everything that lies on it alone: gates, vents, inserts, shown
    /// surfaces, and the hand work on its parting. Returns its place in the plan.
    pub fn copy_part(&mut self, i: usize, pose: Pose) -> Option<usize> {
        let part = self.parts.get(i)?.clone();
        let new = self.parts.len();
        let moved = move_from(&part.pose, &pose);
        self.parts.push(Part { pose, ..part });
        let on = |spot: &Spot| spot.part == i;
        let put = |spot: &Spot| Spot { part: new, ..*spot };
        let all = |spots: &[Spot]| !spots.is_empty() && spots.iter().all(on);
        let put_all = |spots: &[Spot]| -> Vec<Spot> { spots.iter().map(put).collect() };

        let mut numbers: Vec<(u32, u32)> = Vec::new();
        for mut gate in self.feed.gates.clone().into_iter().filter(|g| on(&g.at)) {
            let number = self.free_gate_number();
            numbers.push((gate.number, number));
            gate.number = number;
            gate.at = put(&gate.at);
            gate.runner.iter_mut().for_each(|c| *c = moved.transform_point3(*c));
            self.feed.gates.push(gate);
        }
        // What ran into a gate of the part runs into that gate's copy.
        for gate in self.feed.gates.iter_mut().filter(|g| g.at.part == new) {
            if let Some((_, copy)) = numbers.iter().find(|n| Some(n.0) == gate.joins) {
                gate.joins = Some(*copy);
            }
        }
        for mut vent in self.vents.clone().into_iter().filter(|v| on(&v.at)) {
            vent.number = self.free_vent_number();
            vent.at = put(&vent.at);
            self.vents.push(vent);
        }
        for mut insert in self.inserts.clone().into_iter().filter(|x| on(&x.at)) {
            insert.number = self.free_insert_number();
            insert.at = put(&insert.at);
            self.inserts.push(insert);
        }
        for mut shown in self.shown.clone().into_iter().filter(|s| all(&s.stroke)) {
            shown.stroke = put_all(&shown.stroke);
            self.shown.push(shown);
        }
        let parting = &mut self.parting;
        for mut pin in parting.pins.clone().into_iter().filter(|p| on(&p.at)) {
            pin.at = put(&pin.at);
            parting.pins.push(pin);
        }
        for mut mark in parting.marks.clone().into_iter().filter(|m| all(&m.stroke)) {
            mark.stroke = put_all(&mark.stroke);
            parting.marks.push(mark);
        }
        for mut held in parting.held_loops.clone().into_iter().filter(|h| all(&h.points)) {
            held.points = put_all(&held.points);
            parting.held_loops.push(held);
        }
        for mut choice in parting.shut_offs.clone().into_iter().filter(|c| on(&c.near)) {
            choice.near = put(&choice.near);
            choice.held = put_all(&choice.held);
            parting.shut_offs.push(choice);
        }
        for mut cut in parting.relief_cuts.clone().into_iter().filter(|c| all(&c.points)) {
            cut.points = put_all(&cut.points);
            parting.relief_cuts.push(cut);
        }
        for mut piece in parting.loose_pieces.clone().into_iter().filter(|p| on(&p.at)) {
            piece.at = put(&piece.at);
            piece.leaves_along = moved.transform_vector3(piece.leaves_along);
            parting.loose_pieces.push(piece);
        }
        Some(new)
    }

    /// Sets part `i` somewhere else; what is stored in `set` and belongs to it goes along.
    pub fn move_part(&mut self, i: usize, pose: Pose) {
        let Some(part) = self.parts.get_mut(i) else { return };
        let moved = move_from(&part.pose, &pose);
        part.pose = pose;
        for gate in self.feed.gates.iter_mut().filter(|g| g.at.part == i) {
            gate.runner.iter_mut().for_each(|c| *c = moved.transform_point3(*c));
        }
        for piece in self.parting.loose_pieces.iter_mut().filter(|p| p.at.part == i) {
            piece.leaves_along = moved.transform_vector3(piece.leaves_along);
        }
    }

    /// Turns part `i` by `turn` of `set` about a point of its own, and then shifts nothing else.
    pub fn turn_part(&mut self, i: usize, turn: DQuat, about_in_set: glam::DVec3) {
        let Some(part) = self.parts.get(i) else { return };
        let rotation = (turn * part.pose.rotation).normalize();
        let translation_mm = about_in_set + turn * (part.pose.translation_mm - about_in_set);
        self.move_part(i, Pose { rotation, translation_mm });
    }

    /// Takes part `i` out with all that lies on it. The only part stays.
    pub fn remove_part(&mut self, i: usize) {
        if i >= self.parts.len() || self.parts.len() < 2 {
            return;
        }
        self.parts.remove(i);
        let on = |spot: &Spot| spot.part == i;
        self.feed.gates.retain(|g| !on(&g.at));
        self.let_go_of_lost_joins();
        self.vents.retain(|v| !on(&v.at));
        self.inserts.retain(|x| !on(&x.at));
        self.shown.iter_mut().for_each(|s| s.stroke.retain(|p| !on(p)));
        self.shown.retain(|s| !s.stroke.is_empty());
        let parting = &mut self.parting;
        parting.pins.retain(|p| !on(&p.at));
        parting.marks.iter_mut().for_each(|m| m.stroke.retain(|p| !on(p)));
        parting.marks.retain(|m| !m.stroke.is_empty());
        parting.held_loops.retain(|h| !h.points.iter().any(on));
        parting.shut_offs.retain(|c| !on(&c.near) && !c.held.iter().any(on));
        parting.relief_cuts.retain(|c| !c.points.iter().any(on));
        parting.loose_pieces.retain(|p| !on(&p.at));
        self.each_spot(|spot| {
            if spot.part > i {
                spot.part -= 1;
            }
        });
        // Of a part alone the quantity is that of the plan.
        if let [alone] = &mut self.parts[..]
            && let Some(wanted) = alone.wanted.take()
        {
            self.quantity.good = wanted;
        }
    }

    /// A gate whose runner ran into one that is gone runs up to the cup itself.
    pub fn let_go_of_lost_joins(&mut self) {
        let numbers: Vec<u32> = self.feed.gates.iter().map(|g| g.number).collect();
        for gate in &mut self.feed.gates {
            gate.joins = gate.joins.filter(|n| numbers.contains(n));
        }
    }

    /// Every spot that the plan holds.
    pub(super) fn each_spot(&mut self, mut change: impl FnMut(&mut Spot)) {
        let parting = &mut self.parting;
        let strokes = self.shown.iter_mut().map(|s| &mut s.stroke);
        let strokes = strokes.chain(parting.marks.iter_mut().map(|m| &mut m.stroke));
        let strokes = strokes.chain(parting.held_loops.iter_mut().map(|h| &mut h.points));
        let strokes = strokes.chain(parting.relief_cuts.iter_mut().map(|c| &mut c.points));
        strokes.flatten().for_each(&mut change);
        for choice in &mut parting.shut_offs {
            change(&mut choice.near);
            choice.held.iter_mut().for_each(&mut change);
        }
        parting.pins.iter_mut().for_each(|p| change(&mut p.at));
        parting.loose_pieces.iter_mut().for_each(|p| change(&mut p.at));
        self.feed.gates.iter_mut().for_each(|g| change(&mut g.at));
        self.vents.iter_mut().for_each(|v| change(&mut v.at));
        self.inserts.iter_mut().for_each(|x| change(&mut x.at));
    }
}

fn own_name(part: &Part) -> String {
    if part.name.trim().is_empty() { "Part".to_owned() } else { part.name.clone() }
}

/// The move in `set` that takes what stands at `from` to `to`.
fn move_from(from: &Pose, to: &Pose) -> DAffine3 {
    to.set_from_part() * from.set_from_part().inverse()
}
