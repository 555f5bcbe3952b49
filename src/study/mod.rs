//! What follows from a plan: facts (numbers and geometry), findings (judgements), proposals (as plan edits), and the
//! one record that screen, JSON and sheet read.
//!
//! Geometry here is in the `work` frame: the `set` frame of the plan with the bench's origin subtracted, as `f32`.
//! Directions (`up`, `draw`) are unit vectors in `work`, which has the axes of `set`.
//!
//! Each room imports only those above it in this list, and no two files import each other in a circle:
//!
//! - [`job`]: what stands where
//! - [`air`]: trapped air, ceilings, basins and recesses
//! - [`parting`]: line, cut, what lets go
//! - [`pour`]: flow path, reach, fill, let-up, which feed; feed and vents as they follow from facts
//! - [`numbers`]: weights, hanging, box, size, casts, days, two shots, inserts held
//! - [`ways_up`]: directions measured and weighed; the wedge
//! - [`mod@bench`]: the cache, all facts of a plan
//! - [`findings`]: judgements, one file a rule
//! - [`propose`]: whole plans and steps of them
//! - [`report`]: the one record and its JSON
//! - [`lessons`]: exercises, a closer look, what came out wrong

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
