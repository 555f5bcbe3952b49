//! The printed sheet.

mod pdf;
mod sample;
