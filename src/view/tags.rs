//! Numbered tags: where they stand so that none covers another, and their shapes.

use crate::view::scene::{PickId, TagKind};
use glam::Vec2;

/// A tag as it stands in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedTag {
    /// Index in the scene's tags.
    pub index: usize,
    /// False where its foot is out of sight or no room was left.
    pub shown: bool,
    /// Middle of the tag, pixels.
    pub centre_px: Vec2,
    /// Radius of the circle that holds its whole shape, pixels.
    pub radius_px: f32,
    /// Where its leader points, pixels.
    pub foot_px: Vec2,
    /// Its kind.
    pub kind: TagKind,
    /// What is written in it.
    pub text: String,
    /// What picking calls it.
    pub pick: Option<PickId>,
}
