//! The rubber itself: plugs, cores and tongues that stand into the part, how thick and how long.
//!
//! Rubber is where the part is not, so its thickness is that of a shrinking ball outside the part (Ma, Bae & Choi 2012,
//! as for walls). A stretch of one half's surface on which such balls stay small holds a piece of rubber between its own
//! walls; where they grow the piece has its root, and how far its tip stands from there is its length.

use super::films::{Film, films};
use crate::mesh::tree::{Cone, Facing, Tree};
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::release::kinds::RubberKind;
use crate::study::parting::surface::{NONE, Surface};
use glam::Vec3;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Cosine of 150°: walls are opposed by more than this.
const OPPOSED: f32 = -0.866_025_4;
/// Cosine of 0.7 rad: facets that turn by less are one curved surface.
const CURVED: f32 = 0.764_842_2;
/// Rubber thicker than this, or than a third of the part, stands by itself, millimetres (set here).
const THICKEST_MM: f32 = 50.0;
/// A piece reaches as far as the ball stays under this many times its thinnest (set here).
const GROWS: f32 = 1.5;
/// Pieces shorter than this are texture, millimetres (set here).
const SHORTEST_MM: f64 = 1.0;
/// Share of a piece's surface that must face its other side; corners have less.
const BETWEEN_WALLS: f64 = 0.5;
/// Surface over length and thickness above which a piece is wider than three times its thickness: a rod has π.
const WIDE: f64 = 6.0;
/// Pieces less slender than this are not listed.
const LEAST_SLENDER: f64 = 1.0;
/// Pieces that are kept, the most slender.
const MOST: usize = 64;
/// Triangles that are looked at in all, in times their number: nested pieces are looked at again.
const LOOKS: usize = 40;

/// A piece of rubber that stands into the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is.
    pub kind: RubberKind,
    /// The half that it belongs to.
    pub half: Half,
    /// Thickness, millimetres: the median over its surface.
    pub thickness_mm: f64,
    /// From its root to its tip, millimetres.
    pub length_mm: f64,
    /// The surface at its tip.
    pub tip: Vec3,
    /// The surface that it stands between, as triangles of the parted surface, in order.
    pub triangles: Vec<u32>,
}

impl Piece {
    /// Length over thickness.
    pub fn slenderness(&self) -> f64 {
        self.length_mm / self.thickness_mm
    }
}

/// The rubber of a parting.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rubber {
    /// Pieces that stand into the part, the most slender first.
    pub pieces: Vec<Piece>,
    /// Rubber between bodies of the part that is thinner than the shop's least, the thinnest first.
    pub films: Vec<Film>,
}

impl Rubber {
    /// The rubber of `parting`. `tree` holds the mesh that was parted; between two bodies rubber thinner than
    /// `least_between_mm` is a film.
    pub fn of(parting: &PartingFacts, tree: &Tree, least_between_mm: f64, run: &Run) -> Result<Rubber, Cancelled> {
        if let Some(told_from) = &parting.told_from {
            let mut rubber = Rubber::of(told_from, tree, least_between_mm, run)?;
            rubber.pieces.iter_mut().for_each(|p| p.half = p.half.other());
            return Ok(rubber);
        }
        let films = films(&parting.surface, least_between_mm, run)?;
        let balls = Balls::of(&parting.surface, tree, run)?;
        let n = parting.surface.len();
        let mut seeds: Vec<u32> = (0..n as u32).filter(|&f| balls.thickness[f as usize].is_finite()).collect();
        seeds.sort_by(|&a, &b| balls.thickness[a as usize].total_cmp(&balls.thickness[b as usize]).then(a.cmp(&b)));
        let mut pieces: Vec<Piece> = Vec::new();
        let mut tips: Vec<u32> = Vec::new();
        let mut taken = vec![false; n];
        let mut inside = vec![false; n];
        let mut looks = LOOKS * n;
        for seed in seeds {
            if taken[seed as usize] {
                continue;
            }
            run.check()?;
            let limit = 0.5 * GROWS * balls.thickness[seed as usize];
            let group = grown(parting, &balls, seed, limit, &mut inside);
            looks = looks.saturating_sub(group.len());
            let piece = measured(parting, tree, &balls, &group, &inside);
            if let Some((piece, tip)) = piece.filter(|(p, _)| p.slenderness() >= LEAST_SLENDER) {
                // A thicker look at rubber that was seen before: the more slender one stands.
                let within: Vec<usize> = (0..tips.len()).filter(|&i| inside[tips[i] as usize]).collect();
                if within.iter().all(|&i| pieces[i].slenderness() <= piece.slenderness()) {
                    for &i in within.iter().rev() {
                        pieces.swap_remove(i);
                        tips.swap_remove(i);
                    }
                    pieces.push(piece);
                    tips.push(tip);
                }
            }
            for f in group {
                taken[f as usize] = true;
                inside[f as usize] = false;
            }
            if looks == 0 {
                break;
            }
        }
        pieces.sort_by(|a, b| b.slenderness().total_cmp(&a.slenderness()).then(a.triangles.cmp(&b.triangles)));
        pieces.truncate(MOST);
        Ok(Rubber { pieces, films })
    }
}

