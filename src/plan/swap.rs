//! Half 1 becomes half 2: names and sides change, and nothing that can be felt in the rubber.

use super::{Plan, Spot};

impl Plan {
    /// Gives each half the other's name. Whatever is told by a half or by the draw turns round with it, so that the same
    /// block is meant; done twice the plan is what it was.
    pub fn swap_halves(&mut self) {
        let parting = &mut self.parting;
        parting.draw = -parting.draw;
        parting.plane_mm = parting.plane_mm.map(|height| -height);
        for mark in &mut parting.marks {
            mark.half = mark.half.other();
        }
        for held in &mut parting.held_loops {
            turn_round(&mut held.points);
        }
        for choice in &mut parting.shut_offs {
            turn_round(&mut choice.held);
            choice.moved_mm = -choice.moved_mm;
        }
        for insert in &mut self.inserts {
            insert.half = insert.half.map(|half| half.other());
        }
    }
}

/// A closed loop the other way round, from the same first point.
fn turn_round(points: &mut [Spot]) {
    if let Some((_, rest)) = points.split_first_mut() {
        rest.reverse();
    }
}
