//! Trapped air: where air stays when resin rises as a level surface in the cavity.
//!
//! Air at height z can still leave if its region, a connected component of the cavity above z, holds the mouth of a
//! vent; when it cannot, that air stays. Everything follows from the join tree of the cavity
//! ([`crate::solve::surface_tree`]) and one walk over it ([`walk`]). Where the cavity is not closed, the same is done
//! on cells ([`crate::solve::cell_tree`]) and the error that they carry is stated.
//!
//! The cavity is one closed mesh in `work`; directions are unit vectors in `work`.

pub mod air_tree;
pub mod bubble;
pub mod ceiling;
pub mod ceiling_runs;
pub mod ceilings;
pub mod closed_off;
pub mod facts;
pub mod high_points;
pub mod level_picture;
pub mod matters;
pub mod mouth;
pub mod needless;
pub mod piece;
pub mod propose;
pub mod trees;
pub mod walk;

pub use air_tree::AirTree;
pub use high_points::HighPoint;
pub use level_picture::LevelPicture;
pub use matters::Matters;
pub use mouth::{Mouth, MouthOf};
pub use piece::Piece;
pub use trees::{Air, LEAN_DIRECTIONS, lean_directions};
pub use walk::Trapped;
