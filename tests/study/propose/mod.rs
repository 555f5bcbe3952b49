//! Whole plans, and sets of parts.

mod runners;
pub mod set;
