//! The house itself: which room may import which.

mod arrows;
mod paths;
mod rooms;
