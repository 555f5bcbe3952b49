//! Stretches of the line that neither a crease nor the contour holds, pulled straight between their ends.
//!
//! A chain of mesh edges zigzags; the line there is the shortest way on the surface, as long as moving it gives no surface
//! to a half that it is hidden from. The surface is then cut along it and the labels are brought into line.

use super::line::{StretchKind, kind};
use super::loops::Loop;
use super::surface::{NONE, Surface};
use super::visibility::Visibility;
use crate::mesh::score::Scores;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use crate::solve::straight::{Freedom, Triangles, Way, straighten};
use glam::Vec3;
use std::collections::{HashMap, HashSet};

/// Share of a triangle by which another half may see less of it where a line moves over it: what sampling on the rims of
/// shadows leaves uncertain.
const AS_GOOD: f32 = 0.02;

/// A labelled surface whose lines are made straight.
#[derive(Debug)]
pub struct Labelled<'a> {
    /// The surface; it is cut.
    pub surface: &'a mut Surface,
    /// What each half sees; grows with the surface.
    pub visibility: &'a mut Visibility,
    /// The half of each triangle; grows with the surface.
    pub halves: &'a mut Vec<Half>,
    /// Triangles that no line may move over, because a person gave them to a half or they are shown; grows too.
    pub fixed: &'a mut Vec<bool>,
    /// Vertices that the line must pass through.
    pub pinned: &'a HashSet<u32>,
    /// W.
    pub draw: Vec3,
}

/// A stretch to be pulled straight: edges of a loop in order, and on which side its sleeve begins.
struct Slack {
    edges: Vec<(u32, u8)>,
    on_left: bool,
}

/// What one stretch may do.
struct Leash<'a> {
    visibility: &'a Visibility,
    fixed: &'a [bool],
    /// Vertices of all lines but the inner ones of this stretch.
    taken: &'a HashSet<u32>,
    own: &'a HashSet<u32>,
    /// Triangles that another stretch runs through.
    owned: &'a HashSet<u32>,
}

impl Leash<'_> {
    fn may_move(visibility: &Visibility, fixed: &[bool], t: usize, leftwards: bool) -> bool {
        // Half 1 lies on the left.
        let (gives, takes) = if leftwards { (Half::One, Half::Two) } else { (Half::Two, Half::One) };
        !fixed.get(t).copied().unwrap_or(false)
            && visibility.charged(takes, t) <= visibility.charged(gives, t) + AS_GOOD
    }
}

impl Freedom for Leash<'_> {
    fn round(&self, v: u32) -> bool {
        self.own.contains(&v) || !self.taken.contains(&v)
    }

    fn over(&self, t: u32, leftwards: bool) -> bool {
        !self.owned.contains(&t) && Leash::may_move(self.visibility, self.fixed, t as usize, leftwards)
    }
}

