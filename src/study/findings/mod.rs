//! Judgements on facts: one file a rule.

pub mod finding;

pub use finding::{Finding, Remedy, Step};
