//! All tests in one binary, which keeps linking short.

mod house;
mod solve;
mod view;
