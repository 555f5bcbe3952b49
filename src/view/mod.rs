//! The software 3D view: it knows meshes and pixels, and nothing of windows.
//!
//! - [`camera`]: where the eye is; orbit, pan, zoom, standard views; rays and projections
//! - [`scene`]: what is drawn, as a plain list
//! - [`render`]: [`render::Renderer`] turns the two into a [`picture::Picture`], which answers what lies under a pixel
//! - [`palette`]: colours, the even ramp, and its legend
//!
//! ```
//! use mouldbench::{mesh::solids, view::{camera::Camera, palette::{self, Theme}, render::{Quality, Renderer}, scene}};
//! let ball = std::sync::Arc::new(solids::ball(glam::Vec3::ZERO, 10.0, 3));
//! let mut scene = scene::Scene::new(Theme::LIGHT);
//! let mut surface = scene::Surface::new(ball, scene::Paint::Uniform(Theme::LIGHT.part));
//! surface.pick = Some(7);
//! scene.surfaces.push(surface);
//! let mut camera = Camera::new(glam::DVec2::new(320.0, 200.0));
//! camera.fit(&scene.bounds(), 0.1);
//! let mut renderer = Renderer::new();
//! let picture = renderer.render(&scene, &camera, Quality::Fine);
//! let hit = picture.pick(glam::DVec2::new(160.0, 100.0)).expect("the ball is in the middle");
//! assert_eq!((picture.rgba.len(), hit.id), (320 * 200 * 4, 7));
//! # let _ = palette::FEED;
//! ```

pub mod camera;
mod canvas;
mod figures;
pub mod furniture;
mod glass;
mod lettering;
mod occlusion;
mod outline;
pub mod palette;
pub mod picture;
pub mod prepared;
mod raster;
pub mod render;
pub mod scene;
mod shade;
mod stage;
mod strokes;
pub mod tags;
