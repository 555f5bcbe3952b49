//! Triangles: measures, topology, reading, trees, refinement, booleans.

mod awkward;
mod boolean;
mod by_libraries;
mod check;
mod measure;
mod pieces;
mod read_stl;
mod reference_values;
mod refine;
mod topology;
mod tree;
mod weld;
mod winding;
