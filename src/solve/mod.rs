//! General methods with no trade word in them: join tree, minimum cut, shortest path, marching, outlines with hidden
//! parts removed. `run` is the cancel and progress token that long ones take.

pub mod cells;
pub mod march;
pub mod min_cut;
pub mod outline;
pub mod run;
pub mod taut;
