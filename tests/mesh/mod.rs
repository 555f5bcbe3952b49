//! Triangles: measures, topology, reading, trees, refinement, booleans.

mod awkward;
mod measure;
mod refine;
mod topology;
mod tree;
mod weld;
