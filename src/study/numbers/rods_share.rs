//! What rods of unlike stiffness hold together, and how they give way.
//!
//! The master is stiff, the rods are not. Pushed, a slender rod buckles and goes on bearing its Euler load while the others
//! come up to theirs (the load of the elastica rises a little: Timoshenko & Gere, *Theory of Elastic Stability*, chapter 2).
//! Pulled, a glued end breaks at once and bears nothing any more: rods that are stretched alike share by E·A/L, the
//! shortest breaks first, and what counts is the stretch at which those that are left bear most (a bundle of brittle
//! threads: Daniels 1945).
//!
//! What all hold is then the greatest force for which some share of loads, none beyond what its rod bears, balances force and
//! moment: the static theorem of plasticity (Drucker, Prager & Greenberg 1952). A rod more is one more that may bear
//! something and need not, so it never lowers the figure. Rods alone or in one line have no lever across it; as a group they
//! are taken to be kept upright by their own stiffness, so what the strongest of them in one line bear is held as well, with
//! what stands right under the force.

use glam::DVec2;

/// Rods so near to one line stand in it, millimetres: set here.
const IN_LINE_MM: f64 = 0.1;
/// The lever is named where it leaves less than this of what the rods would hold without: set here.
const LEVER_TELLS: f64 = 0.8;
/// Most rods that are looked at, those that bear most: the search over levers grows with the third power.
const MOST_RODS: usize = 48;
/// Products of distances, in units of the greatest, under which two levers have one direction.
const ONE_DIRECTION: f64 = 1e-12;

/// What one rod bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bears {
    /// Where it stands in the box, seen from above.
    pub at: DVec2,
    /// Pushed, until it buckles, N.
    pub pushed_n: f64,
    /// Pulled, until its glue breaks, N.
    pub pulled_n: f64,
    /// How far its end comes before the glue breaks, in any unit that is the same for all.
    pub stretch: f64,
}

/// How rods give way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GivesWay {
    /// Pushed, they buckle.
    Buckles,
    /// Pulled, they come out of their glue.
    PullsOut,
}

/// What rods hold together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// How many times the force.
    pub times: f64,
    /// How most of what holds gives way.
    pub gives: GivesWay,
    /// True where the master tips because the force passes beside the rods, and much more would be held without that.
    pub lever: bool,
    /// The rod, by its place, that bears most of it.
    pub most: usize,
}

/// What `rods` hold of a force of `force_n`, positive upwards, that passes through `through`; none without rods or force.
pub fn held(rods: &[Bears], through: DVec2, force_n: f64) -> Option<Held> {
    let up = force_n > 0.0;
    let along = |r: &Bears, pulled: f64| if up { r.pushed_n } else { pulled };
    let mut kept: Vec<usize> = (0..rods.len()).collect();
    if kept.len() > MOST_RODS {
        kept.sort_by(|a, b| along(&rods[*b], rods[*b].pulled_n).total_cmp(&along(&rods[*a], rods[*a].pulled_n)));
        kept.truncate(MOST_RODS);
    }
    let mut stretches: Vec<f64> = kept.iter().map(|i| rods[*i].stretch).collect();
    stretches.sort_by(f64::total_cmp);
    stretches.dedup_by(|a, b| (*a - *b).abs() <= 1e-9 * b.abs());
    let (mut best, mut free_n): (Option<(f64, Vec<f64>)>, f64) = (None, 0.0);
    for stretch in stretches {
        let pulled = |r: &Bears| {
            let whole = r.stretch >= stretch * (1.0 - 1e-9);
            if whole { r.pulled_n * (stretch / r.stretch).min(1.0) } else { 0.0 }
        };
        let levers: Vec<Lever> = kept
            .iter()
            .map(|i| {
                let (r, pulled) = (&rods[*i], pulled(&rods[*i]));
                let against = if up { pulled } else { r.pushed_n };
                Lever { off: r.at - through, along: along(r, pulled), against }
            })
            .collect();
        free_n = levers.iter().map(|l| l.along).sum::<f64>().max(free_n);
        for (holds, parts) in [balanced(&levers), in_line(&levers)] {
            if best.as_ref().is_none_or(|b| holds > b.0) {
                best = Some((holds, parts));
            }
        }
    }
    let (holds, parts) = best?;
    if force_n == 0.0 {
        return None;
    }
    // Parts against the force give way the other way.
    let with: f64 = parts.iter().filter(|p| **p > 0.0).sum();
    let against: f64 = -parts.iter().filter(|p| **p < 0.0).sum::<f64>();
    let most = (0..parts.len()).rev().max_by(|a, b| parts[*a].abs().total_cmp(&parts[*b].abs())).map_or(0, |k| kept[k]);
    Some(Held {
        times: holds / force_n.abs(),
        gives: if up == (with >= against) { GivesWay::Buckles } else { GivesWay::PullsOut },
        lever: holds < LEVER_TELLS * free_n,
        most,
    })
}

/// A rod about the place through which the force passes.
struct Lever {
    off: DVec2,
    /// What it bears against the force, N, and the other way.
    along: f64,
    against: f64,
}

