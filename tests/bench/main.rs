//! Timings.

fn main() {}
