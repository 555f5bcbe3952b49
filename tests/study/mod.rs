//! Facts, findings and proposals.

mod air_closed_forms;
mod air_shapes;
mod air_voxels;
mod parting;
mod parting_shapes;

