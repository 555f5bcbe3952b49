//! Which way up: many directions measured by every criterion, so that a person can weigh them.
//!
//! - [`subject`] is what is measured: every different part of the block by itself
//! - [`search`] measures: join trees for air, depth rasters for undercuts, sums over triangles for the rest
//! - [`HangSearch`] holds what was measured; its total with any weights is a sum over the kept figures, no new search
//! - [`candidates`] picks a few that lie well apart and trade different things; [`words`] says what they trade
//!
//! Directions are unit vectors in `work`. The same direction of the same part measures the same whatever other
//! directions are looked at, so that a search can be continued and results shown as they come.

pub mod candidates;
pub mod criteria;
mod directions;
pub mod found;
pub mod measure;
pub mod scored;
pub mod subject;
pub mod wedge;
pub mod words;

pub use criteria::{Criteria, Criterion, Norms};
pub use found::HangSearch;
pub use measure::{Asked, Measurer};
pub use scored::Scored;
pub use subject::Each;

use crate::mesh::Mesh;
use crate::plan::HangWeights;
use crate::shop::Limits;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Triangles swept in all, which bounds the time of the search.
const SWEPT: usize = 48_000_000;
/// Fewest and most directions of the first round; both ends of an axis count.
const DIRECTIONS: std::ops::RangeInclusive<usize> = 96..=240;
/// Directions of the first round that are looked round.
const BEST: usize = 5;
/// How far apart those are, degrees.
const BEST_APART_DEG: f32 = 25.0;
/// Axes measured between two pictures of what is known so far.
const BATCH: usize = 12;

/// Measures how the part hangs now (`hung`), hundreds of directions, and then round the best of them. `watch` is shown
/// what is known so far.
///
/// # Errors
/// [`Cancelled`].
pub fn search(
    parts: &[Each],
    limits: &Limits,
    asked: &Asked,
    hung: Vec3,
    run: &Run,
    mut watch: impl FnMut(&HangSearch),
) -> Result<HangSearch, Cancelled> {
    let bodies = parts.iter().filter(|p| p.body.id != p.master.id).map(|p| &p.body);
    let meshes: Vec<&Mesh> = parts.iter().map(|p| &p.master).chain(bodies).map(|b| &*b.mesh).collect();
    let triangles: usize = meshes.iter().map(|m| m.triangles.len()).sum();
    let count = (SWEPT / triangles.max(1)).clamp(*DIRECTIONS.start(), *DIRECTIONS.end());
    let axes = directions::axes(&meshes, count / 2);
    let draws = measure::undercuts(parts, &axes, run)?;
    let measurer = Measurer::new(parts, limits, asked, draws.clone(), run)?;
    run.progress(0.15);
    let mut found = HangSearch {
        asked: asked.clone(),
        hung: measurer.one(hung, run)?,
        scored: Vec::new(),
        draws,
        norms: measurer.norms(),
        no_air: measurer.no_air(),
        complete: false,
    };
    let whole = axes.len();
    for (done, batch) in axes.chunks(BATCH).enumerate() {
        let new: Vec<[Scored; 2]> =
            batch.par_iter().map(|axis| measurer.both_ends(*axis, run)).collect::<Result<_, Cancelled>>()?;
        found.scored.extend(new.into_iter().flatten());
        run.progress(0.15 + 0.6 * ((done + 1) * BATCH).min(whole) as f32 / whole as f32);
        watch(&found);
    }
    // Round the best by the usual weights: which directions are measured does not depend on a person's, so that those
    // can be changed without a new search.
    let centres = candidates::apart(&found, &HangWeights::default(), BEST_APART_DEG, BEST);
    for (done, centre) in centres.iter().enumerate() {
        let closer = directions::round(found.scored[*centre].up, &found);
        let new: Vec<Scored> = closer.par_iter().map(|up| measurer.one(*up, run)).collect::<Result<_, Cancelled>>()?;
        found.scored.extend(new);
        run.progress(0.75 + 0.25 * (done + 1) as f32 / centres.len() as f32);
        watch(&found);
    }
    found.complete = true;
    Ok(found)
}
