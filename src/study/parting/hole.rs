//! Through-holes along which a shut-off can be moved: their wall, their axis, and how far they go on.
//!
//! A hole goes on as far as its sections square to its axis close round inside it. A rail of triangles along its wall, found
//! once with the parting, gives the section at any place of it in no time.

use super::line::{TrueLine, few_points};
use super::loops::Loop;
use super::moved::Moved;
use super::section::{Section, section, section_at};
use super::surface::{NONE, Surface};
use glam::{DMat3, DVec3, Vec3};
use std::collections::HashSet;

/// A wall of a hole faces its axis by at least this (cosine), and lies no farther from it than this many times the way
/// round it.
pub(super) const INWARDS: f32 = 0.25;
const WIDENS: f32 = 1.5;
/// Share of the normals' squares along the axis above which the wall says nothing of it: that of a cone of 26° on each side.
const ALONG: f64 = 0.2;
/// The axis of a wide cone is sought no farther than this from where it is thought to be (cosine of 15°): a line that is
/// slanted on it leaves too little of its wall to tell more.
const LEANS: f32 = 0.966;
/// How often the wall is sought about its axis and the axis told by its wall.
const ROUNDS: usize = 3;
/// Places of a loop at which a rail is begun.
const RAILS: usize = 2;
/// A line stays this far from the mouths of its hole, millimetres (set here: nearer it would be on the rim).
const OFF_RIM_MM: f32 = 0.05;
/// A moved loop is kept with points that stray this little from the section, millimetres.
const STRAY_MM: f32 = 0.02;

/// A hole that a shut-off closes, and how far along it the shut-off can go. Lengths are along the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its axis, a unit vector towards the side of half 1.
    pub axis: Vec3,
    /// How far from where it was proposed the line lies, millimetres towards half 1.
    pub moved_mm: f32,
    /// From where to where it can be moved, millimetres from where it was proposed.
    pub reach_mm: [f32; 2],
    /// How far the line is from the ends of the hole on the sides of half 1 and half 2, millimetres.
    pub from_ends_mm: [f32; 2],
    /// A point of the loop that was proposed with its outward normal, where the line was moved away from it.
    pub proposed: Option<(Vec3, Vec3)>,
    /// Names the hole: the lowest original triangle of its wall, wherever the line runs.
    pub key: u32,
    /// Height of the line along the axis, from the origin of `work`.
    level_mm: f32,
    /// Triangles of the wall from end to end, each with the heights that it can be cut at.
    rail: Rail,
}

impl Hole {
    /// The same with the names of the halves exchanged.
    pub(super) fn turned(&self) -> Hole {
        let [low, high] = self.reach_mm;
        let [one, two] = self.from_ends_mm;
        Hole {
            axis: -self.axis,
            moved_mm: -self.moved_mm,
            reach_mm: [-high, -low],
            from_ends_mm: [two, one],
            level_mm: -self.level_mm,
            rail: turned_over(self.rail.clone()),
            ..self.clone()
        }
    }

    /// Points and normals round the hole, half 1 on their left, `to_mm` from where the line was proposed; none where the
    /// hole does not reach so far or is not closed round there.
    pub fn round(&self, surface: &Surface, to_mm: f32) -> Option<Vec<(Vec3, Vec3)>> {
        if !(self.reach_mm[0]..=self.reach_mm[1]).contains(&to_mm) {
            return None;
        }
        let level = self.level_mm + (to_mm - self.moved_mm);
        let &(_, _, f) = self.rail.iter().find(|(low, high, _)| (*low..=*high).contains(&level))?;
        let section = closed_round(surface, f, self.axis, level)?;
        // A section has what is above it on its right.
        let at = |i: usize| (section.points[i], surface.normal[section.triangles[i] as usize]);
        Some(few_points(&section.points, STRAY_MM).into_iter().rev().map(at).collect())
    }
}

