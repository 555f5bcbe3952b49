//! The true line: where the blade goes, and the surface cut along it.

use super::crease::CREASE_DEG;
use super::loops::Loop;
use super::surface::{NONE, Surface};
use super::visibility::Visibility;
use crate::mesh::Mesh;
use crate::plan::Half;
use crate::study::parting::loop_kind::LoopKind;
use glam::Vec3;
use std::sync::Arc;

/// What holds a stretch of the line where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StretchKind {
    /// A crease: the line is exactly on it.
    Crease,
    /// Smooth surface with draft: the line is where the interpolated normal is square to the draw.
    Drafted,
    /// Surface within a hair of parallel to the draw, or hand work: the shortest way between held ends.
    Undrafted,
}

/// A stretch of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// What holds it.
    pub kind: StretchKind,
    /// First point.
    pub from: usize,
    /// Last point, which is the first of the next stretch. On a closed line it may lie before `from`, or be `from`
    /// where one stretch goes all the way round.
    pub to: usize,
}

/// A line between the halves, half 1 on its left seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct TrueLine {
    /// What it is.
    pub kind: LoopKind,
    /// The body it lies on.
    pub body: u32,
    /// False where it runs out into an open edge of the mesh; the first and last point are then its ends.
    pub closed: bool,
    /// Points in order, in `work`; a closed line goes on from the last to the first.
    pub points: Vec<Vec3>,
    /// Outward unit normal of the surface at each point, between the two sides where it is on a crease.
    pub normals: Vec<Vec3>,
    /// The vertex of [`Split::mesh`] at each point.
    pub vertices: Vec<u32>,
    /// Stretches in order; together they are the whole line.
    pub stretches: Vec<Stretch>,
    /// Length, millimetres.
    pub length_mm: f64,
}

/// The body's surface cut along its true lines: every line is a chain of edges of this mesh, and every triangle lies in
/// one half.
#[derive(Clone, Debug)]
pub struct Split {
    /// The cut mesh, conforming.
    pub mesh: Arc<Mesh>,
    /// For each triangle, the one of the body's mesh that it is a piece of.
    pub parent: Vec<u32>,
    /// The half of each triangle.
    pub halves: Vec<Half>,
}

impl Split {
    /// The split of a surface by its labels.
    pub fn of(surface: &Surface, halves: &[Half]) -> Split {
        Split { mesh: surface.mesh.clone(), parent: surface.parent.clone(), halves: halves.to_vec() }
    }
}

/// The line along a loop of mesh edges. `kind_of` says what holds the edge between triangle `f` (edge `k`) and `g`.
pub fn true_line(surface: &Surface, l: &Loop, kind_of: impl Fn(usize, usize, usize) -> StretchKind) -> TrueLine {
    let mut vertices: Vec<u32> = l.edges.iter().map(|&(f, k)| surface.mesh.triangles[f as usize][k as usize]).collect();
    if let (false, Some(&(f, k))) = (l.closed, l.edges.last()) {
        vertices.push(surface.mesh.triangles[f as usize][(k as usize + 1) % 3]);
    }
    let sides = |&(f, k): &(u32, u8)| (f as usize, k as usize, surface.across[f as usize][k as usize]);
    let edge_normal: Vec<Vec3> = l
        .edges
        .iter()
        .map(|e| {
            let (f, _, g) = sides(e);
            let other = if g == NONE { Vec3::ZERO } else { surface.normal[g as usize] };
            surface.normal[f] + other
        })
        .collect();
    let n = edge_normal.len();
    let normals = (0..vertices.len())
        .map(|i| {
            let before = if i > 0 || l.closed { edge_normal[(i + n - 1) % n] } else { Vec3::ZERO };
            let after = if i < n { edge_normal[i] } else { Vec3::ZERO };
            (before + after).normalize_or(edge_normal[i.min(n - 1)].normalize_or(Vec3::Z))
        })
        .collect();
    let kinds: Vec<StretchKind> = l
        .edges
        .iter()
        .map(|e| {
            let (f, k, g) = sides(e);
            kind_of(f, k, g as usize)
        })
        .collect();
    let length_mm = (0..n)
        .map(|i| {
            let [a, b] = surface.ends(l.edges[i].0 as usize, l.edges[i].1 as usize);
            (b.as_dvec3() - a.as_dvec3()).length()
        })
        .sum();
    TrueLine {
        kind: l.kind,
        body: l.body,
        closed: l.closed,
        points: vertices.iter().map(|&v| surface.mesh.positions[v as usize]).collect(),
        normals,
        stretches: stretches(&kinds, l.closed),
        vertices,
        length_mm,
    }
}

