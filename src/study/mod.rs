//! What follows from a plan: facts (numbers and geometry), findings (judgements), proposals (as plan edits), and the
//! one record that screen, JSON and sheet read.
//!
//! Geometry here is in the `work` frame: the `set` frame of the plan with the bench's origin subtracted, as `f32`.
//! Directions (`up`, `draw`) are unit vectors in `work`, which has the axes of `set`.

pub mod air;
pub mod block;
pub mod channels;
pub mod findings;
pub mod flow;
pub mod frames;
pub mod insert_shapes;
pub mod parting;
pub mod quantities;
pub mod report;
pub mod slot;
pub mod thickness;
