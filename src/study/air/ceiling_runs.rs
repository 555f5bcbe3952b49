//! How far a bubble must go under a level ceiling to come to a mouth: along the ceiling, not as the crow flies.
//!
//! Shortest ways over the patch's triangles, between points set along their edges: each triangle joins all points on its
//! edges by straight stretches. On an edge of L in n pieces a way that crosses it is led aside by at most L/2n, so it is too
//! long by no more than that squared over its own two halves: under half a per cent where triangles are few and large.

use super::ceiling::Ceiling;
use super::mouth::Mouth;
use crate::mesh::Mesh;
use crate::mesh::tree::nearest_on_triangle;
use crate::study::job::body::Body;
use glam::Vec3;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// A mouth this wide at least reaches the faces round its middle, millimetres.
const LEAST_MM: f64 = 0.1;
/// Points on every edge for patches of up to so many triangles.
const POINTS: [(usize, u32); 4] = [(500, 15), (5_000, 6), (20_000, 3), (100_000, 1)];
/// Places on a patch that are looked at inside its triangles, about.
const PLACES: f64 = 2000.0;

/// A way in for air: a place of a triangle of the patch.
struct Start {
    /// Place in the patch's list of triangles.
    triangle: usize,
    at: Vec3,
}

/// The longest way from a place of `patch` to the nearest of `mouths` that opens on it; none without one. A mouth opens on
/// every face that its disc reaches.
pub fn run_mm(body: &Body, patch: &Ceiling, mouths: &[Mouth]) -> Option<f64> {
    let mesh = &*body.mesh;
    let starts: Vec<Start> = mouths.iter().filter_map(|m| start(body, patch, m)).collect();
    if starts.is_empty() {
        return None;
    }
    let ways = Ways::of(mesh, &patch.triangles);
    let away = ways.from(&starts);
    Some(ways.longest(&away, &starts, patch.area_mm2))
}

/// Where a mouth opens on the patch.
fn start(body: &Body, patch: &Ceiling, mouth: &Mouth) -> Option<Start> {
    let nearest = body.tree.nearest(mouth.centre)?;
    if !Mouth::opens_at(f64::from(nearest.distance)) {
        return None;
    }
    if let Ok(triangle) = patch.triangles.binary_search(&nearest.triangle) {
        return Some(Start { triangle, at: nearest.point });
    }
    let (middle, radius) = (nearest.point.as_dvec3(), (0.5 * mouth.diameter_mm).max(LEAST_MM));
    let mut best: Option<(f64, Start)> = None;
    for (triangle, &t) in patch.triangles.iter().enumerate() {
        let corners = body.mesh.corners_f64(t as usize);
        let low = corners[0].min(corners[1]).min(corners[2]) - radius;
        let high = corners[0].max(corners[1]).max(corners[2]) + radius;
        if (middle.cmplt(low) | middle.cmpgt(high)).any() {
            continue;
        }
        let (w, _) = nearest_on_triangle(middle, corners);
        let at = corners[0] * w.x + corners[1] * w.y + corners[2] * w.z;
        let away = at.distance(middle);
        if away <= radius && best.as_ref().is_none_or(|b| away < b.0) {
            best = Some((away, Start { triangle, at: at.as_vec3() }));
        }
    }
    best.map(|b| b.1)
}

/// Points on the edges of a patch, and which of them each triangle has.
struct Ways {
    corners: Vec<[Vec3; 3]>,
    points: Vec<Vec3>,
    of_triangle: Vec<Vec<u32>>,
    triangles_of: Vec<Vec<u32>>,
}