/// Runs of edges of one kind; edge `i` goes from point `i` to the next.
fn stretches(kinds: &[StretchKind], closed: bool) -> Vec<Stretch> {
    let n = kinds.len();
    let points = if closed { n } else { n + 1 };
    // Begin where the kind changes, so that no run goes over the end of the list.
    let first = if closed { (0..n).find(|&i| kinds[i] != kinds[(i + n - 1) % n]).unwrap_or(0) } else { 0 };
    let mut list: Vec<Stretch> = Vec::new();
    for i in (0..n).map(|i| (first + i) % n) {
        let to = (i + 1) % points;
        match list.last_mut() {
            Some(last) if last.kind == kinds[i] => last.to = to,
            _ => list.push(Stretch { kind: kinds[i], from: i, to }),
        }
    }
    list
}

/// Smooth surfaces that meet at more than this, half a degree, have an edge between them, however blunt.
const EDGE_RAD: f32 = 0.0087;

/// What holds edge `k` of triangle `f` of half 1, which has `g` of half 2 across.
pub fn kind(surface: &Surface, visibility: &Visibility, f: usize, k: usize, g: usize) -> StretchKind {
    let angle = |n: Vec3, m: Vec3| n.cross(m).length().atan2(n.dot(m));
    let [a, b] = surface.ends(f, k);
    let middle = (a + b) * 0.5;
    if angle(surface.normal[f], surface.normal[g]) > CREASE_DEG.to_radians()
        || angle(surface.smooth_normal(f, middle), surface.smooth_normal(g, middle)) > EDGE_RAD
    {
        StretchKind::Crease
    } else if visibility.facing[f] > 0.0 && visibility.facing[g] < 0.0 {
        StretchKind::Drafted
    } else {
        StretchKind::Undrafted
    }
}

/// The numbers of the points that a closed line needs so that it strays no further than `stray_mm` from itself (Douglas &
/// Peucker 1973, on the two halves of the loop).
pub fn few_points(points: &[Vec3], stray_mm: f32) -> Vec<usize> {
    let n = points.len();
    if n < 4 {
        return (0..n).collect();
    }
    let mut keep = vec![false; n + 1];
    let middle = n / 2;
    (keep[0], keep[middle], keep[n]) = (true, true, true);
    let mut stretches = vec![(0, middle), (middle, n)];
    while let Some((from, to)) = stretches.pop() {
        let (a, b) = (points[from], points[to % n]);
        let ab = b - a;
        let off = |i: usize| {
            let t = ((points[i] - a).dot(ab) / ab.length_squared().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
            (a + ab * t).distance(points[i])
        };
        let farthest = (from + 1..to).max_by(|&i, &j| off(i).total_cmp(&off(j)));
        if let Some(i) = farthest.filter(|&i| off(i) > stray_mm) {
            keep[i] = true;
            stretches.extend([(from, i), (i, to)]);
        }
    }
    (0..n).filter(|&i| keep[i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loop_is_kept_by_few_points_that_hardly_stray() {
        let circle: Vec<Vec3> = (0..1000)
            .map(|i| {
                let (s, c) = (std::f32::consts::TAU * i as f32 / 1000.0).sin_cos();
                Vec3::new(20.0 * c, 20.0 * s, 0.0)
            })
            .collect();
        let kept = few_points(&circle, 0.02);
        assert!(kept.len() < 200 && kept.len() > 40, "{} of 1000", kept.len());
        for (i, p) in circle.iter().enumerate() {
            let after = kept.iter().position(|&k| k > i).unwrap_or(0);
            let before = (after + kept.len() - 1) % kept.len();
            let (a, b) = (circle[kept[before]], circle[kept[after]]);
            let t = ((*p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
            assert!((a + (b - a) * t).distance(*p) <= 0.0201);
        }
        // A square keeps its corners and what starts it.
        let square: Vec<Vec3> = (0..40)
            .map(|i| {
                let (side, t) = (i / 10, (i % 10) as f32);
                [
                    Vec3::new(t, 0.0, 0.0),
                    Vec3::new(10.0, t, 0.0),
                    Vec3::new(10.0 - t, 10.0, 0.0),
                    Vec3::new(0.0, 10.0 - t, 0.0),
                ][side]
            })
            .collect();
        assert_eq!(few_points(&square, 0.02), vec![0, 10, 20, 30]);
    }
}