/// Pulls every stretch of `loops` that nothing holds straight, cuts the surface along it and labels it anew.
///
/// # Errors
/// [`Cancelled`].
pub fn pull_straight(labelled: Labelled, loops: &[Loop], run: &Run) -> Result<(), Cancelled> {
    let Labelled { surface, visibility, halves, fixed, pinned, draw } = labelled;
    let start = |&(f, k): &(u32, u8)| surface.mesh.triangles[f as usize][k as usize];
    let end = |&(f, k): &(u32, u8)| surface.mesh.triangles[f as usize][(k as usize + 1) % 3];
    let mut uses: HashMap<u32, u32> = HashMap::new();
    for l in loops {
        for e in &l.edges {
            *uses.entry(start(e)).or_default() += 1;
        }
        if let (false, Some(e)) = (l.closed, l.edges.last()) {
            *uses.entry(end(e)).or_default() += 1;
        }
    }
    let held = |v: u32| uses.get(&v).is_some_and(|&n| n > 1) || pinned.contains(&v);
    let slack: Vec<Slack> = loops.iter().flat_map(|l| slack_of(surface, visibility, fixed, l, &held)).collect();
    if slack.is_empty() {
        return Ok(());
    }
    let taken: HashSet<u32> = uses.keys().copied().chain(pinned.iter().copied()).collect();
    let mut owned: HashSet<u32> = HashSet::new();
    let mut pulled: Vec<(&Slack, Way)> = Vec::new();
    for s in &slack {
        run.check()?;
        let sleeve = sleeve(surface, &s.edges, s.on_left);
        if sleeve.iter().any(|t| owned.contains(t)) {
            continue;
        }
        let own: HashSet<u32> = s.edges[1..].iter().map(start).collect();
        let leash = Leash { visibility, fixed, taken: &taken, own: &own, owned: &owned };
        let triangles =
            Triangles { positions: &surface.mesh.positions, corners: &surface.mesh.triangles, across: &surface.across };
        let (from, to) = (start(&s.edges[0]), end(&s.edges[s.edges.len() - 1]));
        let Some(way) = straighten(triangles, sleeve, from, to, &leash, run)? else { continue };
        let before: f64 = s
            .edges
            .iter()
            .map(|&(f, k)| {
                let [a, b] = surface.ends(f as usize, k as usize);
                a.as_dvec3().distance(b.as_dvec3())
            })
            .sum();
        if way.length < before * (1.0 - 1e-5) {
            owned.extend(&way.sleeve);
            pulled.push((s, way));
        }
    }
    if pulled.is_empty() {
        return Ok(());
    }
    // Edges of the lines that stay, which no label crosses.
    let gone: HashSet<(u32, u8)> = pulled.iter().flat_map(|(s, _)| s.edges.iter().copied()).collect();
    let mut rim: HashSet<(u32, u32)> = loops
        .iter()
        .flat_map(|l| &l.edges)
        .filter(|e| !gone.contains(e))
        .map(|e| undirected(start(e), end(e)))
        .collect();
    let ends: Vec<(u32, u32)> =
        pulled.iter().map(|(s, _)| (start(&s.edges[0]), end(&s.edges[s.edges.len() - 1]))).collect();
    let mut scores = Scores::default();
    let mut lines: Vec<Vec<u32>> = Vec::new();
    for ((_, way), (from, to)) in pulled.iter().zip(ends) {
        lines.push(surface.score_way(&mut scores, way, [from, to]));
    }
    let near: Vec<u32> = pulled.iter().flat_map(|(_, w)| w.sleeve.iter().copied()).collect();
    drop(pulled);
    let cut = surface.cut(scores);
    visibility.follow(surface, &cut, draw);
    for &of in &cut.of_added {
        halves.push(halves[of as usize]);
        if !fixed.is_empty() {
            fixed.push(fixed[of as usize]);
        }
    }
    let added = surface.len() - cut.of_added.len()..surface.len();
    let mut by_edge: HashMap<(u32, u32), u32> = HashMap::new();
    for t in near.iter().copied().chain(cut.replaced.iter().copied()).chain(added.map(|f| f as u32)) {
        let c = surface.mesh.triangles[t as usize];
        for k in 0..3 {
            by_edge.insert((c[k], c[(k + 1) % 3]), t);
        }
    }
    let mut seeds: Vec<(u32, Half)> = Vec::new();
    for line in &lines {
        for w in line.windows(2) {
            let beside = |a: u32, b: u32| {
                by_edge.get(&(a, b)).copied().or_else(|| {
                    let t = *by_edge.get(&(b, a))?;
                    let c = surface.mesh.triangles[t as usize];
                    let k = (0..3).find(|&k| c[k] == b)?;
                    Some(surface.across[t as usize][k]).filter(|&g| g != NONE)
                })
            };
            let (Some(left), Some(right)) = (beside(w[0], w[1]), beside(w[1], w[0])) else {
                // A chord was lost where ways cross: the labels stay as they are, on the chain of edges.
                return Ok(());
            };
            rim.insert(undirected(w[0], w[1]));
            seeds.extend([(left, Half::One), (right, Half::Two)]);
        }
    }
    if let Some(settled) = spread(surface, halves, &rim, &seeds) {
        *halves = settled;
    }
    Ok(())
}

fn undirected(a: u32, b: u32) -> (u32, u32) {
    (a.min(b), a.max(b))
}

/// Labels spread from both sides of the new lines up to surface that is right already; none where the two meet.
fn spread(surface: &Surface, halves: &[Half], rim: &HashSet<(u32, u32)>, seeds: &[(u32, Half)]) -> Option<Vec<Half>> {
    let mut settled = halves.to_vec();
    let mut fixed: HashMap<u32, Half> = HashMap::new();
    for &(t, half) in seeds {
        if *fixed.entry(t).or_insert(half) != half {
            return None;
        }
        settled[t as usize] = half;
    }
    let mut stack: Vec<u32> = seeds.iter().map(|s| s.0).collect();
    while let Some(t) = stack.pop() {
        let half = settled[t as usize];
        let c = surface.mesh.triangles[t as usize];
        for k in 0..3 {
            let g = surface.across[t as usize][k];
            if g == NONE || settled[g as usize] == half || rim.contains(&undirected(c[k], c[(k + 1) % 3])) {
                continue;
            }
            if fixed.insert(g, half).is_some() {
                return None;
            }
            settled[g as usize] = half;
            stack.push(g);
        }
    }
    Some(settled)
}

