//! The printed sheet.

mod agree;
mod changes;
mod drawing;
mod figures;
mod layout;
mod outlines;
mod pdf;
mod sample;
mod section;
mod steps;
mod templates;
mod two_shot;
mod words;
