//! A way over triangles pulled straight between held ends.
//!
//! The way runs through a sleeve of triangles. Unfolded into the plane the shortest way in the sleeve is found by a funnel
//! (Lee & Preparata 1984). Where it bends round a vertex whose other side is less than half a turn, the sleeve is led round
//! the other side, which shortens it (Xin & Wang 2007). What is left is locally shortest.

use super::run::{Cancelled, Run};
use glam::{DVec2, Vec3};

/// No triangle across an edge.
const NONE: u32 = u32::MAX;
/// A side that falls short of half a turn by less than this is straight, radians.
const STRAIGHT_RAD: f64 = 1e-4;
/// Rounds of leading the sleeve round vertices; each shortens the way.
const ROUNDS: usize = 400;

/// Triangles with their neighbours; corners counter-clockwise seen from outside.
#[derive(Clone, Copy, Debug)]
pub struct Triangles<'a> {
    /// Positions of vertices.
    pub positions: &'a [Vec3],
    /// Corners.
    pub corners: &'a [[u32; 3]],
    /// Triangle across the edge from corner k to the next, `u32::MAX` for none.
    pub across: &'a [[u32; 3]],
}

/// Where a way leaves a triangle of its sleeve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Triangle that is left.
    pub triangle: u32,
    /// Edge that is crossed.
    pub edge: u8,
    /// Share of the way from the first corner of the edge.
    pub share: f32,
}

/// A way over triangles.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Triangles that it runs through, in order.
    pub sleeve: Vec<u32>,
    /// Crossings between them, one fewer.
    pub crossings: Vec<Crossing>,
    /// Length in the units of the positions.
    pub length: f64,
}

/// What a way may do.
pub trait Freedom {
    /// Whether the way may be led round vertex `v` at all.
    fn round(&self, v: u32) -> bool;
    /// Whether the way may move over triangle `t`, to its own left or right.
    fn over(&self, t: u32, leftwards: bool) -> bool;
}

/// A way that may go everywhere.
#[derive(Clone, Copy, Debug, Default)]
pub struct Anywhere;

impl Freedom for Anywhere {
    fn round(&self, _: u32) -> bool {
        true
    }

    fn over(&self, _: u32, _: bool) -> bool {
        true
    }
}

/// A bend of the way: the vertex, whether it lies on the left, and the portal at which it does.
struct Bend {
    vertex: u32,
    on_left: bool,
    portal: usize,
    at: DVec2,
}

impl Triangles<'_> {
    fn corner_of(&self, t: u32, v: u32) -> Option<usize> {
        self.corners[t as usize].iter().position(|&c| c == v)
    }

    fn angle_at(&self, t: u32, c: usize) -> f64 {
        let p = self.corners[t as usize].map(|v| self.positions[v as usize].as_dvec3());
        let (a, b) = (p[(c + 1) % 3] - p[c], p[(c + 2) % 3] - p[c]);
        a.cross(b).length().atan2(a.dot(b))
    }

    /// All angles round `v`, from the triangle `t`; none at an open edge.
    fn angle_round(&self, t: u32, v: u32) -> Option<f64> {
        let mut sum = 0.0;
        let mut at = t;
        for _ in 0..10_000 {
            let c = self.corner_of(at, v)?;
            sum += self.angle_at(at, c);
            at = self.across[at as usize][c];
            if at == NONE {
                return None;
            }
            if at == t {
                return Some(sum);
            }
        }
        None
    }

    /// Triangles from `from` to `to` turning round `v`, both left out.
    fn turn(&self, from: u32, to: u32, v: u32, clockwise: bool) -> Option<Vec<u32>> {
        let mut fan = Vec::new();
        let mut at = from;
        for _ in 0..10_000 {
            let c = self.corner_of(at, v)?;
            at = self.across[at as usize][if clockwise { c } else { (c + 2) % 3 }];
            if at == NONE {
                return None;
            }
            if at == to {
                return Some(fan);
            }
            fan.push(at);
        }
        None
    }

    /// The edges between consecutive triangles of a sleeve; none where two are no neighbours.
    fn portals(&self, sleeve: &[u32]) -> Option<Vec<usize>> {
        sleeve.windows(2).map(|w| self.across[w[0] as usize].iter().position(|&g| g == w[1])).collect()
    }

    /// Corners of the sleeve's triangles laid in one plane.
    fn unfold(&self, sleeve: &[u32], portals: &[usize]) -> Vec<[DVec2; 3]> {
        let mut flat: Vec<[DVec2; 3]> = Vec::with_capacity(sleeve.len());
        let side =
            |a: u32, b: u32| self.positions[a as usize].as_dvec3().distance(self.positions[b as usize].as_dvec3());
        // The corner left of a → b at the given distances.
        let apex = |a: DVec2, b: DVec2, from_a: f64, from_b: f64| {
            let ab = b - a;
            let long = ab.length().max(f64::MIN_POSITIVE);
            let x = (from_a * from_a - from_b * from_b + long * long) / (2.0 * long);
            let y = (from_a * from_a - x * x).max(0.0).sqrt();
            a + (ab * x + ab.perp() * y) / long
        };
        for (i, &t) in sleeve.iter().enumerate() {
            let v = self.corners[t as usize];
            if i == 0 {
                let (a, b) = (DVec2::ZERO, DVec2::new(side(v[0], v[1]), 0.0));
                flat.push([a, b, apex(a, b, side(v[0], v[2]), side(v[1], v[2]))]);
                continue;
            }
            let (before, k) = (self.corners[sleeve[i - 1] as usize], portals[i - 1]);
            let mut own = [DVec2::ZERO; 3];
            let (p, q) = (before[k], before[(k + 1) % 3]);
            let c = (0..3).find(|&c| v[c] != p && v[c] != q).unwrap_or(0);
            // In this triangle the edge runs from q to p.
            let (at_q, at_p) = (flat[i - 1][(k + 1) % 3], flat[i - 1][k]);
            own[(c + 1) % 3] = at_q;
            own[(c + 2) % 3] = at_p;
            own[c] = apex(at_q, at_p, side(q, v[c]), side(p, v[c]));
            flat.push(own);
        }
        flat
    }
}

