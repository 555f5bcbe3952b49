//! Mouldbench plans a silicone mould before it is poured: how the master hangs, where the block opens, where resin
//! comes in and air goes out, what is moulded in, how much of everything, and the setup sheet for the bench.
//!
//! Rooms, from the ground up; a room imports only those below it:
//!
//! | room | what it holds |
//! |---|---|
//! | [`files`] | reading plain files, writing them whole and over nothing that was not meant |
//! | [`mesh`] | triangles: reading, welding, topology, rays, nearest, measures, refinement, union and difference |
//! | [`solve`] | general methods: join tree, minimum cut, shortest path, marching, outlines |
//! | [`shop`] | what the shop has and allows |
//! | [`plan`] | what the toolmaker decides: document, file, edits, undo |
//! | [`study`] | what follows from a plan: facts, findings, proposals, the report |
//! | [`view`] | the software 3D view |
//! | [`sheet`] | the printed setup sheet |
//! | [`command`] | the work without a window |
//! | `app` | the window |
#![warn(missing_docs)]

#[cfg(feature = "window")]
pub mod app;
pub mod command;
pub mod files;
pub mod mesh;
pub mod plan;
pub mod sheet;
pub mod shop;
pub mod solve;
pub mod study;
pub mod view;
