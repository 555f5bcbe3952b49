//! What stands where: frames, setting, meshes, parts placed, body, cavity, channels, inserts, surfaces that show, walls
//! and gaps, the block and what the master measures. It knows of no air, no halves and no flow.

pub mod apart;
pub mod block;
pub mod body;
pub mod body_shape;
pub mod cavity;
pub mod channel_scar;
pub mod channel_strike;
pub mod channels;
pub mod frames;
pub mod fresh_id;
pub mod gravity;
pub mod insert_gap;
pub mod insert_shapes;
pub mod largest_ball;
pub mod layout;
pub mod loose_bodies;
pub mod master_size;
pub mod mesh_store;
pub mod metal;
pub mod mouth_wall;
pub mod other_shot;
pub mod part_figures;
pub mod placed;
pub mod rod_clearance;
pub mod samples;
pub mod setting;
pub mod shown;
pub mod spot;
pub mod thickness;
pub mod turn;
pub mod wall_name;
pub mod words;
