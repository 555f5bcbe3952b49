//! What stands where.

mod block;
mod body;
mod brush;
mod channel_strike;
mod channels;
mod insert_gap;
mod largest_ball;
mod master_size;
mod thickness;
