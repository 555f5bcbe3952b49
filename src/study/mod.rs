//! What follows from a plan: facts (numbers and geometry), findings (judgements), proposals (as plan edits), and the
//! one record that screen, JSON and sheet read.
//!
//! Geometry here is in the `work` frame: the `set` frame of the plan with the bench's origin subtracted, as `f32`.
//! Directions (`up`, `draw`) are unit vectors in `work`, which has the axes of `set`.

pub mod air;
pub mod bench;
pub mod findings;
pub mod job;
pub mod lessons;
pub mod numbers;
pub mod parting;
pub mod pour;
pub mod propose;
pub mod report;
pub mod ways_up;
