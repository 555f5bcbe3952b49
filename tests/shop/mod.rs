//! What the shop has and allows.

mod file;
