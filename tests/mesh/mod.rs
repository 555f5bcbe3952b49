//! Triangles: measures, topology, reading, trees, refinement, booleans.

mod awkward;
mod by_libraries;
mod measure;
mod reference_values;
mod refine;
mod topology;
mod tree;
mod weld;
