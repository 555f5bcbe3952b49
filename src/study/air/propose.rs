//! Where mouths should be: the fewest that leave no air that matters, level and leaning to any side.

use crate::solve::run::{Cancelled, Run};
use crate::study::air::air_tree::AirTree;
use crate::study::air::matters::Matters;
use crate::study::air::mouth::{Mouth, MouthOf, Rim};
use crate::study::air::piece::Piece;
use crate::study::air::trees::Air;
use crate::study::air::walk;
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
    /// The largest single body of air that still stays in any attitude, mm³: no fault unless [`MOST_MOUTHS`] were not
    /// enough, or no mouth may stand where it gathers.
    pub largest_mm3: f64,
    /// Where faults are left, largest first.
    pub left: Vec<Vec3>,
}

/// What mouths are chosen by.
#[derive(Clone, Copy)]
pub struct Rules<'a> {
    /// Air that matters.
    pub matters: &'a Matters,
    /// Diameter of a mouth at a place, millimetres.
    pub diameter_mm: &'a (dyn Fn(Vec3) -> f64 + Sync),
    /// Whether a mouth may stand at a place.
    pub may_stand: &'a (dyn Fn(Vec3) -> bool + Sync),
}

/// The same with one diameter and one limit everywhere; see [`propose_by`].
///
/// # Errors
/// [`Cancelled`].
pub fn propose(air: &Air, given: &[Mouth], diameter_mm: f64, limit_mm3: f64, run: &Run) -> Result<Proposal, Cancelled> {
    let matters = Matters::from(limit_mm3);
    propose_by(air, given, Rules { matters: &matters, diameter_mm: &|_| diameter_mm, may_stand: &|_| true }, run)
}

/// Chooses mouths greedily until no air stays that matters, level or leaning, beside the `given` ones; then leaves out
/// those that turned out needless.
///
/// Each mouth is set on the peak, level or leaning, that most lessens what stays over all attitudes. A peak of its own
/// attitude always clears its pocket there, so every round helps and the choice ends.
///
/// # Errors
/// [`Cancelled`].
pub fn propose_by(air: &Air, given: &[Mouth], rules: Rules, run: &Run) -> Result<Proposal, Cancelled> {
    let matters = rules.matters;
    let trees: Vec<&AirTree> = air.trees().collect();
    let rims = |mouths: &[Mouth]| -> Vec<Vec<Rim>> {
        trees.iter().map(|t| mouths.iter().filter_map(|m| t.rim(m)).collect()).collect()
    };
    // Only faults count; small bodies would make a mouth at every wrinkle look useful.
    let is_fault = |tree: &AirTree, p: &Piece| matters.is_fault(p.volume_mm3, || tree.summit_point(p.branch));
    let all_excess = |pieces: &[Vec<Piece>]| -> f64 {
        trees.iter().zip(pieces).map(|(tree, pieces)| walk::excess_mm3(tree, pieces, matters)).sum()
    };
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
            for piece in pieces.iter().filter(|p| is_fault(tree, p)) {
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
            let apart_mm = 0.25 * (rules.diameter_mm)(at) as f32;
            let is_new = places.len() < CANDIDATES && places.iter().all(|p| p.distance(at) > apart_mm);
            if is_new && (rules.may_stand)(at) {
                places.push(at);
            }
        }
        let trials: Vec<(f64, Mouth)> = places
            .par_iter()
            .map(|&centre| {
                let of = MouthOf::Proposed(chosen.len() as u32);
                let mouth = Mouth { of, centre, normal: Vec3::ZERO, diameter_mm: (rules.diameter_mm)(centre) };
                let mut left = 0.0;
                for (tree, held) in trees.iter().zip(&held) {
                    let mut with: Vec<Rim> = held.clone();
                    with.extend(tree.rim(&mouth));
                    left += walk::excess_mm3(tree, &walk::pieces(tree, &with), matters);
                }
                (left, mouth)
            })
            .collect();
        let now: f64 = all_excess(&pieces);
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
        let before: f64 = all_excess(&all_pieces(&rims(&with(&chosen))));
        let after: f64 = all_excess(&all_pieces(&rims(&with(&fewer))));
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
    let faults = |(tree, pieces): (&&AirTree, &Vec<Piece>)| -> Vec<(f64, Vec3)> {
        let faults = pieces.iter().filter(|p| is_fault(tree, p));
        faults.map(|p| (p.volume_mm3, tree.summit_point(p.branch))).collect()
    };
    let mut faults: Vec<(f64, Vec3)> = trees.iter().zip(&left).flat_map(faults).collect();
    faults.sort_by(|a, b| b.0.total_cmp(&a.0));
    Ok(Proposal {
        mouths,
        worst_mm3: with_all.iter().copied().fold(0.0, f64::max),
        left: faults.into_iter().map(|f| f.1).collect(),
        largest_mm3: left.iter().flatten().map(|p| p.volume_mm3).fold(0.0, f64::max),
    })
}
