//! Lines that a person drew, made edges of the surface before it is labelled: pins, held loops, and the plane of a plane
//! parting.

use super::drafted::score_level;
use super::held_gap::{GapCause, HeldGap};
use super::regions::{Regions, handles};
use super::surface::{self, NONE, Surface};
use super::visibility::Visibility;
use crate::mesh::score::Scores;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use crate::solve::straight::{Anywhere, Triangles, straighten};
use glam::Vec3;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap, HashSet};
use std::sync::Arc;

/// A loop that a person keeps, in `work`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeldLine {
    /// Points in order, half 1 on the left; it closes from the last to the first.
    pub points: Vec<Vec3>,
    /// Outward normals at the points.
    pub normals: Vec<Vec3>,
}

/// What a person drew, as vertices of the surface.
#[derive(Clone, Debug, Default)]
pub struct HandLines {
    /// The vertex of each pin, in order; none where there is no surface near.
    pub pins: Vec<Option<u32>>,
    /// Edges of held loops in their direction, loop by loop.
    pub edges: Vec<(u32, u32)>,
    /// The held loop of each of those edges.
    pub held_of: Vec<usize>,
    /// Places where a held loop could not be followed.
    pub gaps: Vec<HeldGap>,
}

impl HandLines {
    /// Splits what belongs to the loops from the `held`th on off, numbered from 0; pins stay.
    pub fn split_off(&mut self, held: usize) -> HandLines {
        let mut rest = HandLines::default();
        let edges = std::mem::take(&mut self.edges).into_iter().zip(std::mem::take(&mut self.held_of));
        let (own, other): (Vec<_>, Vec<_>) = edges.partition(|(_, of)| *of < held);
        (self.edges, self.held_of) = own.into_iter().unzip();
        (rest.edges, rest.held_of) = other.into_iter().map(|(e, of)| (e, of - held)).unzip();
        let (own, other) = std::mem::take(&mut self.gaps).into_iter().partition(|g| g.held < held);
        self.gaps = own;
        rest.gaps = other;
        rest.gaps.iter_mut().for_each(|g| g.held -= held);
        rest
    }
}

/// Triangles that are searched for a way between two points of a held loop.
const MOST_SEARCHED: usize = 20_000;

/// Cuts the surface so that pins are vertices of it and held loops chains of edges.
///
/// # Errors
/// [`Cancelled`].
pub fn draw(
    surface: &mut Surface,
    pins: &[(Vec3, Vec3)],
    held: &[&HeldLine],
    run: &Run,
) -> Result<HandLines, Cancelled> {
    if pins.is_empty() && held.iter().all(|h| h.points.is_empty()) {
        return Ok(HandLines::default());
    }
    let mut asked: Vec<(Vec3, Vec3)> = pins.to_vec();
    for h in held {
        asked.extend(h.points.iter().enumerate().map(|(i, &p)| (p, h.normals.get(i).copied().unwrap_or(Vec3::ZERO))));
    }
    let found = triangles_under(surface, &asked);
    run.check()?;
    let mut scores = Scores::default();
    let mesh = Arc::make_mut(&mut surface.mesh);
    let vertices: Vec<Option<u32>> = asked
        .iter()
        .zip(&found)
        .map(|(&(at, _), f)| f.map(|f| scores.at(mesh, &surface.across, f as usize, at)))
        .collect();
    surface.cut(scores);
    run.check()?;
    let mut lines = HandLines { pins: vertices[..pins.len()].to_vec(), ..HandLines::default() };
    let mut pairs: Vec<(usize, u32, u32)> = Vec::new();
    let mut at = pins.len();
    for (index, h) in held.iter().enumerate() {
        let own = &vertices[at..at + h.points.len()];
        at += h.points.len();
        let mut chain: Vec<(usize, u32)> = own.iter().enumerate().filter_map(|(i, v)| v.map(|v| (i, v))).collect();
        chain.dedup_by_key(|c| c.1);
        for (i, &(point, v)) in chain.iter().enumerate() {
            let (next_point, w) = chain[(i + 1) % chain.len()];
            // Points that are off the surface leave a gap, over which the line goes as it likes.
            let missed = (next_point + own.len() - point) % own.len() > 1 && own[(point + 1) % own.len()].is_none();
            if missed || v == w {
                if missed {
                    lines.gaps.push(gap(surface, index, v, w));
                }
                continue;
            }
            pairs.push((index, v, w));
        }
        if chain.is_empty() && !h.points.is_empty() {
            let length_mm = h.points.windows(2).map(|w| w[0].distance(w[1]) as f64).sum();
            lines.gaps.push(off_surface(index, h.points[0], length_mm));
        }
    }
    connect(surface, pairs, &mut lines, run)?;
    Ok(lines)
}

