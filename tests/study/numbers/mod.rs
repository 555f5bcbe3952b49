//! Figures for the bench.

pub mod a_job;
mod box_panels;
mod diary;
mod hanging;
mod insert_held;
mod pours;
mod quantities;
mod rods_cut;
mod size;
mod two_shot;
mod two_shot_days;
mod two_shot_job;
