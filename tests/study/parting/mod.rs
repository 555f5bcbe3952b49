//! Line, cut, and what lets go.

mod by_hand;
mod cut;
mod cut_bodies;
mod cut_hooks;
mod cut_plan;
mod cut_shapes;
mod draw;
mod films;
mod halves_swapped;
mod hand;
mod in_box;
mod line;
mod live;
mod locked;
mod release;
mod release_help;
mod release_rubber;
mod release_strain;
pub mod shapes;
mod shut_off_moved;
pub mod whole;
