//! Heights over a triangulation that are harmonic wherever they are free.
//!
//! Finite elements of first order: the weight of an edge is half the sum of the cotangents of the two angles across from
//! it, never negative in a Delaunay triangulation (Pinkall & Polthier, 1993). The border is free, so the surface leaves it
//! square. Free heights stay between a floor and a ceiling each: over-relaxation with projection solves that obstacle
//! problem (Cryer, 1971).

use super::run::{Cancelled, Run};
use glam::DVec2;

/// One vertex.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// Held at this height.
    Held(f64),
    /// Free between floor and ceiling; where they cross it is put in their middle.
    Free {
        /// Lowest height.
        floor: f64,
        /// Highest height.
        ceiling: f64,
    },
}

/// Most sweeps; a triangulation of fifty thousand vertices lies still long before.
const SWEEPS: usize = 4000;

/// Relaxed heights of `points`, whose `triangles` are counter-clockwise; a point without a triangle keeps its start. Work
/// ends when no height moves by more than `still` in a sweep.
///
/// # Errors
/// [`Cancelled`].
pub fn relax(
    points: &[DVec2],
    triangles: &[[u32; 3]],
    heights: &[Height],
    start: &[f64],
    still: f64,
    run: &Run,
) -> Result<Vec<f64>, Cancelled> {
    let n = points.len();
    let mut pairs: Vec<(u32, u32, f64)> = Vec::with_capacity(6 * triangles.len());
    for t in triangles {
        for k in 0..3 {
            let [a, b, c] = [t[k], t[(k + 1) % 3], t[(k + 2) % 3]];
            let (u, v) = (points[a as usize] - points[c as usize], points[b as usize] - points[c as usize]);
            let area = u.perp_dot(v).abs().max(1e-12);
            let weight = 0.5 * u.dot(v) / area;
            pairs.push((a, b, weight));
            pairs.push((b, a, weight));
        }
    }
    pairs.sort_unstable_by_key(|p| (p.0, p.1));
    // Both sides of an edge in one entry; obtuse pairs at kept edges must not push heights apart.
    let mut first = vec![0u32; n + 1];
    let mut links: Vec<(u32, f64)> = Vec::with_capacity(pairs.len() / 2);
    let mut i = 0;
    for v in 0..n {
        first[v] = links.len() as u32;
        while i < pairs.len() && pairs[i].0 as usize == v {
            let to = pairs[i].1;
            let mut weight = 0.0;
            while i < pairs.len() && pairs[i].0 as usize == v && pairs[i].1 == to {
                weight += pairs[i].2;
                i += 1;
            }
            links.push((to, weight.max(1e-6)));
        }
    }
    first[n] = links.len() as u32;
    let mut z: Vec<f64> = start.to_vec();
    let clamp = |h: &Height, z: f64| match *h {
        Height::Held(at) => at,
        Height::Free { floor, ceiling } if floor <= ceiling => z.clamp(floor, ceiling),
        Height::Free { floor, ceiling } => 0.5 * (floor + ceiling),
    };
    for v in 0..n {
        z[v] = clamp(&heights[v], z[v]);
    }
    let across = (n as f64).sqrt().max(4.0);
    let over = 2.0 / (1.0 + std::f64::consts::PI / across);
    for _ in 0..SWEEPS {
        run.check()?;
        let mut moved = 0.0f64;
        for v in 0..n {
            if let Height::Held(_) = heights[v] {
                continue;
            }
            let near = &links[first[v] as usize..first[v + 1] as usize];
            if near.is_empty() {
                continue;
            }
            let (mut sum, mut weights) = (0.0, 0.0);
            for &(to, w) in near {
                sum += w * z[to as usize];
                weights += w;
            }
            let new = clamp(&heights[v], z[v] + over * (sum / weights - z[v]));
            moved = moved.max((new - z[v]).abs());
            z[v] = new;
        }
        if moved < still {
            break;
        }
    }
    Ok(z)
}
