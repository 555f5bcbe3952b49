//! The software 3D view.

mod pictures;
