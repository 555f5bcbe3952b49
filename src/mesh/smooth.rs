//! Normals of the smooth surface that a mesh stands for.
//!
//! A mesh is facets; the part that it was made from is curved in some places, flat in others, and has edges. What is
//! curved shows in that the turn over an edge goes on beyond the facets beside it. A facet with a turn at one side only is
//! flat, and two flat facets that meet have an edge between them, however blunt.

use super::Mesh;
use super::topology::next;
use glam::Vec3;
use rayon::prelude::*;

/// No triangle across an edge.
const NONE: u32 = u32::MAX;
/// Facets that meet at less than this are one plane, radians: about the noise of `f32` corners on small facets.
const PLANE_RAD: f32 = 5e-4;
/// The turn over the next edge lies within this factor of the turn over this one where a curved surface goes on; facets
/// of uneven shape on a ball keep to that with few exceptions.
const GOES_ON: f32 = 10.0;
/// A side that does not turn on is a flat that a rounding runs out into where it is this much wider than the facet beside it.
/// Where it is not, no line can be far wrong.
const WIDER: f32 = 2.0;
/// A side this much wider than its neighbour may be a flat although it turns on at its far end.
const MUCH_WIDER: f32 = 4.0;
/// It is one where the turn is below this share of what a common curvature would give; a flat gives a fifth or less.
const TURNS_LESS: f32 = 0.3;
/// Most coplanar triangles that are crossed to find where a plane ends.
const MOST_STEPS: usize = 64;

/// What an edge is, seen from one of its triangles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Seam {
    /// The surface is smooth and curved, or plane, over it.
    Smooth,
    /// A crease, an open edge, or where two flats meet.
    Break,
    /// A tangent edge: this side is flat and sets the normal, the other is curved.
    FlatHere,
    /// The same seen from the curved side.
    FlatAcross,
}

/// The normal of the smooth surface at the three corners of every triangle; those of the triangle itself where it is
/// flat. Two triangles that share a smooth edge have the same normals at its ends.
///
/// `across` lists the triangles across each edge (`u32::MAX` for none), `normal` their unit normals; edges sharper than
/// `crease_rad` are creases. Facets are weighted by sin α / (|e||e'|), which is exact for any facets with their corners on
/// a ball (Max, Weights for computing vertex normals from facet normals, 1999).
pub fn corner_normals(mesh: &Mesh, across: &[[u32; 3]], normal: &[Vec3], crease_rad: f32) -> Vec<[Vec3; 3]> {
    let look = Look { mesh, across, normal, crease_rad };
    let n = mesh.triangles.len();
    let seams: Vec<[Seam; 3]> =
        (0..n).into_par_iter().map(|f| std::array::from_fn(|k| look.seam_both_ways(f, k))).collect();
    let mut broken = vec![false; mesh.positions.len()];
    let mut sum = vec![Vec3::ZERO; mesh.positions.len()];
    for f in 0..n {
        for k in 0..3 {
            let t = mesh.triangles[f];
            if seams[f][k] != Seam::Smooth {
                broken[t[k] as usize] = true;
                broken[t[next(k)] as usize] = true;
            }
            sum[t[k] as usize] += look.weighted(f, k);
        }
    }
    (0..n)
        .into_par_iter()
        .map(|f| {
            std::array::from_fn(|k| {
                let v = mesh.triangles[f][k] as usize;
                let wanted = if broken[v] { look.round_corner(&seams, f, k) } else { sum[v] };
                wanted.normalize_or(normal[f])
            })
        })
        .collect()
}

struct Look<'a> {
    mesh: &'a Mesh,
    across: &'a [[u32; 3]],
    normal: &'a [Vec3],
    crease_rad: f32,
}

/// What lies beyond a facet, straight on from one of its edges.
struct Onward {
    /// How far the plane goes on.
    width: f32,
    /// The turn over the edge where it ends, positive where convex; none at a crease or an open edge.
    turn: Option<f32>,
}

