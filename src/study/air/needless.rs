//! Mouths that can go, all of them together.
//!
//! Of two mouths that do the same job either can go, not both. So a set is sought that can go as a whole: one mouth
//! after the other is left out, the one that is missed least first, as long as no more stays than with all of them. What
//! is kept cannot be made smaller by leaving out any one more of it.

use super::air_tree::AirTree;
use super::mouth::{Mouth, MouthOf};
use super::trees::Air;
use super::walk;
use crate::study::air::mouth::Rim;
use rayon::prelude::*;

/// A mouth that can go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needless {
    /// The mouth that is kept and lets the same air out.
    pub instead: Option<MouthOf>,
}

/// For each mouth, whether it can go: with every mouth so marked left out, at most `limit_mm3` more stays than with all
/// of them, level and leaning to any side. Only vents and proposed mouths go; a mouth off the cavity is nothing that could
/// go.
pub fn needless(air: &Air, mouths: &[Mouth], limit_mm3: f64) -> Vec<Option<Needless>> {
    let trees: Vec<&AirTree> = air.trees().collect();
    let rims: Vec<Vec<Option<Rim>>> =
        trees.par_iter().map(|tree| mouths.iter().map(|m| tree.rim(m)).collect()).collect();
    // What stays without those left out and without `also`, in every tree.
    let stays = |gone: &[bool], also: Option<usize>| -> Vec<f64> {
        let of_tree = |(tree, rims): (&&AirTree, &Vec<Option<Rim>>)| {
            let kept: Vec<Rim> =
                (0..rims.len()).filter(|i| !gone[*i] && Some(*i) != also).filter_map(|i| rims[i]).collect();
            walk::pieces(tree, &kept).iter().fold(0.0, |sum, p| sum + p.volume_mm3)
        };
        trees.par_iter().zip(&rims).map(of_tree).collect()
    };
    let mut gone = vec![false; mouths.len()];
    let all = stays(&gone, None);
    let misses = |without: &[f64]| without.iter().zip(&all).map(|(a, b)| a - b).fold(0.0, f64::max);
    let may_go =
        |i: usize| !matches!(mouths[i].of, MouthOf::Gate(_)) && rims.iter().any(|of_tree| of_tree[i].is_some());
    let mut order: Vec<(f64, usize)> =
        (0..mouths.len()).filter(|i| may_go(*i)).map(|i| (misses(&stays(&gone, Some(i))), i)).collect();
    // What is missed alone is missed in any set. Of equals the later one goes.
    order.retain(|o| o.0 <= limit_mm3);
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    for (_, i) in order {
        gone[i] = misses(&stays(&gone, Some(i))) <= limit_mm3;
    }
    let instead = |i: usize| Needless { instead: stand_in(&air.level, mouths, &rims[0], &gone, i) };
    (0..mouths.len()).map(|i| gone[i].then(|| instead(i))).collect()
}

/// Of the mouths that are kept, the highest in the smallest pocket round mouth `i` that holds one; of equally high ones
/// the nearest.
fn stand_in(level: &AirTree, mouths: &[Mouth], rims: &[Option<Rim>], gone: &[bool], i: usize) -> Option<MouthOf> {
    let join = level.tree();
    let mut branch = rims[i]?.branch;
    loop {
        let pocket = join.subtree(branch);
        let kept = (0..rims.len()).filter(|k| !gone[*k]);
        let inside = kept.filter_map(|k| rims[k].filter(|r| pocket.contains(&r.branch)).map(|r| (r.height, k)));
        let away = |k: usize| mouths[k].centre.distance(mouths[i].centre);
        let best = inside.max_by(|a, b| a.0.total_cmp(&b.0).then(away(b.1).total_cmp(&away(a.1))));
        if let Some((_, k)) = best {
            return Some(mouths[k].of);
        }
        branch = join.branches[branch as usize].parent?;
    }
}

impl Air {
    /// For each mouth whether it can go with all others that can; see [`needless()`].
    pub fn needless(&self, mouths: &[Mouth], limit_mm3: f64) -> Vec<bool> {
        needless(self, mouths, limit_mm3).iter().map(Option::is_some).collect()
    }
}
