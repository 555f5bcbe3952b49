//! Directions measured and weighed.

pub mod hang_search;
pub mod set_hung;
mod two_shot_hung;
