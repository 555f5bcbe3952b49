//! All tests in one binary, which keeps linking short.

#[cfg(feature = "window")]
mod app;
mod command;
mod house;
mod known;
mod mesh;
mod plan;
mod sheet;
mod shop;
mod solve;
mod study;
mod view;
