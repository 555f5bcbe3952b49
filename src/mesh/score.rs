//! A mesh cut along lines drawn on it, so that the lines become edges.
//!
//! A line is drawn triangle by triangle as chords between points on the triangle's rim. Triangles on both sides of an edge
//! get the same points, so the mesh stays conforming.

use super::Mesh;
use super::topology::next;
use glam::Vec3;
use std::collections::HashMap;

/// No triangle across an edge.
const NONE: u32 = u32::MAX;
/// Points nearer than this share of an edge to its end, or to another point on it, are that one: no sliver thinner is
/// made, and a line moves by less.
pub const SNAP: f32 = 0.02;

/// Lines to be cut, collected before anything is.
#[derive(Clone, Debug, Default)]
pub struct Scores {
    /// Points on each edge, keyed by its lower and higher vertex: share of the way from the lower, vertex.
    points: HashMap<(u32, u32), Vec<(f32, u32)>>,
    /// Chords of each triangle as pairs of vertices.
    chords: HashMap<u32, Vec<[u32; 2]>>,
    /// Triangles with points on their rim.
    touched: Vec<u32>,
    /// The point inside each triangle that has one.
    inside: HashMap<u32, u32>,
}

/// What cutting did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cut {
    /// Triangles that were replaced by their first piece.
    pub replaced: Vec<u32>,
    /// For each added triangle, in order, the replaced one that it is a piece of.
    pub of_added: Vec<u32>,
    /// Chords that could not be made edges, because others cross them.
    pub lost: usize,
}

impl Scores {
    /// True where there is nothing to cut.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty() && self.chords.is_empty() && self.inside.is_empty()
    }

    /// The vertex on edge `k` of triangle `f`, `share` of the way from its first corner: a corner or an earlier point
    /// where that is near, else a new vertex of `mesh`.
    pub fn on_edge(&mut self, mesh: &mut Mesh, across: &[[u32; 3]], f: usize, k: usize, share: f32) -> u32 {
        let (a, b) = (mesh.triangles[f][k], mesh.triangles[f][next(k)]);
        if !(share >= SNAP) {
            return a;
        }
        if !(share <= 1.0 - SNAP) {
            return b;
        }
        let (low, high, share) = if a < b { (a, b, share) } else { (b, a, 1.0 - share) };
        let on = self.points.entry((low, high)).or_default();
        if let Some(&(_, v)) = on.iter().find(|(t, _)| (t - share).abs() < SNAP) {
            return v;
        }
        let (p, q) = (mesh.positions[low as usize], mesh.positions[high as usize]);
        let at = p + (q - p) * share;
        if at == p || at == q {
            return if share < 0.5 { low } else { high };
        }
        let v = mesh.positions.len() as u32;
        mesh.positions.push(at);
        on.push((share, v));
        on.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.touched.push(f as u32);
        if across[f][k] != NONE {
            self.touched.push(across[f][k]);
        }
        v
    }

    /// The vertex at the place `at` in triangle `f`: a corner, a point on an edge, or a new one inside, to which every
    /// point on the rim gets an edge. There is one inside each triangle at most; a second place is the first. Where
    /// there is a point inside, chords are not drawn.
    pub fn at(&mut self, mesh: &mut Mesh, across: &[[u32; 3]], f: usize, at: Vec3) -> u32 {
        let [a, b, c] = mesh.corners(f);
        let n = (b - a).cross(c - a);
        let whole = n.length_squared().max(f32::MIN_POSITIVE);
        let share = [(b - at).cross(c - at), (c - at).cross(a - at), (a - at).cross(b - at)].map(|v| v.dot(n) / whole);
        for k in 0..3 {
            // Near the edge across from corner k, from the next corner to the one after.
            if share[k] < SNAP {
                let (from, to) = (share[next(k)].max(0.0), share[next(next(k))].max(0.0));
                return self.on_edge(mesh, across, f, next(k), to / (from + to).max(f32::MIN_POSITIVE));
            }
        }
        *self.inside.entry(f as u32).or_insert_with(|| {
            mesh.positions.push(a * share[0] + b * share[1] + c * share[2]);
            mesh.positions.len() as u32 - 1
        })
    }

    /// Draws a chord of triangle `f` between two vertices on its rim; nothing where they lie on one edge.
    pub fn chord(&mut self, f: usize, from: u32, to: u32) {
        if from != to {
            self.chords.entry(f as u32).or_default().push([from, to]);
        }
    }

    /// Cuts `mesh` and brings `across` up to date. Cut triangles are replaced by their first piece, the other pieces are
    /// added at the end.
    pub fn cut(mut self, mesh: &mut Mesh, across: &mut Vec<[u32; 3]>) -> Cut {
        let mut replaced = std::mem::take(&mut self.touched);
        replaced.extend(self.chords.keys());
        replaced.extend(self.inside.keys());
        replaced.sort_unstable();
        replaced.dedup();
        let old: HashMap<u32, [u32; 3]> = replaced.iter().map(|&f| (f, across[f as usize])).collect();
        let mut cut = Cut::default();
        // Directed edges of all pieces by the triangle they are of, and the sides to be joined.
        let mut sides: HashMap<(u32, u32, u32), (u32, u8)> = HashMap::new();
        let mut joins: Vec<(u32, u8, u32, Option<u8>)> = Vec::new();
        for &f in &replaced {
            let corners = mesh.triangles[f as usize];
            let rim = self.rim(corners);
            let mut pieces = Vec::new();
            let chords = self.chords.remove(&f).unwrap_or_default();
            match self.inside.get(&f) {
                Some(&v) => pieces.extend((0..rim.len()).map(|i| [rim[i], rim[(i + 1) % rim.len()], (v, 0)])),
                None => cut.lost += divide(rim, &chords, mesh, &mut pieces),
            }
            for (i, piece) in pieces.iter().enumerate() {
                let t = if i == 0 {
                    mesh.triangles[f as usize] = piece.map(|p| p.0);
                    f
                } else {
                    mesh.triangles.push(piece.map(|p| p.0));
                    across.push([NONE; 3]);
                    cut.of_added.push(f);
                    mesh.triangles.len() as u32 - 1
                };
                for k in 0..3 {
                    let ((a, on_a), (b, on_b)) = (piece[k], piece[next(k)]);
                    sides.insert((a, b, f), (t, k as u8));
                    let on = on_a & on_b;
                    joins.push((t, k as u8, f, (on != 0).then(|| on.trailing_zeros() as u8)));
                }
            }
        }
        for (t, k, f, rim) in joins {
            let (a, b) = (mesh.triangles[t as usize][k as usize], mesh.triangles[t as usize][next(k as usize)]);
            let beyond = match rim {
                None => f,
                Some(edge) => old[&f][edge as usize],
            };
            let over = sides.get(&(b, a, beyond)).map(|s| s.0);
            across[t as usize][k as usize] = match (over, rim) {
                (Some(s), _) => s,
                // The neighbour is whole.
                (None, Some(_)) if beyond != NONE && !old.contains_key(&beyond) => {
                    let g = mesh.triangles[beyond as usize];
                    if let Some(j) = (0..3).find(|&j| g[j] == b && g[next(j)] == a) {
                        across[beyond as usize][j] = t;
                    }
                    beyond
                }
                _ => NONE,
            };
        }
        cut.replaced = replaced;
        cut
    }

    /// Corners and points round a triangle, each with the edges it lies on as bits.
    fn rim(&self, corners: [u32; 3]) -> Vec<(u32, u8)> {
        let mut rim = Vec::with_capacity(8);
        for k in 0..3 {
            let (a, b) = (corners[k], corners[next(k)]);
            rim.push((a, 1 << k | 1 << ((k + 2) % 3)));
            if let Some(on) = self.points.get(&(a.min(b), a.max(b))) {
                let bit = 1u8 << k;
                if a < b {
                    rim.extend(on.iter().map(|p| (p.1, bit)));
                } else {
                    rim.extend(on.iter().rev().map(|p| (p.1, bit)));
                }
            }
        }
        rim
    }
}

