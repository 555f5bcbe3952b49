//! Facts, findings and proposals.

mod air_awkward;
mod air_cells;
mod air_closed_forms;
mod air_lean;
mod air_order;
mod air_picture;
mod air_propose;
mod air_shapes;
mod air_voxels;
mod bench;
mod block;
mod body;
mod findings;
mod flow;
mod parting;
mod parting_by_hand;
mod parting_draw;
mod parting_hand;
mod parting_line;
mod parting_live;
mod parting_shapes;
mod quantities;
mod runners;
mod thickness;
mod vents_aside;
