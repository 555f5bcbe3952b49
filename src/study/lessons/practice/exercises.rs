//! The exercises that come with the program, easiest first.

use crate::mesh::read_stl;
use crate::plan::{Plan, Unit};
use crate::study::propose::bare_plan;

/// One exercise.
#[derive(Clone, Copy, Debug)]
pub struct Exercise {
    /// What its button says.
    pub title: &'static str,
    /// How hard it is, from 1 to 3.
    pub grade: u32,
    /// One line about it.
    pub about: &'static str,
    /// What there is to learn on it, said once it was poured.
    pub lesson: &'static str,
    /// The name of its mesh.
    pub mesh: &'static str,
    bytes: &'static [u8],
}

/// Every exercise, easiest first. The parts are invented.
pub const EXERCISES: [Exercise; 3] = [
    Exercise {
        title: "Battery step",
        grade: 1,
        about: "a slab with two blocks on it",
        lesson: "What stands up needs a vent, what hangs down needs none. Turned over, the blocks fill first, the one without a gate over a sill, and only the flat \
                 side is left, which wants to be leaned so that the air runs to one corner. The computed plan comes to one \
                 high point another way: on edge, and leaned. Either will do.",
        mesh: "practice-step.stl",
        bytes: include_bytes!("../../../../assets/practice/practice-step.stl"),
    },
    Exercise {
        title: "Cable bridge",
        grade: 2,
        about: "two legs, a beam across them, a peg on top",
        lesson: "Legs up, each leg is a pocket of its own and each wants a vent. Legs down, resin that comes in by one foot fills \
                 it, runs over the beam and falls into the other leg, where the air must get out past it. Laid on its side and leaned a little towards one end, as in the computed plan, the \
                 air has one way up and the resin one way in.",
        mesh: "practice-bridge.stl",
        bytes: include_bytes!("../../../../assets/practice/practice-bridge.stl"),
    },
    Exercise {
        title: "Sensor lid",
        grade: 3,
        about: "a thin lid with a rim, four bosses and a collar inside",
        lesson: "Open side up, the rim, the collar and each boss catch air of their own. Open side down, the flat top is one \
                 level ceiling on the face that shows. On edge and leaned, as in the computed plan, almost all of it drains to one corner.",
        mesh: "practice-lid.stl",
        bytes: include_bytes!("../../../../assets/practice/practice-lid.stl"),
    },
];

impl Exercise {
    /// A fresh plan about its part.
    pub fn plan(&self) -> Plan {
        let digest = read_stl::digest_of(self.bytes);
        let mut plan = bare_plan(self.title, self.mesh, &digest, Unit::Millimetre);
        plan.notes = "Invented, for practice".into();
        plan
    }
}

/// The parts of the exercises by the names that their plans use.
pub fn meshes() -> impl Iterator<Item = (String, &'static [u8])> {
    EXERCISES.iter().map(|e| (e.mesh.to_owned(), e.bytes))
}
