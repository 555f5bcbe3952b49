//! How resin comes in, and which feed and vents it wants.

pub mod fed_job;
mod feed_rods;
mod feed_ways;
mod fill;
mod fill_falling;
mod fill_lever;
mod flow;
mod vents_aside;
mod vents_fit;