fn gap(surface: &Surface, held: usize, v: u32, w: u32) -> HeldGap {
    let [a, b] = [v, w].map(|v| surface.mesh.positions[v as usize]);
    off_surface(held, a, a.distance(b) as f64)
}

fn off_surface(held: usize, at: Vec3, length_mm: f64) -> HeldGap {
    HeldGap { held, at, length_mm, cause: GapCause::OffSurface, marks: Vec::new(), pins: Vec::new() }
}

/// Makes the straight way between the vertices of each pair a chain of edges.
fn connect(
    surface: &mut Surface,
    pairs: Vec<(usize, u32, u32)>,
    lines: &mut HandLines,
    run: &Run,
) -> Result<(), Cancelled> {
    let stars = star_of_each(surface, pairs.iter().flat_map(|p| [p.1, p.2]));
    let mut scores = Scores::default();
    let mut chains: Vec<(usize, Vec<u32>)> = Vec::new();
    for (held, v, w) in pairs {
        run.check()?;
        let sleeve = sleeve_between(surface, &stars, v, w);
        let triangles =
            Triangles { positions: &surface.mesh.positions, corners: &surface.mesh.triangles, across: &surface.across };
        let way = match sleeve {
            Some(s) => straighten(triangles, s, v, w, &Anywhere, run)?,
            None => None,
        };
        let Some(way) = way else {
            lines.gaps.push(gap(surface, held, v, w));
            continue;
        };
        chains.push((held, surface.score_way(&mut scores, &way, [v, w])));
    }
    surface.cut(scores);
    let wanted: HashSet<(u32, u32)> =
        chains.iter().flat_map(|(_, c)| c.windows(2).map(|w| (w[0].min(w[1]), w[0].max(w[1])))).collect();
    let there = edges_among(surface, &wanted);
    for (held, chain) in chains {
        for w in chain.windows(2) {
            if there.contains(&(w[0].min(w[1]), w[0].max(w[1]))) {
                lines.edges.push((w[0], w[1]));
                lines.held_of.push(held);
            } else {
                lines.gaps.push(gap(surface, held, w[0], w[1]));
            }
        }
    }
    Ok(())
}

fn edges_among(surface: &Surface, wanted: &HashSet<(u32, u32)>) -> HashSet<(u32, u32)> {
    let mut ends = vec![false; surface.mesh.positions.len()];
    wanted.iter().for_each(|&(a, b)| [a, b].iter().for_each(|&v| ends[v as usize] = true));
    surface
        .mesh
        .triangles
        .iter()
        .flat_map(|t| (0..3).map(move |k| (t[k], t[(k + 1) % 3])))
        .filter(|&(a, b)| ends[a as usize] && ends[b as usize])
        .map(|(a, b)| (a.min(b), a.max(b)))
        .filter(|e| wanted.contains(e))
        .collect()
}

