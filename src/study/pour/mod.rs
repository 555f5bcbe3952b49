//! How resin comes in: its path, what it reaches, how it fills, which feed, and feed and vents as they follow from facts.
//!
//! What is here reads facts that are handed to it and changes no plan.

pub mod beside_lines;
pub mod facts;
pub mod feed;
pub mod feed_figures;
pub mod feed_ways;
pub mod fill;
pub mod flow;
pub mod gate_falls;
pub mod land;
pub mod let_up;
pub mod level_holds;
pub mod reach;
pub mod runner;
pub mod vent_fit;
pub mod vent_rules;
pub mod widths;