impl Look<'_> {
    /// The contribution of triangle `f` to the normal at its corner `k`.
    fn weighted(&self, f: usize, k: usize) -> Vec3 {
        let p = self.mesh.corners(f);
        let (e, g) = (p[next(k)] - p[k], p[next(next(k))] - p[k]);
        let scale = e.length_squared() * g.length_squared();
        if scale > 0.0 { e.cross(g) / scale } else { Vec3::ZERO }
    }

    fn edge_back(&self, f: usize, k: usize, g: usize) -> usize {
        let (a, b) = (self.mesh.triangles[f][k], self.mesh.triangles[f][next(k)]);
        let t = self.mesh.triangles[g];
        (0..3).find(|&j| t[j] == b && t[next(j)] == a).unwrap_or(0)
    }

    /// The seam at edge `k` of `f`, worked out from the lower triangle so that both sides agree.
    fn seam_both_ways(&self, f: usize, k: usize) -> Seam {
        let g = self.across[f][k];
        if g == NONE {
            return Seam::Break;
        }
        let g = g as usize;
        if f < g {
            return self.seam(f, k, g);
        }
        match self.seam(g, self.edge_back(f, k, g), f) {
            Seam::FlatHere => Seam::FlatAcross,
            Seam::FlatAcross => Seam::FlatHere,
            other => other,
        }
    }

    fn seam(&self, f: usize, k: usize, g: usize) -> Seam {
        let (n, m) = (self.normal[f], self.normal[g]);
        let angle = n.cross(m).length().atan2(n.dot(m));
        if n == Vec3::ZERO || m == Vec3::ZERO || angle < PLANE_RAD {
            return Seam::Smooth;
        }
        if angle > self.crease_rad {
            return Seam::Break;
        }
        let (p, q) = (self.mesh.positions[self.mesh.triangles[f][k] as usize], self.mesh.triangles[f][next(k)]);
        let along = (self.mesh.positions[q as usize] - p).normalize_or_zero();
        let turn = n.cross(m).dot(along).atan2(n.dot(m));
        let here = self.onward(f, k, along);
        let there = self.onward(g, self.edge_back(f, k, g), -along);
        let goes_on =
            |o: &Onward| o.turn.is_some_and(|t| t.abs() * GOES_ON >= turn.abs() && t.abs() <= turn.abs() * GOES_ON);
        // Wide beside narrow, both turning on: as curved as its neighbour, or a flat?
        let is_flat = |wide: &Onward, narrow: &Onward| {
            wide.width > MUCH_WIDER * narrow.width
                && narrow.turn.is_some_and(|t| {
                    turn.abs() < TURNS_LESS * t.abs() * (wide.width + narrow.width) / (2.0 * narrow.width)
                })
        };
        match (goes_on(&here), goes_on(&there)) {
            (false, false) => Seam::Break,
            (false, true) if here.width > WIDER * there.width => Seam::FlatHere,
            (true, false) if there.width > WIDER * here.width => Seam::FlatAcross,
            (true, true) if is_flat(&here, &there) => Seam::FlatHere,
            (true, true) if is_flat(&there, &here) => Seam::FlatAcross,
            _ => Seam::Smooth,
        }
    }

    /// Walks over the plane of `f` square to its edge `k`, away from it.
    fn onward(&self, f: usize, k: usize, along: Vec3) -> Onward {
        let n = self.normal[f];
        let ahead = n.cross(along);
        let corners = self.mesh.corners(f);
        let start = (corners[k] + corners[next(k)]) * 0.5;
        let (mut at, mut entry, mut width) = (f, k, 0.0f32);
        for _ in 0..MOST_STEPS {
            let p = self.mesh.corners(at);
            let mut out: Option<(f32, usize)> = None;
            for j in (0..3).filter(|&j| j != entry) {
                let inward = n.cross(p[next(j)] - p[j]);
                let speed = ahead.dot(inward);
                if speed < 0.0 {
                    let s = (p[j] - start).dot(inward) / speed;
                    if out.is_none_or(|(best, _)| s < best) {
                        out = Some((s, j));
                    }
                }
            }
            let Some((s, j)) = out else { break };
            width = width.max(s);
            let g = self.across[at][j];
            if g == NONE {
                break;
            }
            let m = self.normal[g as usize];
            let angle = n.cross(m).length().atan2(n.dot(m));
            if angle > self.crease_rad || m == Vec3::ZERO {
                break;
            }
            if angle >= PLANE_RAD {
                return Onward { width, turn: Some(m.dot(ahead).atan2(m.dot(n))) };
            }
            entry = self.edge_back(at, j, g as usize);
            at = g as usize;
        }
        Onward { width, turn: None }
    }

    /// The normal at corner `k` of `f` from the triangles that are smoothly joined to it round the corner.
    fn round_corner(&self, seams: &[[Seam; 3]], f: usize, k: usize) -> Vec3 {
        // Triangles in order round the corner, with the seam to the next.
        let mut fan: Vec<(usize, usize, Seam)> = Vec::with_capacity(8);
        let (mut g, mut c) = (f, k);
        let mut closed = false;
        // Back to where the sector begins: over the edge that starts at the corner.
        while seams[g][c] != Seam::Break {
            let over = self.across[g][c] as usize;
            c = next(self.edge_back(g, c, over));
            g = over;
            if (g, c) == (f, k) {
                closed = true;
                break;
            }
        }
        // Forwards: over the edge that ends at the corner.
        let (first, first_c) = (g, c);
        loop {
            let before = (c + 2) % 3;
            let seam = seams[g][before];
            fan.push((g, c, seam));
            if seam == Seam::Break {
                break;
            }
            let over = self.across[g][before] as usize;
            c = self.edge_back(g, before, over);
            g = over;
            if (g, c) == (first, first_c) || fan.len() > 10_000 {
                break;
            }
        }
        // Groups between tangent edges; one that a flat looks down on has no say.
        let n = fan.len();
        let mut group = vec![0usize; n];
        for i in 1..n {
            group[i] = group[i - 1] + (fan[i - 1].2 != Seam::Smooth) as usize;
        }
        let mut groups = group[n - 1] + 1;
        if closed && groups > 1 && fan[n - 1].2 == Seam::Smooth {
            let last = groups - 1;
            group.iter_mut().filter(|g| **g == last).for_each(|g| *g = 0);
            groups -= 1;
        }
        let mut silent = vec![false; groups];
        for i in 0..n {
            let j = if i + 1 < n {
                i + 1
            } else if closed {
                0
            } else {
                continue;
            };
            match fan[i].2 {
                Seam::FlatHere => silent[group[j]] = true,
                Seam::FlatAcross => silent[group[i]] = true,
                _ => {}
            }
        }
        let all_silent = silent.iter().all(|&s| s);
        fan.iter()
            .zip(&group)
            .filter(|&(_, &g)| all_silent || !silent[g])
            .map(|(&(t, c, _), _)| self.weighted(t, c))
            .sum()
    }
}