/// The hole that a closed loop goes round; none where it goes round none, or where the wall beside it is not closed round.
pub fn hole(surface: &Surface, loop_: &Loop, line: &TrueLine, moved: &[Moved], draw: Vec3) -> Option<Hole> {
    let n = line.points.len();
    if !line.closed || n < 3 {
        return None;
    }
    let middle = line.points.iter().sum::<Vec3>() / n as f32;
    let around = |i: usize| (line.points[i] - middle).as_dvec3().cross((line.points[(i + 1) % n] - middle).as_dvec3());
    let loop_normal = (0..n).map(around).sum::<DVec3>().normalize_or_zero().as_vec3();
    let across = |&(f, k): &(u32, u8)| [f, surface.across[f as usize][k as usize]];
    let beside = loop_.edges.iter().flat_map(across).filter(|&f| f != NONE);
    let beside: Vec<u32> = beside.collect();
    // A slanted line tells little of its hole; what is drawn out of a through-hole goes more or less along it.
    let Course { axis, own, rail } = [draw, loop_normal].iter().find_map(|s| course(surface, &beside, middle, *s))?;
    // The loop has half 1 on its left, seen from outside the part: the right hand shows to half 2.
    let (axis, rail) = if axis.dot(loop_normal) > 0.0 { (-axis, turned_over(rail)) } else { (axis, rail) };
    let key = own.iter().map(|&f| surface.parent[f as usize]).min()?;
    let (low, high) = (rail.first()?.0, rail.last()?.1);
    let level_mm = middle.dot(axis);
    let moved = moved.iter().find(|m| m.is_on(line, surface));
    let moved_mm = moved.map_or(0.0, |m| m.by_mm);
    let proposed = level_mm - moved_mm;
    let reach = [low + OFF_RIM_MM, high - OFF_RIM_MM].map(|l| l - proposed);
    (reach[0] < reach[1]).then_some(Hole {
        axis,
        moved_mm,
        reach_mm: reach,
        from_ends_mm: [(high - level_mm).max(0.0), (level_mm - low).max(0.0)],
        proposed: moved.and_then(|m| m.from.ok()),
        key,
        level_mm,
        rail,
    })
}

/// A way along a hole.
struct Course {
    axis: Vec3,
    /// The wall of the hole.
    own: Vec<u32>,
    rail: Rail,
}

/// Triangles of a wall one after the other along an axis, lowest first, each with the heights that it reaches.
type Rail = Vec<(f32, f32, u32)>;

fn span_mm(rail: &Rail) -> f32 {
    rail.last().map_or(0.0, |l| l.1) - rail.first().map_or(0.0, |f| f.0)
}

/// The same rail along the axis the other way.
fn turned_over(rail: Rail) -> Rail {
    rail.into_iter().rev().map(|(low, high, f)| (-high, -low, f)).collect()
}

/// The way along the hole that has the triangles `beside` a loop in its wall, its axis sought from `start`.
fn course(surface: &Surface, beside: &[u32], middle: Vec3, start: Vec3) -> Option<Course> {
    let mut axis = start;
    let mut own = Vec::new();
    let mut seeds = Vec::new();
    for _ in 0..ROUNDS {
        // A rim has a face beside it that is no wall of the hole.
        let is_wall = |&f: &u32| inwards(surface, f, middle, axis) > INWARDS;
        seeds = beside.iter().copied().filter(is_wall).collect();
        own = wall(surface, &seeds, middle, axis, |_| true);
        axis = told_axis(surface, &own, axis);
    }
    let tries = RAILS.min(seeds.len());
    let rails = (0..tries).filter_map(|i| rail(surface, seeds[i * seeds.len() / tries], middle, axis));
    let rail = rails.reduce(|a, b| if span_mm(&b) > span_mm(&a) { b } else { a })?;
    Some(Course { axis, own, rail })
}

/// How far triangle `f` faces the axis through `middle` (cosine).
fn inwards(surface: &Surface, f: u32, middle: Vec3, axis: Vec3) -> f32 {
    let from = off(surface.centroid[f as usize], middle, axis);
    -surface.normal[f as usize].dot(from.normalize_or_zero())
}

/// From the axis through `middle` to a point, square to it.
fn off(p: Vec3, middle: Vec3, axis: Vec3) -> Vec3 {
    let from = p - middle;
    from - axis * from.dot(axis)
}

/// The section through triangle `f` at a level, where it closes round inside a hole.
fn closed_round(surface: &Surface, f: u32, axis: Vec3, level: f32) -> Option<Section> {
    let section = section_at(surface, f, axis, level)?;
    (section.closed && section.points.len() > 2 && section.faces_inwards(surface) > INWARDS).then_some(section)
}

