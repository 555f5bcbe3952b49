//! A few directions to choose from: well apart, and each better at something than every other.

use super::criteria::Criterion;
use super::found::HangSearch;
use crate::plan::HangWeights;

/// Least angle between two candidates, degrees.
const APART_DEG: f32 = 25.0;
/// A direction with a better one this near is no candidate: it lies on the way to that one, degrees.
const SLOPE_DEG: f32 = 12.0;
/// Most candidates, and how many there are at least where the part has that many ways up.
const MOST: usize = 5;
const LEAST: usize = 3;
/// Less than this is no difference in a weighed figure: set here.
const SAME: f64 = 0.005;
/// By how much a candidate must be better at something, in its weighed figure before the weight: one in twenty of what
/// the weight stands for, and one whole high point (set here).
const BETTER: f64 = 0.05;

/// Directions by rising total, each at least `apart_deg` from those before it, at most `most`.
pub fn apart(search: &HangSearch, weights: &HangWeights, apart_deg: f32, most: usize) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::new();
    for i in ranked(&search.totals(weights)) {
        if chosen.len() == most {
            break;
        }
        if chosen.iter().all(|c| is_apart(search, *c, i, apart_deg)) {
            chosen.push(i);
        }
    }
    chosen
}

/// Up to five candidates, the best first: at least 25° apart, with nothing better close by, and each better than every
/// one before it at something; where that leaves fewer than three, those that are only apart fill up. Of any two of them
/// each is better at something: one that another beats or equals in every figure, as its mirror image does, is no choice.
pub fn candidates(search: &HangSearch, weights: &HangWeights) -> Vec<usize> {
    let totals = search.totals(weights);
    let ranked = ranked(&totals);
    let mut tops: Vec<usize> = Vec::new();
    for (rank, &i) in ranked.iter().enumerate() {
        if ranked[..rank].iter().all(|&b| totals[b] >= totals[i] || is_apart(search, b, i, SLOPE_DEG)) {
            tops.push(i);
        }
    }
    let mut chosen: Vec<usize> = Vec::new();
    for &i in &tops {
        let trades = |c: &usize| is_better_somewhere(search, i, *c) && !is_no_worse(search, i, *c);
        if chosen.len() < MOST && chosen.iter().all(|c| is_apart(search, *c, i, APART_DEG) && trades(c)) {
            chosen.push(i);
        }
    }
    for &i in &ranked {
        if chosen.len() >= LEAST {
            break;
        }
        let trades = |c: &usize| !is_no_worse(search, i, *c) && !is_no_worse(search, *c, i);
        if chosen.iter().all(|c| is_apart(search, *c, i, APART_DEG) && trades(c)) {
            chosen.push(i);
        }
    }
    chosen.sort_by(|a, b| totals[*a].total_cmp(&totals[*b]).then(a.cmp(b)));
    chosen
}

fn ranked(totals: &[f64]) -> Vec<usize> {
    let mut ranked: Vec<usize> = (0..totals.len()).collect();
    ranked.sort_by(|a, b| totals[*a].total_cmp(&totals[*b]).then(a.cmp(b)));
    ranked
}

fn is_apart(search: &HangSearch, a: usize, b: usize, degrees: f32) -> bool {
    search.scored[a].up.dot(search.scored[b].up) <= degrees.to_radians().cos()
}

/// True where `a` is as good as `b` or better in every figure, as they are printed.
fn is_no_worse(search: &HangSearch, a: usize, b: usize) -> bool {
    let loss = |c: Criterion, i: usize| c.loss(&search.scored[i].criteria, &search.norms).unwrap_or(0.0);
    Criterion::ALL.iter().all(|&c| loss(c, a) <= loss(c, b) + SAME)
}

fn is_better_somewhere(search: &HangSearch, a: usize, b: usize) -> bool {
    let loss = |c: Criterion, i: usize| c.loss(&search.scored[i].criteria, &search.norms).unwrap_or(0.0);
    Criterion::ALL.iter().any(|&c| {
        let enough = if c == Criterion::HighPoints { 1.0 } else { BETTER };
        loss(c, b) - loss(c, a) >= enough
    })
}
