//! What the shop has and allows.

mod desk;
mod file;