/// Triangles of a wall one after the other along `axis` as far as sections close round inside, lowest first, each with the
/// heights that it reaches.
fn rail(surface: &Surface, seed: u32, middle: Vec3, axis: Vec3) -> Option<Rail> {
    let level = |p: Vec3| p.dot(axis);
    let across = axis.cross(off(surface.centroid[seed as usize], middle, axis).normalize_or_zero());
    let ways = [section(surface, seed, across)?, section(surface, seed, -across)?];
    let ends = [*ways[0].points.first()?, *ways[1].points.first()?];
    let upwards = usize::from(level(ends[1]) > level(ends[0]));
    let (low, high) = (level(ends[1 - upwards]), level(ends[upwards]));
    closed_round(surface, seed, axis, (low + high) / 2.0)?;
    let mut rail = vec![(low, high, seed)];
    for (way, sign) in [(&ways[upwards], 1.0f32), (&ways[1 - upwards], -1.0)] {
        let mut more: Vec<(f32, f32, u32)> = Vec::new();
        for i in 1..way.points.len() {
            let (f, from, to) = (way.triangles[i], level(way.points[i - 1]), level(way.points[i]));
            let step = sign * (to - from);
            if f == seed || step < -surface.hair_mm || inwards(surface, f, middle, axis) <= INWARDS {
                break;
            }
            // Where the way goes through a corner, triangles are passed that it only touches.
            if step > 0.0 {
                if closed_round(surface, f, axis, (from + to) / 2.0).is_none() {
                    break;
                }
                more.push((from.min(to), from.max(to), f));
            }
        }
        if sign < 0.0 {
            more.reverse();
            rail.splice(0..0, more);
        } else {
            rail.extend(more);
        }
    }
    Some(rail)
}

/// The wall of a hole: the triangles about `axis` through `middle` that are joined with `seeds` and face it.
pub(super) fn wall(
    surface: &Surface,
    seeds: &[u32],
    middle: Vec3,
    axis: Vec3,
    is_own: impl Fn(u32) -> bool,
) -> Vec<u32> {
    let corners = seeds.iter().flat_map(|&f| surface.mesh.corners(f as usize));
    let reach = WIDENS * corners.map(|p| off(p, middle, axis).length()).fold(0.0, f32::max);
    let mut seen: HashSet<u32> = seeds.iter().copied().collect();
    let mut wall: Vec<u32> = seen.iter().copied().collect();
    let mut at = 0;
    while at < wall.len() {
        for &g in &surface.across[wall[at] as usize] {
            if g == NONE || !is_own(g) || seen.contains(&g) {
                continue;
            }
            let near = off(surface.centroid[g as usize], middle, axis).length() <= reach;
            if near && inwards(surface, g, middle, axis) > INWARDS {
                seen.insert(g);
                wall.push(g);
            }
        }
        at += 1;
    }
    wall.sort_unstable();
    wall
}

/// How the normals of a wall are spread: Σ area·n·nᵀ.
struct Spread {
    sum: DMat3,
    trace: f64,
}

impl Spread {
    fn of(surface: &Surface, wall: &[u32]) -> Spread {
        let mut sum = DMat3::ZERO;
        for &f in wall {
            let n = surface.normal[f as usize].as_dvec3();
            let a = surface.area_mm2[f as usize] as f64;
            sum += DMat3::from_cols(n * n.x, n * n.y, n * n.z) * a;
        }
        Spread { sum, trace: (sum.x_axis.x + sum.y_axis.y + sum.z_axis.z).max(f64::MIN_POSITIVE) }
    }

    /// The eigenvector of the least eigenvalue on the side of `near`, by inverse iteration, and its share of the whole.
    fn least(&self, near: Vec3) -> (Vec3, f64) {
        let inverse = (self.sum + DMat3::from_diagonal(DVec3::splat(1e-9 * self.trace))).inverse();
        let near = near.as_dvec3();
        let mut axis = near;
        for _ in 0..12 {
            axis = (inverse * axis).normalize_or(near);
        }
        let axis = if axis.dot(near) < 0.0 { -axis } else { axis };
        let axis = if axis.is_finite() { axis } else { near };
        (axis.as_vec3(), axis.dot(self.sum * axis) / self.trace)
    }
}

/// The direction that the normals of a wall are most nearly square to, on the side of `near`.
pub(super) fn along_wall(surface: &Surface, wall: &[u32], near: Vec3) -> Vec3 {
    Spread::of(surface, wall).least(near).0
}

/// The axis that a wall tells, else `near`: of a bore the direction that its normals are most nearly square to, of a
/// wider cone the eigenvector that `near` leads to (Rayleigh quotient iteration).
fn told_axis(surface: &Surface, wall: &[u32], near: Vec3) -> Vec3 {
    let spread = Spread::of(surface, wall);
    let (least, share) = spread.least(near);
    if share < ALONG {
        return least;
    }
    let mut axis = near.as_dvec3();
    for _ in 0..12 {
        let shifted =
            spread.sum - DMat3::from_diagonal(DVec3::splat(axis.dot(spread.sum * axis) + 1e-9 * spread.trace));
        let next = (shifted.inverse() * axis).normalize_or_zero();
        if !next.is_finite() || next == DVec3::ZERO {
            break;
        }
        axis = if next.dot(axis) < 0.0 { -next } else { next };
    }
    let axis = axis.as_vec3();
    if axis.dot(near) > LEANS { axis } else { near }
}
