//! Triangles: measures, topology, reading, trees, refinement, booleans.

mod awkward;
mod boolean;
mod by_libraries;
mod check;
mod measure;
mod read_stl;
mod reference_values;
mod refine;
pub mod sound;
mod topology;
mod tree;
mod weld;
mod winding;
