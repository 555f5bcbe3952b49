//! Which bodies of a mesh file a part is made of: a file may hold several that lie loose beside each other, and only a
//! person knows whether they are one part or parts of a set.

use super::{Plan, Spot};
use glam::DVec3;
use serde::{Deserialize, Serialize};

/// What was said of the bodies of a part's file that do not hang together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Bodies {
    /// Nothing yet; of a file whose bodies all hang together nothing needs to be.
    #[default]
    NotSaid,
    /// All of them together are one part.
    OnePart,
    /// The part is the one that is nearest to this; what hangs together with it goes along.
    One(BodyAt),
}

/// A body as it is found again in its file, also after that was exported anew. In the numbers of the file, whatever unit
/// they are in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BodyAt {
    /// Its centroid.
    pub centroid: DVec3,
    /// The lowest corner of the box round it.
    pub low: DVec3,
    /// The highest.
    pub high: DVec3,
}

impl BodyAt {
    /// How unlike two bodies are: the sum of the squared ways between their centroids and the corners of their boxes. A
    /// centroid alone would take a bush for the bore that it lies in.
    pub fn unlike(&self, other: &BodyAt) -> f64 {
        self.centroid.distance_squared(other.centroid)
            + self.low.distance_squared(other.low)
            + self.high.distance_squared(other.high)
    }
}

impl Bodies {
    /// The body that it is, where it is one of several.
    pub fn one(&self) -> Option<BodyAt> {
        match self {
            Bodies::One(at) => Some(*at),
            Bodies::NotSaid | Bodies::OnePart => None,
        }
    }
}

impl Plan {
    /// Takes all bodies in the file of part `i` for one part, in every copy of it.
    pub fn take_bodies_as_one(&mut self, i: usize) {
        self.change_kind(i, |part| part.bodies = Bodies::OnePart);
    }

    /// Makes a part of its own of each of the `bodies` in the file of part `i` and of its copies, where they are. The first
    /// stays at the part's place in the plan, the others come last. What lies on the part goes to the body that `on` says,
    /// by its place in `bodies`.
    pub fn part_bodies(&mut self, i: usize, bodies: &[BodyAt], on: impl Fn(&Spot) -> usize) {
        let Some(one) = self.parts.get(i).cloned() else { return };
        let copies: Vec<usize> = (0..self.parts.len()).filter(|&k| self.parts[k].is_same_kind(&one)).collect();
        // For each copy the places in the plan of its bodies.
        let mut places: Vec<(usize, Vec<usize>)> = Vec::new();
        for copy in copies {
            let whole = self.parts[copy].clone();
            let named = |n: usize| match whole.name.trim() {
                "" => format!("Body {}", n + 1),
                name => format!("{name}, body {}", n + 1),
            };
            let mut of_copy = Vec::new();
            for (n, at) in bodies.iter().enumerate() {
                let part = super::Part { name: named(n), bodies: Bodies::One(*at), ..whole.clone() };
                if n == 0 {
                    self.parts[copy] = part;
                    of_copy.push(copy);
                } else {
                    of_copy.push(self.parts.len());
                    self.parts.push(part);
                }
            }
            places.push((copy, of_copy));
        }
        self.each_spot(|spot| {
            if let Some((_, of_copy)) = places.iter().find(|(copy, _)| *copy == spot.part) {
                spot.part = of_copy.get(on(spot)).copied().unwrap_or(spot.part);
            }
        });
    }
}
