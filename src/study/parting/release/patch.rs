//! The surface that spans a loop: what tape across a hole makes.

use crate::mesh::Mesh;
use crate::mesh::refine::refine;
use crate::study::parting::surface::{NONE, across};
use glam::{DVec2, DVec3, Vec3};

/// Sweeps in which the inside of a patch is drawn taut, and how far beyond the pull of its neighbours a vertex is moved in
/// each (over-relaxation, Young 1954).
const SWEEPS: usize = 300;
const OVER: f32 = 1.8;
/// Corners of a loop that a patch keeps.
const CORNERS: usize = 240;
/// Triangles of a patch.
const TRIANGLES: usize = 4000;

/// A surface that spans a loop.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Patch {
    /// Its triangles; they face along the loop's own normal (right hand).
    pub mesh: Mesh,
    /// Area, mm².
    pub area_mm2: f64,
    /// How far the loop lies off its middle plane, millimetres.
    pub bulge_mm: f64,
    /// Unit normal of that plane.
    pub normal: Vec3,
    /// The loop's least width across in that plane, millimetres.
    pub span_mm: f64,
}

/// The surface of least area, nearly, that spans a closed loop: cut into ears in the loop's middle plane (Meisters 1975),
/// then, where the loop is not plane, refined and drawn taut with its rim held.
pub fn patch(points: &[Vec3]) -> Patch {
    let points = &thinned(points)[..];
    let n = points.len();
    if n < 3 {
        return Patch::default();
    }
    let middle = points.iter().map(|p| p.as_dvec3()).sum::<DVec3>() / n as f64;
    let own: Vec<DVec3> = points.iter().map(|p| p.as_dvec3() - middle).collect();
    let vector = (0..n).map(|i| own[i].cross(own[(i + 1) % n])).sum::<DVec3>() / 2.0;
    let normal = vector.normalize_or(DVec3::Z);
    let bulge_mm = own.iter().map(|p| p.dot(normal).abs()).fold(0.0, f64::max);
    let u = normal.any_orthonormal_vector();
    let v = normal.cross(u);
    let flat: Vec<DVec2> = own.iter().map(|p| DVec2::new(p.dot(u), p.dot(v))).collect();
    let mesh = Mesh { positions: points.to_vec(), triangles: ears(&flat) };
    let size = flat.iter().map(|p| p.length()).fold(0.0, f64::max);
    let mesh = if bulge_mm > 1e-3 * size { taut(&mesh, vector.length(), normal.as_vec3()) } else { mesh };
    let area_mm2 = (0..mesh.triangles.len()).map(|t| mesh.double_area_normal(t).length() as f64 / 2.0).sum();
    Patch { mesh, area_mm2, bulge_mm, normal: normal.as_vec3(), span_mm: width(&flat) }
}

/// The loop without points on straight stretches, and no more than [`CORNERS`] of them.
fn thinned(points: &[Vec3]) -> Vec<Vec3> {
    let n = points.len();
    let bends = |i: usize| {
        let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
        let (p, q) = (b - a, c - b);
        p.cross(q).length() > 1e-4 * p.length() * q.length() || p.dot(q) < 0.0
    };
    let kept: Vec<Vec3> = (0..n).filter(|&i| bends(i)).map(|i| points[i]).collect();
    let stride = kept.len().div_ceil(CORNERS).max(1);
    kept.into_iter().step_by(stride).collect()
}

/// Least distance between two parallel lines that hold all points: over directions a degree apart.
fn width(points: &[DVec2]) -> f64 {
    (0..180)
        .map(|i| {
            let d = DVec2::from_angle((i as f64).to_radians());
            let (low, high) =
                points.iter().map(|p| p.dot(d)).fold((f64::MAX, f64::MIN), |(l, h), s| (l.min(s), h.max(s)));
            high - low
        })
        .fold(f64::MAX, f64::min)
}