/// Balls outside the part, tangent at the middle of each triangle.
struct Balls {
    /// Radius of the largest one that meets no other surface; infinite where it is larger than any that matters.
    radius: Vec<f32>,
    /// Thickness between opposed walls, NaN where there is none.
    thickness: Vec<f32>,
}

impl Balls {
    fn of(surface: &Surface, tree: &Tree, run: &Run) -> Result<Balls, Cancelled> {
        let facing = Facing::of(tree);
        let largest = (surface.mesh.bounds().diagonal() / 6.0).min(0.5 * THICKEST_MM);
        let found: Vec<(f32, f32)> = (0..surface.len())
            .into_par_iter()
            .map(|f| {
                if f % 1024 == 0 {
                    run.check()?;
                }
                let Some(radius) = ball(surface, tree, &facing, f, largest, CURVED) else {
                    return Ok((f32::INFINITY, f32::NAN));
                };
                let thickness = ball(surface, tree, &facing, f, largest, OPPOSED).map_or(f32::NAN, |r| 2.0 * r);
                Ok((radius, thickness))
            })
            .collect::<Result<_, Cancelled>>()?;
        let (radius, thickness) = found.into_iter().unzip();
        Ok(Balls { radius, thickness })
    }

    /// The middle of the rubber over triangle `f`.
    fn centre(&self, surface: &Surface, f: usize) -> Vec3 {
        let radius = if self.thickness[f].is_finite() { 0.5 * self.thickness[f] } else { self.radius[f] };
        surface.centroid[f] + surface.normal[f] * radius
    }
}

/// Radius of the largest ball up to `largest` that touches triangle `f` from outside and nothing that turns away from it
/// further than `cosine` says; none where there is nothing within `largest`.
fn ball(surface: &Surface, tree: &Tree, facing: &Facing, f: usize, largest: f32, cosine: f32) -> Option<f32> {
    let (p, n, own) = (surface.centroid[f], surface.normal[f], surface.parent[f]);
    let turned = Cone { axis: -n, cos: -cosine };
    let mut radius = largest;
    let mut met = false;
    for _ in 0..40 {
        let centre = p + n * radius;
        let nearest = tree.nearest_facing(centre, radius * (1.0 - 1e-4), facing, turned, own);
        let Some(nearest) = nearest else { break };
        let q = nearest.point - p;
        let height = n.dot(q);
        if height <= surface.hair_mm {
            // It touches the triangle itself: the corner of two walls.
            break;
        }
        let next = q.length_squared() / (2.0 * height);
        if next >= radius {
            break;
        }
        if cosine == OPPOSED {
            // A touch from the side is no wall; the ball stays as it was.
            let to = q - n * next;
            if n.dot(to) < -OPPOSED * to.length() {
                break;
            }
        }
        radius = next;
        met = true;
    }
    met.then_some(radius)
}

/// The triangles round `seed` on which balls stay under `limit`, in its half, in order; also flagged in `inside`.
fn grown(parting: &PartingFacts, balls: &Balls, seed: u32, limit: f32, inside: &mut [bool]) -> Vec<u32> {
    let surface = &*parting.surface;
    let half = parting.halves[seed as usize];
    let mut group = vec![seed];
    inside[seed as usize] = true;
    let mut at = 0;
    while at < group.len() {
        for &g in &surface.across[group[at] as usize] {
            if g != NONE
                && !inside[g as usize]
                && parting.halves[g as usize] == half
                && balls.radius[g as usize] <= limit
            {
                inside[g as usize] = true;
                group.push(g);
            }
        }
        at += 1;
    }
    group.sort_unstable();
    group
}