/// The triangles between two edges that follow one another on a line, round the vertex between them, on one side; those
/// beside the edges included.
fn fan(surface: &Surface, before: (u32, u8), after: (u32, u8), on_left: bool) -> Vec<u32> {
    let left = |(f, _): (u32, u8)| f as usize;
    let right = |(f, k): (u32, u8)| surface.across[f as usize][k as usize] as usize;
    let v = surface.mesh.triangles[after.0 as usize][after.1 as usize];
    let (mut at, goal) = if on_left { (left(before), left(after)) } else { (right(before), right(after)) };
    let mut fan = vec![at as u32];
    while at != goal && fan.len() < 10_000 {
        let Some(c) = surface.mesh.triangles[at].iter().position(|&w| w == v) else { break };
        // Coming in along the line the left side turns clockwise round the vertex, the right side counter-clockwise.
        let g = surface.across[at][if on_left { c } else { (c + 2) % 3 }];
        if g == NONE {
            break;
        }
        at = g as usize;
        fan.push(g);
    }
    fan
}

/// The triangles along one side of a chain of edges, each given as the triangle on its left and the edge of that.
pub(super) fn sleeve(surface: &Surface, edges: &[(u32, u8)], on_left: bool) -> Vec<u32> {
    let Some(&(f, k)) = edges.first() else { return Vec::new() };
    let mut sleeve = vec![if on_left { f } else { surface.across[f as usize][k as usize] }];
    for w in edges.windows(2) {
        sleeve.extend(fan(surface, w[0], w[1], on_left).into_iter().skip(1));
    }
    sleeve
}

/// The stretches of a loop that nothing holds, each as long as one of its sides can be moved over.
fn slack_of(
    surface: &Surface,
    visibility: &Visibility,
    fixed: &[bool],
    l: &Loop,
    held: &dyn Fn(u32) -> bool,
) -> Vec<Slack> {
    let n = l.edges.len();
    let across = |(f, k): (u32, u8)| surface.across[f as usize][k as usize];
    let free: Vec<bool> = l
        .edges
        .iter()
        .map(|&(f, k)| {
            let g = across((f, k));
            g != NONE && kind(surface, visibility, f as usize, k as usize, g as usize) == StretchKind::Undrafted
        })
        .collect();
    let start = |i: usize| surface.mesh.triangles[l.edges[i].0 as usize][l.edges[i].1 as usize];
    // Whether the line may move over edge i, and over the fan at its start, to the left and to the right.
    let movable = |t: u32, leftwards: bool| Leash::may_move(visibility, fixed, t as usize, leftwards);
    let over_edge =
        |i: usize, leftwards: bool| movable(if leftwards { l.edges[i].0 } else { across(l.edges[i]) }, leftwards);
    let over_start = |i: usize, leftwards: bool| {
        let before = l.edges[(i + n - 1) % n];
        !held(start(i)) && fan(surface, before, l.edges[i], leftwards).into_iter().all(|t| movable(t, leftwards))
    };
    // Begin where something holds the line, so that no stretch goes over the end of the list.
    let first = if l.closed { (0..n).find(|&i| !free[i] || !free[(i + n - 1) % n]).unwrap_or(0) } else { 0 };
    let mut list = Vec::new();
    let mut i = 0;
    while i < n {
        let at = (first + i) % n;
        if !free[at] {
            i += 1;
            continue;
        }
        let reach = |leftwards: bool| {
            if !over_edge(at, leftwards) {
                return 0;
            }
            let mut count = 1;
            while i + count < n {
                let j = (first + i + count) % n;
                if !free[j] || !over_edge(j, leftwards) || !over_start(j, leftwards) {
                    break;
                }
                count += 1;
            }
            count
        };
        let (left, right) = (reach(true), reach(false));
        let count = left.max(right);
        if count > 1 {
            let edges = (0..count).map(|j| l.edges[(first + i + j) % n]).collect();
            list.push(Slack { edges, on_left: left >= right });
        }
        i += count.max(1);
    }
    list
}
