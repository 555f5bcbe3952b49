//! Facts, findings and proposals, a folder a room.

mod air;
mod bench;
mod findings;
mod job;
mod lessons;
mod numbers;
mod parting;
mod pour;
mod propose;
mod ways_up;
