//! The window, driven by accessible label without a display.

mod bench;
mod cut;
mod fault;
mod files;
mod fill;
mod findings;
mod hang;
mod idle;
mod line;
mod loose_bodies;
mod painter;
mod parting_step;
mod pictures;
mod practice;
mod scenery;
mod set;
mod shop_page;
mod steps;
mod things;
mod two_shot;
mod view;
mod words_and_signs;
