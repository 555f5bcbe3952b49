//! The printed sheet.

mod drawing;
mod figures;
mod layout;
mod pdf;
mod sample;
mod steps;