/// The shortest way in a sleeve by a funnel: its bends.
fn funnel(start: DVec2, goal: DVec2, portals: &[[(DVec2, u32); 2]]) -> Vec<Bend> {
    let area = |a: DVec2, b: DVec2, c: DVec2| (b - a).perp_dot(c - a);
    let mut bends = Vec::new();
    let end = [(goal, NONE); 2];
    let at = |i: usize| if i < portals.len() { portals[i] } else { end };
    let (mut apex, mut apex_vertex) = (start, NONE - 1);
    let ([mut left, mut right], mut left_i, mut right_i) = (at(0), 0usize, 0usize);
    let mut i = 1;
    while i <= portals.len() {
        let [l, r] = at(i);
        if area(apex, right.0, r.0) >= 0.0 {
            if apex_vertex == right.1 || area(apex, left.0, r.0) <= 0.0 {
                right = r;
                right_i = i;
            } else {
                bends.push(Bend { vertex: left.1, on_left: true, portal: left_i, at: left.0 });
                (apex, apex_vertex) = left;
                (left, right) = (left, left);
                right_i = left_i;
                i = left_i + 1;
                continue;
            }
        }
        if area(apex, left.0, l.0) <= 0.0 {
            if apex_vertex == left.1 || area(apex, right.0, l.0) >= 0.0 {
                left = l;
                left_i = i;
            } else {
                bends.push(Bend { vertex: right.1, on_left: false, portal: right_i, at: right.0 });
                (apex, apex_vertex) = right;
                (left, right) = (right, right);
                left_i = right_i;
                i = right_i + 1;
                continue;
            }
        }
        i += 1;
    }
    bends
}

/// Pulls the way through `sleeve` from vertex `from` of its first triangle to vertex `to` of its last straight, leading
/// the sleeve round vertices where that is shorter and `freedom` allows it. None where the sleeve is not one.
///
/// # Errors
/// [`Cancelled`].
pub fn straighten(
    triangles: Triangles,
    sleeve: Vec<u32>,
    from: u32,
    to: u32,
    freedom: &dyn Freedom,
    run: &Run,
) -> Result<Option<Way>, Cancelled> {
    let mut sleeve = sleeve;
    let mut best: Option<Way> = None;
    for _ in 0..ROUNDS {
        run.check()?;
        trim(triangles, &mut sleeve, from, to);
        let Some(edges) = triangles.portals(&sleeve) else { break };
        let flat = triangles.unfold(&sleeve, &edges);
        let last = sleeve.len() - 1;
        let (Some(s), Some(e)) = (triangles.corner_of(sleeve[0], from), triangles.corner_of(sleeve[last], to)) else {
            break;
        };
        let (start, goal) = (flat[0][s], flat[last][e]);
        let portals: Vec<[(DVec2, u32); 2]> = edges
            .iter()
            .enumerate()
            .map(|(i, &k)| {
                let v = triangles.corners[sleeve[i] as usize];
                [(flat[i][(k + 1) % 3], v[(k + 1) % 3]), (flat[i][k], v[k])]
            })
            .collect();
        let bends = if portals.is_empty() { Vec::new() } else { funnel(start, goal, &portals) };
        let way = way(&sleeve, &edges, &portals, start, goal, &bends);
        // Rounding could lead it to and fro between two ways of one length.
        if best.as_ref().is_some_and(|b| way.length >= b.length * (1.0 - 1e-9)) {
            break;
        }
        let next = led_round(triangles, &sleeve, start, goal, &bends, freedom);
        best = Some(way);
        match next {
            Some(next) => sleeve = next,
            None => break,
        }
    }
    Ok(best)
}