/// The triangle nearest to each place within an edge of the surface, among those that do not face away from the normal
/// there; none where there is none.
fn triangles_under(surface: &Surface, asked: &[(Vec3, Vec3)]) -> Vec<Option<u32>> {
    let reach = surface.edge_mm;
    let cell = |p: Vec3| (p / reach).floor().as_ivec3();
    let mut grid: HashMap<glam::IVec3, Vec<u32>> = HashMap::new();
    for (i, (p, _)) in asked.iter().enumerate().filter(|(_, a)| a.0.is_finite()) {
        grid.entry(cell(*p)).or_default().push(i as u32);
    }
    let near: Vec<(u32, f32, u32)> = (0..surface.len())
        .into_par_iter()
        .flat_map_iter(|f| {
            let corners = surface.mesh.corners(f);
            let low = cell(corners[0].min(corners[1]).min(corners[2]) - reach);
            let high = cell(corners[0].max(corners[1]).max(corners[2]) + reach);
            let mut found = Vec::new();
            // A triangle much larger than the cells looks at every place instead.
            let cells = (high - low + 1).as_i64vec3();
            let mut look = |i: u32| {
                let (p, n) = asked[i as usize];
                let away = super::hand::nearest_in_triangle(corners, p).distance(p);
                if away <= reach && surface.normal[f].dot(n) > -0.1 {
                    // Facing breaks ties on an edge.
                    found.push((i, (away / surface.hair_mm).floor() - surface.normal[f].dot(n) * 0.5, f as u32));
                }
            };
            if cells.x * cells.y * cells.z > 512 {
                (0..asked.len() as u32).for_each(&mut look);
            } else {
                for x in low.x..=high.x {
                    for y in low.y..=high.y {
                        for z in low.z..=high.z {
                            if let Some(list) = grid.get(&glam::IVec3::new(x, y, z)) {
                                list.iter().copied().for_each(&mut look);
                            }
                        }
                    }
                }
            }
            found
        })
        .collect();
    let mut best: Vec<Option<(f32, u32)>> = vec![None; asked.len()];
    for (i, key, f) in near {
        let here = &mut best[i as usize];
        if here.is_none_or(|(k, g)| (key, f) < (k, g)) {
            *here = Some((key, f));
        }
    }
    best.into_iter().map(|b| b.map(|(_, f)| f)).collect()
}

/// All triangles at each of some vertices.
fn star_of_each(surface: &Surface, vertices: impl Iterator<Item = u32>) -> HashMap<u32, Vec<u32>> {
    let mut wanted = vec![false; surface.mesh.positions.len()];
    vertices.for_each(|v| wanted[v as usize] = true);
    let mut stars: HashMap<u32, Vec<u32>> = HashMap::new();
    for (f, t) in surface.mesh.triangles.iter().enumerate() {
        for &v in t.iter().filter(|&&v| wanted[v as usize]) {
            stars.entry(v).or_default().push(f as u32);
        }
    }
    stars
}

/// A sleeve of triangles from vertex `v` to vertex `w`, the shortest over middles of triangles (A*, Hart, Nilsson & Raphael
/// 1968); none where the search goes too far.
fn sleeve_between(surface: &Surface, stars: &HashMap<u32, Vec<u32>>, v: u32, w: u32) -> Option<Vec<u32>> {
    let (starts, goals) = (stars.get(&v)?, stars.get(&w)?);
    if let Some(&both) = starts.iter().find(|t| goals.contains(t)) {
        return Some(vec![both]);
    }
    let target = surface.mesh.positions[w as usize];
    let mut best: HashMap<u32, (f32, u32)> = HashMap::new();
    let mut heap = BinaryHeap::new();
    let left = |f: u32| surface.centroid[f as usize].distance(target);
    for &f in starts {
        let cost = surface.centroid[f as usize].distance(surface.mesh.positions[v as usize]);
        best.insert(f, (cost, NONE));
        heap.push(Reverse(((cost + left(f)).to_bits(), f)));
    }
    let mut done: HashSet<u32> = HashSet::new();
    while let Some(Reverse((_, f))) = heap.pop() {
        if !done.insert(f) {
            continue;
        }
        if goals.contains(&f) {
            let mut sleeve = vec![f];
            while let Some(&(_, from)) = best.get(&sleeve[sleeve.len() - 1]).filter(|b| b.1 != NONE) {
                sleeve.push(from);
            }
            sleeve.reverse();
            return Some(sleeve);
        }
        if done.len() > MOST_SEARCHED {
            return None;
        }
        let cost = best[&f].0;
        for &g in surface.across[f as usize].iter().filter(|&&g| g != NONE) {
            let total = cost + surface.centroid[f as usize].distance(surface.centroid[g as usize]);
            if best.get(&g).is_none_or(|b| total < b.0) {
                best.insert(g, (total, f));
                heap.push(Reverse(((total + left(g)).to_bits(), g)));
            }
        }
    }
    None
}

