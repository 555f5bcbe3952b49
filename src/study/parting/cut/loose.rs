//! Loose pieces and metal cores as they fit into the opened block: within its walls, without what channels, pockets and
//! other pieces take.

use super::CutError;
use super::block_box::BlockBox;
use super::facts::hollows;
use crate::mesh::boolean::{intersect, subtract};
use crate::mesh::{Bounds, Mesh};
use crate::solve::run::Run;
use crate::study::job::setting::Setting;
use crate::study::parting::release::Release;
use std::sync::Arc;

/// A loose piece as a closed mesh in `work`, or why there is none.
pub type Fitted = Result<Arc<Mesh>, String>;

/// Every loose piece of `release` in plan order. Where two run into each other the earlier one keeps the place.
///
/// # Errors
/// [`CutError::Cancelled`].
pub fn fitted(release: &Release, setting: &Setting, block: &BlockBox, run: &Run) -> Result<Vec<Fitted>, CutError> {
    let hollows = hollows(&setting.channels, &setting.inserts, setting.frames.rubber_up());
    let mut taken: Vec<(Bounds, &Mesh)> = hollows.iter().map(|m| (m.bounds(), m)).collect();
    let mut made = Vec::with_capacity(release.pieces.len());
    for piece in &release.pieces {
        run.check()?;
        made.push(piece.solid.clone().and_then(|solid| {
            let room = solid.bounds();
            let near: Vec<&Mesh> = taken.iter().filter(|(b, _)| b.overlaps(&room)).map(|(_, m)| *m).collect();
            within(&solid, &near, block)
        }));
        if let Some(room) = &piece.room {
            taken.push((room.bounds(), room));
        }
    }
    Ok(made)
}

/// `solid` inside the block without `taken`; itself where neither changes it.
fn within(solid: &Arc<Mesh>, taken: &[&Mesh], block: &BlockBox) -> Fitted {
    let mut left = solid.clone();
    if solid.positions.iter().any(|p| block.depth(p.as_dvec3()) < 0.0) {
        left = Arc::new(intersect(&left, &block.mesh()).map_err(|e| e.to_string())?);
    }
    if !taken.is_empty() {
        left = Arc::new(subtract(&left, taken).map_err(|e| e.to_string())?);
    }
    Ok(left)
}
