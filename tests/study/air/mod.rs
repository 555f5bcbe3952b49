//! Trapped air, ceilings, basins and recesses.

mod awkward;
mod ceilings;
mod cells;
mod closed_forms;
mod closed_off;
mod lean;
mod needless;
mod order;
mod picture;
mod propose;
pub mod shapes;
mod voxels;
