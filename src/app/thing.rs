//! The things that a person places on the part, and how they are called.

use crate::plan::{InsertKind, Plan, Spot};
use crate::study::findings::Step;
use crate::view::palette::{self, Colour};
use crate::view::scene::PickId;

/// A placed thing. Gates, vents and inserts are known by number, the others by their place in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Thing {
    /// A gate, by number.
    Gate(u32),
    /// A vent, by number.
    Vent(u32),
    /// An insert, by number.
    Insert(u32),
    /// A pin of the parting line, by place in the plan.
    Pin(usize),
    /// A stroke that gives faces to a half, by place in the plan.
    Mark(usize),
    /// A shown surface, by place in the plan.
    Shown(usize),
    /// A relief cut, by place in the plan.
    ReliefCut(usize),
    /// A loose piece, by place in the plan.
    LoosePiece(usize),
}

/// Picks below this are parts.
const FIRST_THING: u32 = 1 << 20;
/// Room for the numbers of one kind.
const ROOM: u32 = 1 << 24;

impl Thing {
    /// What the view's picking calls it.
    pub fn pick_id(self) -> PickId {
        let (kind, n) = match self {
            Thing::Gate(n) => (0, n),
            Thing::Vent(n) => (1, n),
            Thing::Insert(n) => (2, n),
            Thing::Pin(i) => (3, i as u32),
            Thing::Mark(i) => (4, i as u32),
            Thing::Shown(i) => (5, i as u32),
            Thing::ReliefCut(i) => (6, i as u32),
            Thing::LoosePiece(i) => (7, i as u32),
        };
        FIRST_THING + kind * ROOM + n % ROOM
    }

    /// The thing that picking called `id`; none for a part.
    pub fn from_pick(id: PickId) -> Option<Thing> {
        let id = id.checked_sub(FIRST_THING)?;
        let n = id % ROOM;
        Some(match id / ROOM {
            0 => Thing::Gate(n),
            1 => Thing::Vent(n),
            2 => Thing::Insert(n),
            3 => Thing::Pin(n as usize),
            4 => Thing::Mark(n as usize),
            5 => Thing::Shown(n as usize),
            6 => Thing::ReliefCut(n as usize),
            7 => Thing::LoosePiece(n as usize),
            _ => return None,
        })
    }

    /// What it is called: its own name, else its kind and number.
    pub fn title(self, plan: &Plan) -> String {
        let own = match self {
            Thing::Gate(n) => plan.feed.gates.iter().find(|g| g.number == n).map(|g| &g.name),
            Thing::Vent(n) => plan.vents.iter().find(|v| v.number == n).map(|v| &v.name),
            Thing::Insert(n) => plan.inserts.iter().find(|i| i.number == n).map(|i| &i.name),
            Thing::Shown(i) => plan.shown.get(i).map(|s| &s.name),
            Thing::ReliefCut(i) => plan.parting.relief_cuts.get(i).map(|c| &c.name),
            Thing::LoosePiece(i) => plan.parting.loose_pieces.get(i).map(|p| &p.name),
            Thing::Pin(_) | Thing::Mark(_) => None,
        };
        match own {
            Some(name) if !name.is_empty() => name.clone(),
            _ => self.plain_title(),
        }
    }

    /// Its kind and number.
    pub fn plain_title(self) -> String {
        match self {
            Thing::Gate(n) => format!("Gate {n}"),
            Thing::Vent(n) => format!("Vent {n}"),
            Thing::Insert(n) => format!("Insert {n}"),
            Thing::Pin(i) => format!("Pin {}", i + 1),
            Thing::Mark(i) => format!("Mark {}", i + 1),
            Thing::Shown(i) => format!("Shown surface {}", i + 1),
            Thing::ReliefCut(i) => format!("Relief cut {}", i + 1),
            Thing::LoosePiece(i) => format!("Loose piece {}", i + 1),
        }
    }

    /// Its kind and number as it stands in a sentence.
    pub fn in_sentence(self) -> String {
        let title = self.plain_title();
        title[..1].to_lowercase() + &title[1..]
    }

    /// What the edit is called that moves it.
    pub fn move_name(self) -> String {
        format!("Move {}", self.in_sentence())
    }

    /// Where it is; none where it is not in the plan.
    pub fn spot(self, plan: &Plan) -> Option<Spot> {
        match self {
            Thing::Gate(n) => plan.feed.gates.iter().find(|g| g.number == n).map(|g| g.at),
            Thing::Vent(n) => plan.vents.iter().find(|v| v.number == n).map(|v| v.at),
            Thing::Insert(n) => plan.inserts.iter().find(|i| i.number == n).map(|i| i.at),
            Thing::Pin(i) => plan.parting.pins.get(i).map(|p| p.at),
            Thing::Mark(i) => plan.parting.marks.get(i).and_then(|m| m.stroke.first().copied()),
            Thing::Shown(i) => plan.shown.get(i).and_then(|s| s.stroke.first().copied()),
            Thing::ReliefCut(i) => plan.parting.relief_cuts.get(i).and_then(|c| c.points.first().copied()),
            Thing::LoosePiece(i) => plan.parting.loose_pieces.get(i).map(|p| p.at),
        }
    }

