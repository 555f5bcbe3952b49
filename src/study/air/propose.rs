//! Where mouths should be: the fewest that leave no pocket over the limit, level and leaning to any side.

use crate::solve::run::{Cancelled, Run};
use crate::study::air::mouth::{Mouth, MouthOf, Rim};
use crate::study::air::walk::{self, Piece};
use crate::study::air::{Air, AirTree};
use glam::Vec3;
use rayon::prelude::*;

/// Mouths proposed at most.
pub const MOST_MOUTHS: usize = 40;

/// Peaks looked at in each round.
const CANDIDATES: usize = 48;

/// One proposed mouth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proposed {
    /// The mouth: on a peak, level or leaning.
    pub mouth: Mouth,
    /// Air that would stay level without it, with all others there, mm³.
    pub level_mm3: f64,
    /// The most that would stay leaning without it, over what stays with it, mm³.
    pub lean_mm3: f64,
}

impl Proposed {
    /// Why it is there, in words.
    pub fn reason(&self) -> String {
        if self.level_mm3 >= self.lean_mm3 * 0.5 {
            format!(
                "A peak: without a mouth here {} of air stays even when the block stands level",
                volume(self.level_mm3)
            )
        } else {
            format!(
                "Under a near-level ceiling: without a mouth here {} of air stays when the block leans",
                volume(self.lean_mm3)
            )
        }
    }
}

fn volume(mm3: f64) -> String {
    if mm3 >= 1000.0 { format!("{:.1} cm³", mm3 / 1000.0) } else { format!("{mm3:.0} mm³") }
}

/// A proposal.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proposal {
    /// The mouths, the most useful first.
    pub mouths: Vec<Proposed>,
    /// What still stays in the worst case, mm³.
    pub worst_mm3: f64,
    /// The largest single body of air that still stays in any attitude, mm³: under the limit unless [`MOST_MOUTHS`]
    /// were not enough.
    pub largest_mm3: f64,
}

/// Chooses mouths of `diameter_mm` greedily until no body of air of `limit_mm3` stays, level or leaning, beside the
/// `given` ones; then leaves out those that turned out needless.
///
/// Each mouth is set on the peak, level or leaning, that most lessens what stays over all attitudes. A peak of its own
/// attitude always clears its pocket there, so every round helps and the choice ends.
pub fn propose(air: &Air, given: &[Mouth], diameter_mm: f64, limit_mm3: f64, run: &Run) -> Result<Proposal, Cancelled> {
    let trees: Vec<&AirTree> = air.trees().collect();
    let rims = |mouths: &[Mouth]| -> Vec<Vec<Rim>> {
        trees.iter().map(|t| mouths.iter().filter_map(|m| t.rim(m)).collect()).collect()
    };
    // Only bodies over the limit count; small ones would make a mouth at every wrinkle look useful.
    let excess =
        |pieces: &[Piece]| -> f64 { pieces.iter().filter(|p| p.volume_mm3 >= limit_mm3).map(|p| p.volume_mm3).sum() };
    let all_pieces = |rims: &[Vec<Rim>]| -> Vec<Vec<Piece>> {
        trees.par_iter().zip(rims).map(|(t, r)| walk::pieces(t, r)).collect()
    };
    let mut chosen: Vec<Mouth> = Vec::new();
    let mut held = rims(given);
    let mut pieces = all_pieces(&held);
    while chosen.len() < MOST_MOUTHS {
        run.check()?;
        run.progress(chosen.len() as f32 / MOST_MOUTHS as f32);
        let mut peaks: Vec<(f64, Vec3)> = Vec::new();
        for (tree, pieces) in trees.iter().zip(&pieces) {
            for piece in pieces.iter().filter(|p| p.volume_mm3 >= limit_mm3) {
                peaks.push((piece.volume_mm3, tree.summit_point(piece.branch)));
            }
        }
        if peaks.is_empty() {
            break;
        }
        // The level tree comes first, so among equals its peaks stay.
        peaks.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut places: Vec<Vec3> = Vec::new();
        for (_, at) in peaks {
            if places.len() < CANDIDATES && places.iter().all(|p| p.distance(at) > 0.25 * diameter_mm as f32) {
                places.push(at);
            }
        }
        let trials: Vec<(f64, Mouth)> = places
            .par_iter()
            .map(|&centre| {
                let of = MouthOf::Proposed(chosen.len() as u32);
                let mouth = Mouth { of, centre, normal: Vec3::ZERO, diameter_mm };
                let mut left = 0.0;
                for (tree, held) in trees.iter().zip(&held) {
                    let mut with: Vec<Rim> = held.clone();
                    with.extend(tree.rim(&mouth));
                    left += excess(&walk::pieces(tree, &with));
                }
                (left, mouth)
            })
            .collect();
        let now: f64 = pieces.iter().map(|p| excess(p)).sum();
        let Some(best) = trials.into_iter().reduce(|a, b| if b.0 < a.0 - 1e-9 * now { b } else { a }) else { break };
        if best.0 >= now {
            break;
        }
        for (tree, held) in trees.iter().zip(&mut held) {
            held.extend(tree.rim(&best.1));
        }
        chosen.push(best.1);
        pieces = all_pieces(&held);
    }
    // Later mouths may have made earlier ones needless.
    let with = |mouths: &[Mouth]| [given, mouths].concat();
    let mut i = 0;
    while i < chosen.len() {
        run.check()?;
        let mut fewer = chosen.clone();
        fewer.remove(i);
        let before: f64 = all_pieces(&rims(&with(&chosen))).iter().map(|p| excess(p)).sum();
        let after: f64 = all_pieces(&rims(&with(&fewer))).iter().map(|p| excess(p)).sum();
        if after <= before {
            chosen = fewer;
        } else {
            i += 1;
        }
    }
    let totals = |mouths: &[Mouth]| -> Vec<f64> {
        all_pieces(&rims(&with(mouths))).iter().map(|p| p.iter().map(|p| p.volume_mm3).sum()).collect()
    };
    let with_all = totals(&chosen);
    let mouths = (0..chosen.len())
        .map(|i| {
            let mut fewer = chosen.clone();
            fewer.remove(i);
            let without = totals(&fewer);
            let more = |t: usize| without[t] - with_all[t];
            Proposed {
                mouth: Mouth { of: MouthOf::Proposed(i as u32), ..chosen[i] },
                level_mm3: more(0),
                lean_mm3: (1..without.len()).map(more).fold(0.0, f64::max),
            }
        })
        .collect();
    let left = all_pieces(&rims(&with(&chosen)));
    Ok(Proposal {
        mouths,
        worst_mm3: with_all.iter().copied().fold(0.0, f64::max),
        largest_mm3: left.iter().flatten().map(|p| p.volume_mm3).fold(0.0, f64::max),
    })
}
