//! Where the line crosses shown surfaces.

use crate::study::parting::PartingFacts;
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
    /// A place on it.
    pub place: Vec3,
}

/// Every shown surface that a line of the parting crosses: the line has it on both sides. A line on its rim is none.
pub fn crossings(parting: &PartingFacts, strokes: &[Stroke]) -> Vec<Crossing> {
    let surface = &*parting.surface;
    let mut crossings = Vec::new();
    for (i, stroke) in strokes.iter().enumerate() {
        let under = shown(surface, std::slice::from_ref(stroke));
        let mut length_mm = 0.0f64;
        let mut place = None;
        for &(f, k) in parting.loops.iter().flat_map(|l| &l.edges) {
            let g = surface.across[f as usize][k as usize];
            if g != NONE && under[f as usize] && under[g as usize] {
                let [a, b] = surface.ends(f as usize, k as usize);
                length_mm += a.distance(b) as f64;
                place.get_or_insert((a + b) / 2.0);
            }
        }
        crossings.extend(place.map(|place| Crossing { shown: i, length_mm, place }));
    }
    crossings
}
