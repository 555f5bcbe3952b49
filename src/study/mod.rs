//! What follows from a plan: facts (numbers and geometry), findings (judgements), proposals (as plan edits), and the
//! one record that screen, JSON and sheet read.
//!
//! Geometry here is in the `work` frame: the `set` frame of the plan with the bench's origin subtracted, as `f32`.
//! Directions (`up`, `draw`) are unit vectors in `work`, which has the axes of `set`.

pub mod air;
pub mod air_facts;
pub mod apart;
pub mod bench;
pub mod bench_numbers;
pub mod block;
pub mod body;
pub mod body_shape;
pub mod box_panels;
pub mod came_out_wrong;
pub mod cast_log;
pub mod cavity;
pub mod ceiling_runs;
pub mod ceilings;
pub mod channels;
pub mod closed_off;
pub mod closer_look;
pub mod cut;
pub mod diary;
pub mod figure_sources;
pub mod fill;
pub mod findings;
pub mod flow;
pub mod frames;
pub mod gate_falls;
pub mod hang_search;
pub mod hanging;
pub mod insert_gap;
pub mod insert_holds;
pub mod insert_shapes;
pub mod layout;
pub mod master_size;
pub mod mesh_store;
pub mod metal;
pub mod parting;
pub mod parting_wish;
pub mod placed;
pub mod practice;
pub mod propose;
pub mod quantities;
pub mod reach;
pub mod release;
pub mod report;
pub mod report_air;
pub mod report_bench;
pub mod report_fill;
pub mod report_of;
pub mod report_release;
pub mod report_set;
pub mod report_two_shot;
pub mod rod_clearance;
pub mod schedule;
pub mod shown;
pub mod size;
pub mod slot;
pub mod thickness;
pub mod two_shot;
pub mod vent_fit;
pub mod wedge;