/// The piece of rubber that stands between `group`, and the triangle at its tip; none where there are no walls or no root.
fn measured(
    parting: &PartingFacts,
    tree: &Tree,
    balls: &Balls,
    group: &[u32],
    inside: &[bool],
) -> Option<(Piece, u32)> {
    let surface = &*parting.surface;
    let area = |f: u32| surface.area_mm2[f as usize] as f64;
    let whole: f64 = group.iter().map(|&f| area(f)).sum();
    let mut walls: Vec<u32> = group.iter().copied().filter(|&f| balls.thickness[f as usize].is_finite()).collect();
    let between: f64 = walls.iter().map(|&f| area(f)).sum();
    if between < BETWEEN_WALLS * whole {
        return None;
    }
    walls.sort_by(|&a, &b| balls.thickness[a as usize].total_cmp(&balls.thickness[b as usize]).then(a.cmp(&b)));
    let mut so_far = 0.0;
    let median = walls.iter().copied().find(|&f| {
        so_far += area(f);
        so_far >= 0.5 * between
    })?;
    let thickness_mm = balls.thickness[median as usize] as f64;
    let half = parting.halves[group[0] as usize];
    // Where it has its root, with how far the middle of the triangle is from it; and where it meets the other half.
    let mut roots: Vec<(u32, f32)> = Vec::new();
    let mut ends: Vec<(u32, f32)> = Vec::new();
    for &f in group {
        for k in 0..3 {
            let g = surface.across[f as usize][k];
            if g == NONE || inside[g as usize] {
                continue;
            }
            let [a, b] = surface.ends(f as usize, k);
            let from_edge = nearest_on_edge(surface.centroid[f as usize], a, b).distance(surface.centroid[f as usize]);
            let list = if parting.halves[g as usize] == half { &mut roots } else { &mut ends };
            list.push((f, from_edge));
        }
    }
    if roots.is_empty() {
        return None;
    }
    let (tip, path) = farthest(surface, balls, group, inside, &roots);
    let at_tip = if balls.thickness[tip as usize].is_nan() {
        balls.radius[tip as usize]
    } else {
        ends.iter().find(|(f, _)| *f == tip).map_or(0.0, |(_, d)| *d)
    };
    let length_mm = (straight(surface, tree, balls, tip, &roots, &path) + at_tip) as f64;
    if length_mm < SHORTEST_MM {
        return None;
    }
    let kind = if between / (length_mm * thickness_mm) > WIDE {
        RubberKind::Tongue
    } else if ends.is_empty() {
        RubberKind::Core
    } else {
        RubberKind::Plug
    };
    let tip_at = surface.centroid[tip as usize];
    let piece = Piece { kind, half, thickness_mm, length_mm, tip: tip_at, triangles: group.to_vec() };
    Some((piece, tip))
}

fn nearest_on_edge(p: Vec3, a: Vec3, b: Vec3) -> Vec3 {
    let ab = b - a;
    let t = if ab == Vec3::ZERO { 0.0 } else { ((p - a).dot(ab) / ab.length_squared()).clamp(0.0, 1.0) };
    a + ab * t
}

/// The triangle farthest from the roots through the middle of the rubber, and the way there (Dijkstra 1959 over the
/// balls' middles), tip first.
fn farthest(surface: &Surface, balls: &Balls, group: &[u32], inside: &[bool], roots: &[(u32, f32)]) -> (u32, Vec<u32>) {
    let place = |f: u32| group.binary_search(&f).unwrap_or(0);
    let mut way = vec![(f32::INFINITY, NONE); group.len()];
    let mut heap = BinaryHeap::new();
    for &(f, d) in roots {
        let here = &mut way[place(f)];
        if d < here.0 {
            *here = (d, NONE);
            heap.push(Reverse((d.to_bits(), f)));
        }
    }
    while let Some(Reverse((bits, f))) = heap.pop() {
        let so_far = f32::from_bits(bits);
        if so_far > way[place(f)].0 {
            continue;
        }
        let centre = balls.centre(surface, f as usize);
        for &g in &surface.across[f as usize] {
            if g == NONE || !inside[g as usize] {
                continue;
            }
            let total = so_far + balls.centre(surface, g as usize).distance(centre);
            let there = &mut way[place(g)];
            if total < there.0 {
                *there = (total, f);
                heap.push(Reverse((total.to_bits(), g)));
            }
        }
    }
    let reach = |i: usize| {
        let f = group[i] as usize;
        let more = if balls.thickness[f].is_nan() { balls.radius[f] } else { 0.0 };
        if way[i].0.is_finite() { way[i].0 + more } else { 0.0 }
    };
    let tip = (0..group.len()).max_by(|&a, &b| reach(a).total_cmp(&reach(b)).then(b.cmp(&a))).unwrap_or(0);
    let mut path = Vec::new();
    let mut at = group[tip];
    while at != NONE {
        path.push(at);
        at = way[place(at)].1;
    }
    (group[tip], path)
}

/// Length from the middle of the rubber at the tip to its root: straight where it can be seen from there, else along
/// `path` with its corners cut where the part allows.
fn straight(surface: &Surface, tree: &Tree, balls: &Balls, tip: u32, roots: &[(u32, f32)], path: &[u32]) -> f32 {
    const TRIED: usize = 32;
    let centre = |f: u32| balls.centre(surface, f as usize);
    let clear = |a: Vec3, b: Vec3| a == b || !tree.any_hit(a, b - a, 1.0);
    let from = centre(tip);
    let mut near: Vec<(f32, u32)> = roots.iter().map(|&(f, d)| (from.distance(centre(f)) + d, f)).collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    if let Some((length, _)) = near.into_iter().take(TRIED).find(|&(_, f)| clear(from, centre(f))) {
        return length;
    }
    let mut length = 0.0;
    let mut i = 0;
    while i + 1 < path.len() {
        // Far jumps first, then half as far.
        let mut step = path.len() - 1 - i;
        while step > 1 && !clear(centre(path[i]), centre(path[i + step])) {
            step /= 2;
        }
        length += centre(path[i]).distance(centre(path[i + step]));
        i += step;
    }
    let last = path.last().copied().unwrap_or(tip);
    length + roots.iter().filter(|(f, _)| *f == last).map(|(_, d)| *d).fold(f32::INFINITY, f32::min).min(1e6)
}
