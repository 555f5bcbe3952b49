//! The plan: its file, its faults, its history.

mod any_plan;
mod file;
mod history;
pub mod mutation;
mod ranges;
mod set;
