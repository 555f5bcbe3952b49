//! Judgements.

mod blade_meets_core;
mod carried_out;
mod rules;
