//! The part of a solid above a level plane as a closed mesh: the surface above the plane and the flat cap that closes it.

use crate::mesh::Mesh;
use crate::solve::surface_tree::SurfaceTree;
use glam::{DVec2, DVec3};

/// The component that `branch` stands for at `level`, cut off there: its surface above the level, and the cap facing
/// down. Closed as a set of points; the cap has vertices that the surface has not, so edges do not pair one to one.
pub fn solid_above(tree: &SurfaceTree, branch: u32, level: f64) -> Mesh {
    let up = tree.up;
    let surface = &tree.surface;
    let mut mesh = Mesh::default();
    let mut rim: Vec<[DVec3; 2]> = Vec::new();
    for &t in tree.triangles_of(branch) {
        let ids = surface.triangles()[t as usize];
        let points = surface.mesh.corners_f64(t as usize);
        let heights = points.map(|p| p.dot(up) - level);
        if heights.iter().all(|&h| h <= 0.0) {
            continue;
        }
        let mut kept: Vec<(DVec3, bool)> = Vec::with_capacity(4);
        for k in 0..3 {
            let n = (k + 1) % 3;
            if heights[k] >= 0.0 {
                kept.push((points[k], heights[k] == 0.0));
            }
            if (heights[k] > 0.0 && heights[n] < 0.0) || (heights[k] < 0.0 && heights[n] > 0.0) {
                // The same two ends in the same order from both sides of the edge, so that the cuts agree.
                let (i, j) = if ids[k] < ids[n] { (k, n) } else { (n, k) };
                kept.push((points[i].lerp(points[j], heights[i] / (heights[i] - heights[j])), true));
            }
        }
        let base = mesh.positions.len() as u32;
        mesh.positions.extend(kept.iter().map(|p| p.0.as_vec3()));
        for k in 1..kept.len() as u32 - 1 {
            mesh.triangles.push([base, base + k, base + k + 1]);
        }
        for k in 0..kept.len() {
            let (a, b) = (kept[k], kept[(k + 1) % kept.len()]);
            if a.1 && b.1 {
                rim.push([a.0, b.0]);
            }
        }
    }
    let u = up.any_orthonormal_vector();
    let v = up.cross(u);
    let Some(origin) = rim.first().map(|r| r[0]) else { return mesh };
    let flat = |p: DVec3| DVec2::new((p - origin).dot(u), (p - origin).dot(v));
    let segments: Vec<[DVec2; 2]> = rim.iter().map(|r| r.map(flat)).collect();
    let lift = origin - up * (origin.dot(up) - level);
    for triangle in fill(&segments) {
        let base = mesh.positions.len() as u32;
        // The cap faces down: turn the triangles round.
        for p in [triangle[0], triangle[2], triangle[1]] {
            mesh.positions.push((lift + u * p.x + v * p.y).as_vec3());
        }
        mesh.triangles.push([base, base + 1, base + 2]);
    }
    mesh
}

/// Counter-clockwise triangles that fill the region to the left of directed segments, holes and islands included.
///
/// The plane is cut into strips at every end of a segment; inside a strip nothing ends, so the segments are sorted
/// across it and the spans with positive winding number are trapezoids. No loops need to be found, and segments that
/// cancel do no harm.
pub fn fill(segments: &[[DVec2; 2]]) -> Vec<[DVec2; 3]> {
    let mut rows: Vec<f64> = segments.iter().flatten().map(|p| p.y).collect();
    rows.sort_by(f64::total_cmp);
    rows.dedup();
    let mut waiting: Vec<&[DVec2; 2]> = segments.iter().filter(|s| s[0].y != s[1].y).collect();
    waiting.sort_by(|a, b| a[0].y.min(a[1].y).total_cmp(&b[0].y.min(b[1].y)));
    let mut waiting = waiting.into_iter().peekable();
    let mut active: Vec<&[DVec2; 2]> = Vec::new();
    let mut triangles = Vec::new();
    let mut across: Vec<(f64, f64, f64, i32)> = Vec::new();
    for strip in rows.windows(2) {
        let (low, high) = (strip[0], strip[1]);
        active.retain(|s| s[0].y.max(s[1].y) >= high);
        while let Some(s) = waiting.next_if(|s| s[0].y.min(s[1].y) <= low) {
            active.push(s);
        }
        across.clear();
        across.extend(active.iter().map(|s| {
            let x = |y: f64| s[0].x + (s[1].x - s[0].x) * ((y - s[0].y) / (s[1].y - s[0].y));
            let (a, b) = (x(low), x(high));
            // With the region to its left, a falling segment opens it and a rising one closes it.
            (a + b, a, b, if s[1].y < s[0].y { 1 } else { -1 })
        }));
        across.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.3.cmp(&a.3)));
        let mut winding = 0;
        let mut left = (0.0, 0.0);
        for &(_, a, b, turn) in &across {
            let before = winding;
            winding += turn;
            if before <= 0 && winding > 0 {
                left = (a, b);
            } else if before > 0 && winding <= 0 {
                let corner = |x: f64, y: f64| DVec2::new(x, y);
                let quad = [corner(left.0, low), corner(a, low), corner(b, high), corner(left.1, high)];
                if quad[1].x > quad[0].x {
                    triangles.push([quad[0], quad[1], quad[2]]);
                }
                if quad[2].x > quad[3].x {
                    triangles.push([quad[0], quad[2], quad[3]]);
                }
            }
        }
    }
    triangles
}