    /// Puts it somewhere else; strokes stay where they were drawn.
    pub fn put(self, plan: &mut Plan, spot: Spot) {
        match self {
            Thing::Gate(n) => {
                if let Some(g) = plan.feed.gates.iter_mut().find(|g| g.number == n) {
                    g.at = spot;
                }
            }
            Thing::Vent(n) => {
                if let Some(v) = plan.vents.iter_mut().find(|v| v.number == n) {
                    v.at = spot;
                }
            }
            Thing::Insert(n) => {
                if let Some(i) = plan.inserts.iter_mut().find(|i| i.number == n) {
                    i.at = spot;
                }
            }
            Thing::Pin(i) => {
                if let Some(p) = plan.parting.pins.get_mut(i) {
                    p.at = spot;
                }
            }
            Thing::LoosePiece(i) => {
                if let Some(p) = plan.parting.loose_pieces.get_mut(i) {
                    p.at = spot;
                }
            }
            Thing::Mark(_) | Thing::Shown(_) | Thing::ReliefCut(_) => {}
        }
    }

    /// True where dragging moves it.
    pub fn can_move(self) -> bool {
        !matches!(self, Thing::Mark(_) | Thing::Shown(_) | Thing::ReliefCut(_))
    }

    /// Takes it out of the plan.
    pub fn remove(self, plan: &mut Plan) {
        match self {
            Thing::Gate(n) => {
                plan.feed.gates.retain(|g| g.number != n);
                plan.let_go_of_lost_joins();
            }
            Thing::Vent(n) => plan.vents.retain(|v| v.number != n),
            Thing::Insert(n) => plan.inserts.retain(|i| i.number != n),
            Thing::Pin(i) if i < plan.parting.pins.len() => {
                plan.parting.pins.remove(i);
            }
            Thing::Mark(i) if i < plan.parting.marks.len() => {
                plan.parting.marks.remove(i);
            }
            Thing::Shown(i) if i < plan.shown.len() => {
                plan.shown.remove(i);
            }
            Thing::ReliefCut(i) if i < plan.parting.relief_cuts.len() => {
                plan.parting.relief_cuts.remove(i);
            }
            Thing::LoosePiece(i) if i < plan.parting.loose_pieces.len() => {
                plan.parting.loose_pieces.remove(i);
            }
            Thing::Pin(_) | Thing::Mark(_) | Thing::Shown(_) | Thing::ReliefCut(_) | Thing::LoosePiece(_) => {}
        }
    }

    /// The step of the job card that it belongs to.
    pub fn step(self) -> Step {
        match self {
            Thing::Gate(_) => Step::Feed,
            Thing::Vent(_) => Step::Vents,
            Thing::Insert(_) => Step::Inserts,
            Thing::Pin(_) | Thing::Mark(_) | Thing::ReliefCut(_) | Thing::LoosePiece(_) => Step::Parting,
            Thing::Shown(_) => Step::Part,
        }
    }

    /// Its colour in the view.
    pub fn colour(self) -> Colour {
        match self {
            Thing::Gate(_) => palette::FEED,
            Thing::Vent(_) => palette::VENT,
            Thing::Insert(_) => palette::INSERT,
            Thing::Pin(_) | Thing::Mark(_) => palette::LINE_DARK,
            Thing::Shown(_) | Thing::LoosePiece(_) => palette::BLUE,
            Thing::ReliefCut(_) => palette::VERMILION,
        }
    }

    /// Its radius on the surface, millimetres.
    pub fn radius_mm(self, plan: &Plan) -> f64 {
        match self {
            Thing::Gate(n) => plan.feed.gates.iter().find(|g| g.number == n).map(|g| g.diameter_mm / 2.0),
            Thing::Vent(n) => plan.vents.iter().find(|v| v.number == n).map(|v| v.diameter_mm / 2.0),
            Thing::Insert(n) => plan.inserts.iter().find(|i| i.number == n).map(|i| insert_radius_mm(&i.kind)),
            Thing::Mark(i) => plan.parting.marks.get(i).map(|m| m.radius_mm),
            Thing::Shown(i) => plan.shown.get(i).map(|s| s.radius_mm),
            Thing::LoosePiece(i) => plan.parting.loose_pieces.get(i).map(|p| p.radius_mm),
            Thing::Pin(_) | Thing::ReliefCut(_) => None,
        }
        .unwrap_or(0.8)
    }
}

/// Half the width of an insert across its axis, millimetres.
pub fn insert_radius_mm(kind: &InsertKind) -> f64 {
    match kind {
        InsertKind::Bush { diameter_mm, .. }
        | InsertKind::Pin { diameter_mm, .. }
        | InsertKind::Magnet { diameter_mm, .. } => diameter_mm / 2.0,
        InsertKind::Plate { length_mm, width_mm, .. } => length_mm.max(*width_mm) / 2.0,
        InsertKind::Mesh { .. } => 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pick_comes_back_as_the_thing_it_was() {
        for thing in [
            Thing::Gate(1),
            Thing::Vent(7),
            Thing::Insert(3),
            Thing::Pin(0),
            Thing::Mark(12),
            Thing::Shown(2),
            Thing::ReliefCut(4),
            Thing::LoosePiece(1),
        ] {
            assert_eq!(Thing::from_pick(thing.pick_id()), Some(thing));
        }
        assert_eq!(Thing::from_pick(0), None);
        assert_eq!(Thing::from_pick(5), None);
    }
}
