//! Figures for the bench: weights, the box, rods that hold, casts, days and two shots.

pub mod box_panels;
pub mod cast_log;
pub mod diary;
pub mod facts;
pub mod figures;
pub mod hanging;
pub mod insert_figures;
pub mod insert_holds;
pub mod of_bench;
pub mod quantities;
pub mod rods_share;
pub mod schedule;
pub mod size;
pub mod two_shot;
pub mod yields;
