//! General methods against textbooks, brute force, closed forms and general-purpose libraries.

mod by_libraries;
mod cell_field;
mod cells;
mod civil_date;
mod conduction;
mod creep;
mod join_tree;
mod level_cut;
mod level_volume;
mod march;
mod min_cut;
mod multigrid;
mod outline;
mod planar;
mod plate;
mod reference_distance;
mod reference_max_flow;
mod reference_persistence;
pub mod sequence;
pub mod shapes;
mod straight;
mod taut;