/// Divides a polygon by chords and the rest into triangles. Returns how many chords found no place.
fn divide(polygon: Vec<(u32, u8)>, chords: &[[u32; 2]], mesh: &Mesh, pieces: &mut Vec<[(u32, u8); 3]>) -> usize {
    let mut open = vec![polygon];
    let mut lost = 0;
    for &[a, b] in chords {
        let mut found = false;
        for i in 0..open.len() {
            let find = |v: u32| open[i].iter().position(|p| p.0 == v);
            let (Some(p), Some(q)) = (find(a), find(b)) else { continue };
            found = true;
            let (p, q) = (p.min(q), p.max(q));
            let n = open[i].len();
            // Neighbours on the rim, or both on one edge: an edge already, or along one.
            if q - p == 1 || q - p == n - 1 || open[i][p].1 & open[i][q].1 != 0 {
                break;
            }
            let whole = std::mem::take(&mut open[i]);
            let other: Vec<_> = whole[q..].iter().chain(&whole[..=p]).copied().collect();
            open[i] = whole[p..=q].to_vec();
            open.push(other);
            break;
        }
        lost += !found as usize;
    }
    for polygon in open {
        triangulate(polygon, mesh, pieces);
    }
    lost
}

/// Cuts a convex polygon into triangles, the best-shaped ear first. Points with a common bit lie on one line.
fn triangulate(mut polygon: Vec<(u32, u8)>, mesh: &Mesh, pieces: &mut Vec<[(u32, u8); 3]>) {
    while polygon.len() > 3 {
        let n = polygon.len();
        let mut best: Option<(f32, usize)> = None;
        for i in 0..n {
            let ear = [polygon[(i + n - 1) % n], polygon[i], polygon[(i + 1) % n]];
            let flat = ear[0].1 & ear[1].1 & ear[2].1 != 0;
            let rest = (0..n).filter(|&j| j != i).fold(u8::MAX, |m, j| m & polygon[j].1);
            if flat || rest != 0 {
                continue;
            }
            let [a, b, c] = ear.map(|p| mesh.positions[p.0 as usize]);
            let longest = (b - a).length_squared().max((c - b).length_squared()).max((a - c).length_squared());
            let shape = (b - a).cross(c - a).length() / longest.max(f32::MIN_POSITIVE);
            if best.is_none_or(|(s, _)| shape > s) {
                best = Some((shape, i));
            }
        }
        let Some((_, i)) = best else { break };
        pieces.push([polygon[(i + n - 1) % n], polygon[i], polygon[(i + 1) % n]]);
        polygon.remove(i);
    }
    if let [a, b, c] = polygon[..] {
        pieces.push([a, b, c]);
    }
}
