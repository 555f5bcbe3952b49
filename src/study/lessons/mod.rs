//! What is learnt from a job: exercises, a closer look, and what came out wrong.

pub mod came_out_wrong;
pub mod closer_look;
pub mod practice;