/// The greatest force that some share of loads balances with its moment, N, and what each rod has of it, negative where it is
/// loaded the other way.
///
/// That is a linear programme; by its dual it is the least work of a master that comes one along the force and tips by
/// `tip`: Σ along·(1 − tip·off)⁺ + against·(1 − tip·off)⁻ (the kinematic theorem). The sum is convex and made of planes, so
/// its least stands where two rods do not move, or one where all are in line, or anywhere.
fn balanced(levers: &[Lever]) -> (f64, Vec<f64>) {
    let scale = levers.iter().map(|l| l.off.length()).fold(0.0, f64::max);
    let work = |tip: DVec2| -> Vec<f64> {
        let moves = |l: &Lever| 1.0 - tip.dot(l.off);
        levers.iter().map(|l| (moves(l), l)).map(|(m, l)| if m > 0.0 { l.along * m } else { l.against * m }).collect()
    };
    let of = |parts: &[f64]| parts.iter().map(|p| p.abs()).sum::<f64>();
    let mut best = work(DVec2::ZERO);
    let mut least = of(&best);
    let mut tried = |tip: DVec2| {
        let parts = work(tip);
        let sum = of(&parts);
        if sum < least {
            (least, best) = (sum, parts);
        }
    };
    for (i, a) in levers.iter().enumerate() {
        let square = a.off.length_squared();
        if square <= (1e-9 * scale).powi(2) {
            continue;
        }
        tried(a.off / square);
        for b in &levers[i + 1..] {
            let turned = a.off.perp_dot(b.off);
            if turned.abs() > ONE_DIRECTION * scale * scale {
                // tip·a = tip·b = 1.
                tried(DVec2::new(b.off.y - a.off.y, a.off.x - b.off.x) / turned);
            }
        }
    }
    (least, best)
}

/// What the strongest rods in one line bear with those under the force itself, which need no lever, N, and what each has of
/// it.
fn in_line(levers: &[Lever]) -> (f64, Vec<f64>) {
    let mut best = (0.0, vec![0.0; levers.len()]);
    let mut tried = |stands: &dyn Fn(&Lever) -> bool| {
        let bears = |l: &Lever| l.off.length() <= IN_LINE_MM || stands(l);
        let parts: Vec<f64> = levers.iter().map(|l| if bears(l) { l.along } else { 0.0 }).collect();
        let sum = parts.iter().sum::<f64>();
        if sum > best.0 {
            best = (sum, parts);
        }
    };
    for (i, a) in levers.iter().enumerate() {
        tried(&|l: &Lever| l.off.distance(a.off) <= IN_LINE_MM);
        for b in &levers[i + 1..] {
            let Some(way) = (b.off - a.off).try_normalize() else { continue };
            tried(&|l: &Lever| way.perp_dot(l.off - a.off).abs() <= IN_LINE_MM);
        }
    }
    best
}

/// Loads of `rods` of these stiffnesses, N/mm, under a force of `force_n` through `through`, of the same sign as the force
/// where they push back on it: springs under a stiff body, as fasteners of unlike size in a group (Shigley, *Mechanical
/// Engineering Design*). One that would come over what it bears keeps its Euler load where it is pushed and is left out
/// where it is pulled; the others take what it does not. None in line or alone resist no moment: they share the force
/// alone.
pub fn loads(rods: &[Bears], stiffness: &[f64], through: DVec2, force_n: f64) -> Vec<f64> {
    let mut given: Vec<Option<f64>> = vec![None; rods.len()];
    loop {
        let free: Vec<usize> = (0..rods.len()).filter(|i| given[*i].is_none()).collect();
        let taken = |i: usize| given[i].unwrap_or(0.0);
        let rest_n = force_n - (0..rods.len()).map(taken).sum::<f64>();
        let moment = (0..rods.len()).map(|i| (through - rods[i].at) * taken(i)).sum::<DVec2>();
        let at: Vec<DVec2> = free.iter().map(|i| rods[*i].at).collect();
        let stiff: Vec<f64> = free.iter().map(|i| stiffness[*i]).collect();
        let shared = spring_loads(&at, &stiff, through, rest_n, moment);
        let over = |i: usize, load: f64| {
            let most = if load > 0.0 { rods[i].pushed_n } else { rods[i].pulled_n };
            load.abs() / most.max(1e-12)
        };
        let worst = free.iter().zip(&shared).map(|(i, l)| (*i, *l, over(*i, *l))).max_by(|a, b| a.2.total_cmp(&b.2));
        match worst {
            Some((i, load, over)) if over > 1.0 && free.len() > 1 => {
                given[i] = Some(if load > 0.0 { rods[i].pushed_n } else { 0.0 });
            }
            _ => {
                let mut all: Vec<f64> = (0..rods.len()).map(taken).collect();
                free.iter().zip(shared).for_each(|(i, load)| all[*i] = load);
                return all;
            }
        }
    }
}

/// Loads of springs at `at` that balance `force_n` at `through` and a moment more.
fn spring_loads(at: &[DVec2], stiffness: &[f64], through: DVec2, force_n: f64, moment: DVec2) -> Vec<f64> {
    let sum: f64 = stiffness.iter().sum();
    let middle = at.iter().zip(stiffness).map(|(p, k)| *p * *k).sum::<DVec2>() / sum.max(1e-300);
    let off = (through - middle) * force_n + moment;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (p, k) in at.iter().zip(stiffness) {
        let d = *p - middle;
        (xx, xy, yy) = (xx + k * d.x * d.x, xy + k * d.x * d.y, yy + k * d.y * d.y);
    }
    let determinant = xx * yy - xy * xy;
    let slope = if determinant > 1e-6 * (xx + yy).powi(2) {
        DVec2::new(off.x * yy - off.y * xy, off.y * xx - off.x * xy) / determinant
    } else {
        DVec2::ZERO
    };
    at.iter().zip(stiffness).map(|(p, k)| k * (force_n / sum.max(1e-300) + slope.dot(*p - middle))).collect()
}