/// Triangles of a simple polygon that runs anticlockwise; of one that crosses itself, some triangles.
fn ears(points: &[DVec2]) -> Vec<[u32; 3]> {
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut triangles = Vec::with_capacity(points.len());
    let turn = |a: usize, b: usize, c: usize| (points[b] - points[a]).perp_dot(points[c] - points[b]);
    while left.len() > 3 {
        let n = left.len();
        let corner = |i: usize| (left[(i + n - 1) % n], left[i], left[(i + 1) % n]);
        let is_ear = |i: usize| {
            let (a, b, c) = corner(i);
            turn(a, b, c) > 0.0
                && !left.iter().any(|&p| {
                    p != a && p != b && p != c && turn(a, b, p) >= 0.0 && {
                        let inside =
                            |s: usize, t: usize| (points[t] - points[s]).perp_dot(points[p] - points[s]) >= 0.0;
                        inside(b, c) && inside(c, a) && points[p] != points[a] && points[p] != points[c]
                    }
                })
        };
        // The ear with the widest angle at its foot keeps slivers away; where there is none, any corner.
        let quality = |i: usize| {
            let (a, b, c) = corner(i);
            let longest =
                points[a].distance(points[c]).max(points[a].distance(points[b])).max(points[b].distance(points[c]));
            turn(a, b, c) / (longest * longest).max(f64::MIN_POSITIVE)
        };
        let best = (0..n).filter(|&i| is_ear(i)).max_by(|&a, &b| quality(a).total_cmp(&quality(b)).then(b.cmp(&a)));
        let i = best.unwrap_or(0);
        let (a, b, c) = corner(i);
        triangles.push([a as u32, b as u32, c as u32]);
        left.remove(i);
    }
    if let [a, b, c] = left[..] {
        triangles.push([a as u32, b as u32, c as u32]);
    }
    triangles
}

/// The patch refined, its inner vertices moved along `normal` until they rest between their neighbours.
fn taut(mesh: &Mesh, area: f64, normal: Vec3) -> Mesh {
    let edge = (area / (0.3 * TRIANGLES as f64)).sqrt() as f32;
    let mut fine = refine(mesh, edge.max(1e-3), TRIANGLES * 2).mesh;
    let across = across(&fine.triangles, fine.positions.len());
    let mut rim = vec![false; fine.positions.len()];
    for (t, beside) in fine.triangles.iter().zip(&across) {
        for k in 0..3 {
            if beside[k] == NONE {
                rim[t[k] as usize] = true;
                rim[t[(k + 1) % 3] as usize] = true;
            }
        }
    }
    // Each edge pulls by the cotangents of the angles opposite it in the plane (linear elements, Pinkall & Polthier 1993):
    // the heights come to be harmonic, as those of a surface of least area are to the fourth order of its slope.
    let flat = |p: Vec3| p - normal * p.dot(normal);
    let mut pulls: Vec<Vec<(usize, f32)>> = vec![Vec::new(); fine.positions.len()];
    for t in &fine.triangles {
        for k in 0..3 {
            let (a, b, c) = (t[k] as usize, t[(k + 1) % 3] as usize, t[(k + 2) % 3] as usize);
            let [p, q] = [a, b].map(|v| flat(fine.positions[v] - fine.positions[c]));
            let weight = (p.dot(q) / p.cross(q).length().max(1e-9)).clamp(-1e3, 1e3);
            pulls[a].push((b, weight));
            pulls[b].push((a, weight));
        }
    }
    let mut height: Vec<f32> = fine.positions.iter().map(|p| p.dot(normal)).collect();
    for _ in 0..SWEEPS {
        for v in (0..pulls.len()).filter(|&v| !rim[v]) {
            let whole: f32 = pulls[v].iter().map(|(_, w)| w).sum();
            if whole > 0.0 {
                let middle = pulls[v].iter().map(|&(u, w)| height[u] * w).sum::<f32>() / whole;
                height[v] += (middle - height[v]) * OVER;
            }
        }
    }
    for (p, h) in fine.positions.iter_mut().zip(height) {
        *p = flat(*p) + normal * h;
    }
    fine
}
