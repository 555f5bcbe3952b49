//! The software 3D view.

mod camera;
mod opened;
mod palette;
mod pictures;
mod raster;
mod tags;