/// Leaves out triangles at the ends that the way does not need, and steps there and back.
fn trim(triangles: Triangles, sleeve: &mut Vec<u32>, from: u32, to: u32) {
    let mut kept: Vec<u32> = Vec::with_capacity(sleeve.len());
    for &t in sleeve.iter() {
        if kept.last() == Some(&t) {
            continue;
        }
        if kept.len() > 1 && kept[kept.len() - 2] == t {
            kept.pop();
            continue;
        }
        kept.push(t);
    }
    let first = (1..kept.len()).take_while(|&i| triangles.corner_of(kept[i], from).is_some()).last().unwrap_or(0);
    // A closed way begins and ends at one vertex: only the turn at the start is left out.
    kept.drain(..first.min(kept.len() - 1));
    while kept.len() > 1 && triangles.corner_of(kept[kept.len() - 2], to).is_some() {
        kept.pop();
    }
    *sleeve = kept;
}

fn way(
    sleeve: &[u32],
    edges: &[usize],
    portals: &[[(DVec2, u32); 2]],
    start: DVec2,
    goal: DVec2,
    bends: &[Bend],
) -> Way {
    let mut crossings = Vec::with_capacity(edges.len());
    let mut length = 0.0;
    let mut at = start;
    let mut bend = 0;
    let mut next = bends.first().map_or(goal, |b| b.at);
    length += at.distance(next);
    for (i, [left, right]) in portals.iter().enumerate() {
        while bend < bends.len() && i > bends[bend].portal {
            at = bends[bend].at;
            bend += 1;
            next = bends.get(bend).map_or(goal, |b| b.at);
            length += at.distance(next);
        }
        let (d, across) = (next - at, left.0 - right.0);
        let span = across.perp_dot(d);
        let share = if span == 0.0 { 0.5 } else { ((at - right.0).perp_dot(d) / span).clamp(0.0, 1.0) };
        crossings.push(Crossing { triangle: sleeve[i], edge: edges[i] as u8, share: share as f32 });
    }
    while bend < bends.len() {
        at = bends[bend].at;
        bend += 1;
        length += at.distance(bends.get(bend).map_or(goal, |b| b.at));
    }
    Way { sleeve: sleeve.to_vec(), crossings, length }
}

/// The sleeve led round the other side of every bend where that is shorter; none where there is no such bend.
fn led_round(
    triangles: Triangles,
    sleeve: &[u32],
    start: DVec2,
    goal: DVec2,
    bends: &[Bend],
    freedom: &dyn Freedom,
) -> Option<Vec<u32>> {
    let mut result: Vec<u32> = Vec::with_capacity(sleeve.len());
    let mut done = 0;
    let mut changed = false;
    for (i, b) in bends.iter().enumerate() {
        if b.vertex >= NONE - 1 || !freedom.round(b.vertex) {
            continue;
        }
        let has = |j: usize| triangles.corner_of(sleeve[j], b.vertex).is_some();
        if !has(b.portal) || b.portal + 1 >= sleeve.len() || !has(b.portal + 1) {
            continue;
        }
        let (mut low, mut high) = (b.portal, b.portal + 1);
        while low > 0 && has(low - 1) {
            low -= 1;
        }
        while high + 1 < sleeve.len() && has(high + 1) {
            high += 1;
        }
        if low < done {
            continue;
        }
        let before = if i > 0 { bends[i - 1].at } else { start } - b.at;
        let after = bends.get(i + 1).map_or(goal, |b| b.at) - b.at;
        let (from, to) = if b.on_left { (before, after) } else { (after, before) };
        let inside = from.perp_dot(to).atan2(from.dot(to)).rem_euclid(std::f64::consts::TAU);
        let Some(whole) = triangles.angle_round(sleeve[low], b.vertex) else { continue };
        if whole - inside >= std::f64::consts::PI - STRAIGHT_RAD {
            continue;
        }
        let Some(fan) = triangles.turn(sleeve[low], sleeve[high], b.vertex, b.on_left) else { continue };
        let swept = fan.iter().chain([&sleeve[low], &sleeve[high]]);
        if !swept.into_iter().all(|&t| freedom.over(t, b.on_left)) {
            continue;
        }
        result.extend_from_slice(&sleeve[done..=low]);
        result.extend(fan);
        done = high;
        changed = true;
    }
    result.extend_from_slice(&sleeve[done..]);
    changed.then_some(result)
}
