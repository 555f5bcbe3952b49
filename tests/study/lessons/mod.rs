//! Exercises, a closer look, and what came out wrong.

mod came_out_wrong;
mod closer_look;
mod practice;