impl Ways {
    fn of(mesh: &Mesh, triangles: &[u32]) -> Ways {
        let on_edge = POINTS.iter().find(|p| triangles.len() <= p.0).map_or(0, |p| p.1);
        let mut points: Vec<Vec3> = Vec::new();
        let mut of_vertex: HashMap<u32, u32> = HashMap::new();
        let mut of_edge: HashMap<[u32; 2], u32> = HashMap::new();
        let mut of_triangle: Vec<Vec<u32>> = Vec::with_capacity(triangles.len());
        for &t in triangles {
            let mut own = Vec::with_capacity(3 + 3 * on_edge as usize);
            let vertices = mesh.triangles[t as usize];
            for v in vertices {
                own.push(*of_vertex.entry(v).or_insert_with(|| {
                    points.push(mesh.positions[v as usize]);
                    points.len() as u32 - 1
                }));
            }
            for k in 0..3 {
                let (a, b) = (vertices[k], vertices[(k + 1) % 3]);
                let edge = [a.min(b), a.max(b)];
                let first = *of_edge.entry(edge).or_insert_with(|| {
                    let ends = edge.map(|v| mesh.positions[v as usize]);
                    let first = points.len() as u32;
                    points.extend((1..=on_edge).map(|i| ends[0].lerp(ends[1], i as f32 / (on_edge + 1) as f32)));
                    first
                });
                own.extend(first..first + on_edge);
            }
            of_triangle.push(own);
        }
        let mut triangles_of: Vec<Vec<u32>> = vec![Vec::new(); points.len()];
        for (t, own) in of_triangle.iter().enumerate() {
            for &p in own {
                triangles_of[p as usize].push(t as u32);
            }
        }
        let corners = triangles.iter().map(|t| mesh.corners(*t as usize)).collect();
        Ways { corners, points, of_triangle, triangles_of }
    }

    /// The shortest way from each point to the nearest start (Dijkstra 1959), millimetres.
    fn from(&self, starts: &[Start]) -> Vec<f32> {
        let mut away = vec![f32::INFINITY; self.points.len()];
        // Lengths are not negative, so their bits order as they do.
        let mut open: BinaryHeap<Reverse<(u32, u32)>> = BinaryHeap::new();
        for start in starts {
            for &p in &self.of_triangle[start.triangle] {
                let mm = self.points[p as usize].distance(start.at);
                if mm < away[p as usize] {
                    away[p as usize] = mm;
                    open.push(Reverse((mm.to_bits(), p)));
                }
            }
        }
        while let Some(Reverse((bits, p))) = open.pop() {
            let mm = f32::from_bits(bits);
            if mm > away[p as usize] {
                continue;
            }
            for &t in &self.triangles_of[p as usize] {
                for &q in &self.of_triangle[t as usize] {
                    let further = mm + self.points[p as usize].distance(self.points[q as usize]);
                    if further < away[q as usize] {
                        away[q as usize] = further;
                        open.push(Reverse((further.to_bits(), q)));
                    }
                }
            }
        }
        away
    }

    /// The longest of the ways from places spread over the patch.
    fn longest(&self, away: &[f32], starts: &[Start], area_mm2: f64) -> f64 {
        let apart = (area_mm2 / PLACES).sqrt() as f32;
        let mut longest = away.iter().copied().filter(|mm| mm.is_finite()).fold(0.0f32, f32::max);
        for (t, [a, b, c]) in self.corners.iter().enumerate() {
            let side = a.distance(*b).max(b.distance(*c)).max(c.distance(*a));
            let n = ((side / apart).ceil() as u32).clamp(1, 200);
            let own: Vec<Vec3> = starts.iter().filter(|s| s.triangle == t).map(|s| s.at).collect();
            for i in 1..n {
                for j in 1..n - i {
                    let p = *a + (*b - *a) * (i as f32 / n as f32) + (*c - *a) * (j as f32 / n as f32);
                    let over =
                        self.of_triangle[t].iter().map(|&q| away[q as usize] + self.points[q as usize].distance(p));
                    let way = own.iter().map(|s| s.distance(p)).chain(over).fold(f32::INFINITY, f32::min);
                    longest = longest.max(if way.is_finite() { way } else { 0.0 });
                }
            }
        }
        f64::from(longest)
    }
}
