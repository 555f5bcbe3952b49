//! All tests in one binary, which keeps linking short.

mod command;
mod house;
mod mesh;
mod plan;
mod sheet;
mod shop;
mod solve;
mod study;
mod view;