/// Forces both sides of held edges. The left side goes to half 1, or to half 2 where that leaves less hidden. Where held
/// loops cut a piece without a handle off a body, all of it goes to its half, since a body without a handle has one line.
pub fn force_held(surface: &Surface, visibility: &Visibility, edges: &[(u32, u32)], forced: &mut [Option<Half>]) {
    if edges.is_empty() {
        return;
    }
    let held: HashSet<(u32, u32)> = edges.iter().copied().collect();
    let mut ends = vec![false; surface.mesh.positions.len()];
    edges.iter().for_each(|&(a, b)| [a, b].iter().for_each(|&v| ends[v as usize] = true));
    let mut sides: Vec<(u32, Half)> = Vec::new();
    for (f, t) in surface.mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            if !(ends[a as usize] && ends[b as usize]) {
                continue;
            }
            if held.contains(&(a, b)) {
                sides.push((f as u32, Half::One));
            } else if held.contains(&(b, a)) {
                sides.push((f as u32, Half::Two));
            }
        }
    }
    let charge = |turned: bool| -> f64 {
        sides
            .iter()
            .map(|&(f, half)| {
                let half = if turned { half.other() } else { half };
                (visibility.charged(half, f as usize) * surface.area_mm2[f as usize]) as f64
            })
            .sum()
    };
    // The way in which the loop was drawn decides unless the other is clearly right.
    let turned = charge(true) * 4.0 < charge(false);
    for side in &mut sides {
        if turned {
            side.1 = side.1.other();
        }
        forced[side.0 as usize] = Some(side.1);
    }
    let on_held = |f: usize, k: usize| {
        let t = surface.mesh.triangles[f];
        let (a, b) = (t[k], t[(k + 1) % 3]);
        ends[a as usize] && ends[b as usize] && (held.contains(&(a, b)) || held.contains(&(b, a)))
    };
    let (piece, count) = surface::groups(&surface.across, |f, k, _| !on_held(f, k));
    let mut half_of: Vec<[bool; 2]> = vec![[false; 2]; count];
    for &(f, half) in &sides {
        half_of[piece[f as usize] as usize][(half == Half::Two) as usize] = true;
    }
    if half_of.iter().all(|h| h[0] == h[1]) {
        return;
    }
    let list = vec![super::regions::Region { half: Half::One, body: 0, area_mm2: 0.0, first: 0, main: true }; count];
    let handles = handles(surface, &Regions { of: piece.clone(), list });
    for f in 0..surface.len() {
        let p = piece[f] as usize;
        if handles[p] == 0 && half_of[p][0] != half_of[p][1] {
            forced[f] = Some(if half_of[p][0] { Half::One } else { Half::Two });
        }
    }
}

/// Cuts the surface by the plane square to `draw` at `height` along it.
pub fn cut_by_plane(surface: &mut Surface, draw: Vec3, height: f64) {
    let over = |v: u32| (surface.mesh.positions[v as usize].as_dvec3().dot(draw.as_dvec3()) - height) as f32;
    let values: Vec<(usize, [f32; 3])> = (0..surface.len())
        .into_par_iter()
        .map(|f| (f, surface.mesh.triangles[f].map(over)))
        .filter(|(_, s)| s.iter().any(|&s| s > 0.0) && s.iter().any(|&s| s < 0.0))
        .collect();
    let scores = score_level(surface, values);
    surface.cut(scores);
}

/// The half of each triangle of a surface that was cut by a plane: half 1 above it. What is forced keeps its half.
pub fn sides_of_plane(surface: &Surface, draw: Vec3, height: f64, forced: &[Option<Half>]) -> Vec<Half> {
    (0..surface.len())
        .map(|f| {
            let above = surface.centroid[f].as_dvec3().dot(draw.as_dvec3()) >= height;
            forced[f].unwrap_or(if above { Half::One } else { Half::Two })
        })
        .collect()
}
