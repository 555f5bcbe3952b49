//! Where the line crosses shown surfaces.

use crate::study::air::mouth::distance_to_segment;
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::hand::{Stroke, shown};
use crate::study::parting::surface::NONE;
use glam::Vec3;

/// A shown surface with a line across it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The surface, by its place in the plan.
    pub shown: usize,
    /// Length of line across it, millimetres; along mesh edges, so an upper bound.
    pub length_mm: f64,
    /// How much of that lies where a person holds a loop, millimetres.
    pub held_mm: f64,
    /// How much of that lies where a person moved a shut-off to, millimetres.
    pub moved_mm: f64,
    /// A place on it.
    pub place: Vec3,
}

/// Loops that lie where a person wants them, as closed lines of points.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ByHand {
    /// Held loops.
    pub held: Vec<Vec<Vec3>>,
    /// Shut-offs that were moved along their holes.
    pub moved: Vec<Vec<Vec3>>,
}

/// An edge of the line this near to a loop of a person lies on it, millimetres: between its points the loop is straight, the
/// surface below it is not.
const ON_IT_MM: f64 = 0.2;

/// Every shown surface that a line of the parting crosses: the line has it on both sides. A line on its rim is none.
pub fn crossings(parting: &PartingFacts, strokes: &[Stroke], by_hand: &ByHand) -> Vec<Crossing> {
    let surface = &*parting.surface;
    let on = |loops: &[Vec<Vec3>], ends: [Vec3; 2]| {
        loops.iter().any(|l| ends.iter().all(|&end| distance_to_loop(l, end) < ON_IT_MM))
    };
    let mut crossings = Vec::new();
    for (i, stroke) in strokes.iter().enumerate() {
        let under = shown(surface, std::slice::from_ref(stroke));
        let mut found: Option<Crossing> = None;
        for &(f, k) in parting.loops.iter().flat_map(|l| &l.edges) {
            let g = surface.across[f as usize][k as usize];
            if g == NONE || !under[f as usize] || !under[g as usize] {
                continue;
            }
            let ends = surface.ends(f as usize, k as usize);
            let [a, b] = ends;
            let new = Crossing { shown: i, length_mm: 0.0, held_mm: 0.0, moved_mm: 0.0, place: (a + b) / 2.0 };
            let crossing = found.get_or_insert(new);
            let length_mm = f64::from(a.distance(b));
            crossing.length_mm += length_mm;
            if on(&by_hand.held, ends) {
                crossing.held_mm += length_mm;
            } else if on(&by_hand.moved, ends) {
                crossing.moved_mm += length_mm;
            }
        }
        crossings.extend(found);
    }
    crossings
}

/// From a point to a closed line of points, millimetres.
fn distance_to_loop(points: &[Vec3], to: Vec3) -> f64 {
    let next = points.iter().cycle().skip(1);
    let to = to.as_dvec3();
    points
        .iter()
        .zip(next)
        .map(|(a, b)| distance_to_segment(to, a.as_dvec3(), b.as_dvec3()))
        .fold(f64::INFINITY, f64::min)
}
