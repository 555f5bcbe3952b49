//! General methods with no trade word in them: join tree, minimum cut, shortest path, marching, outlines with hidden
//! parts removed. `run` is the cancel and progress token that long ones take.

pub mod cell_field;
pub mod cell_tree;
pub mod cells;
pub mod civil_date;
pub mod closed_surface;
pub mod conduction;
pub mod creep;
pub mod join_tree;
pub mod level_cut;
pub mod level_volume;
pub mod march;
pub mod min_cut;
pub mod multigrid;
pub mod outline;
pub mod planar;
pub mod plate;
pub mod relax;
pub mod run;
pub mod straight;
pub mod surface_tree;
pub mod taut;
pub mod torsion;
