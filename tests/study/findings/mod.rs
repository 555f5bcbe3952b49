//! Judgements.

mod blade_meets_core;
mod rules;
