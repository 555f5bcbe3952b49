//! The closed lines between the halves, and what each of them is.

use super::regions::Regions;
use super::surface::{NONE, Surface};
use crate::plan::Half;
use crate::study::parting::loop_kind::LoopKind;
use glam::{DVec3, Vec3};

/// One line between the halves, half 1 on its left seen from outside.
///
/// Its points are those of mesh edges. The length of such a chain says nothing about the length of the line, however
/// fine the mesh, and is never reported.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// What it is.
    pub kind: LoopKind,
    /// The body it lies on.
    pub body: u32,
    /// False where it runs out into an open edge of the mesh; the first and last point are then its ends.
    pub closed: bool,
    /// Points in order; a closed loop goes on from the last to the first.
    pub points: Vec<Vec3>,
    /// The edges in order, as (triangle of half 1, its edge).
    pub edges: Vec<(u32, u8)>,
    /// Area that it encloses seen along the draw, mm²; measures how far round it goes, used to tell loops apart.
    pub encloses_mm2: f64,
}

/// Chains the edges between the halves into lines and says what each is: of every body the one that encloses most seen
/// along the draw is its parting line (the outline is the outermost; holes and islands lie inside it), a line round a
/// piece that is cut off from the rest of its half is an island's, and all others are shut-offs, which go through or
/// round holes.
///
/// Where several lines touch in a vertex each turns round the triangles of half 1, so no line crosses another.
/// Ordered by body, then kind (parting, shut-off, island), then the enclosed area, largest first.
pub fn loops(surface: &Surface, halves: &[Half], regions: &Regions, draw: Vec3) -> Vec<Loop> {
    let mut loops = chains(surface, halves);
    for l in &mut loops {
        l.encloses_mm2 = enclosed(&l.points, draw);
        let (f, k) = l.edges[0];
        let other = surface.across[f as usize][k as usize] as usize;
        let main = |t: usize| regions.list[regions.of[t] as usize].main;
        l.kind = if main(f as usize) && main(other) { LoopKind::ShutOff } else { LoopKind::Island };
    }
    let mut line: Vec<Option<usize>> = vec![None; surface.bodies];
    for (i, l) in loops.iter().enumerate() {
        if l.kind == LoopKind::Island {
            continue;
        }
        let here = &mut line[l.body as usize];
        // Loops of a symmetric part enclose the same but for rounding: then the longer chain, then the earlier.
        let better = |j: usize| {
            let (a, b) = (l.encloses_mm2, loops[j].encloses_mm2);
            if (a - b).abs() > 1e-4 * a.max(b) { a > b } else { l.edges.len() > loops[j].edges.len() }
        };
        if here.is_none_or(better) {
            *here = Some(i);
        }
    }
    for i in line.into_iter().flatten() {
        loops[i].kind = LoopKind::Parting;
    }
    let rank = |k: LoopKind| match k {
        LoopKind::Parting => 0,
        LoopKind::ShutOff => 1,
        LoopKind::Island => 2,
    };
    loops.sort_by(|a, b| {
        (a.body, rank(a.kind)).cmp(&(b.body, rank(b.kind))).then(b.encloses_mm2.total_cmp(&a.encloses_mm2))
    });
    loops
}

/// The area inside a polygon seen along `draw`, mm².
fn enclosed(points: &[Vec3], draw: Vec3) -> f64 {
    let Some(&origin) = points.first() else { return 0.0 };
    let mut sum = DVec3::ZERO;
    for i in 0..points.len() {
        let (a, b) = (points[i] - origin, points[(i + 1) % points.len()] - origin);
        sum += a.as_dvec3().cross(b.as_dvec3());
    }
    (sum.dot(draw.as_dvec3()) / 2.0).abs()
}

fn chains(surface: &Surface, halves: &[Half]) -> Vec<Loop> {
    let between = |f: usize, k: usize| {
        let g = surface.across[f][k];
        g != NONE && halves[f] == Half::One && halves[g as usize] == Half::Two
    };
    // The edge that follows edge `k` of `f` round its end, inside half 1; none at an open edge.
    let next = |f: usize, k: usize| {
        let (mut g, mut j) = (f, (k + 1) % 3);
        loop {
            if between(g, j) {
                return Some((g, j));
            }
            let over = surface.across[g][j];
            if over == NONE {
                return None;
            }
            j = (surface.edge_back(g, j, over as usize) + 1) % 3;
            g = over as usize;
        }
    };
    let starts: Vec<(usize, usize)> =
        (0..surface.len()).flat_map(|f| (0..3).map(move |k| (f, k))).filter(|&(f, k)| between(f, k)).collect();
    let mut done = vec![false; if starts.is_empty() { 0 } else { 3 * surface.len() }];
    let mut has_previous = vec![false; done.len()];
    for &(f, k) in &starts {
        if let Some((g, j)) = next(f, k) {
            has_previous[3 * g + j] = true;
        }
    }
    let mut chains = Vec::new();
    let open = starts.iter().filter(|&&(f, k)| !has_previous[3 * f + k]);
    for &(f, k) in open.chain(&starts) {
        if done[3 * f + k] {
            continue;
        }
        let mut edges = Vec::new();
        let mut points = Vec::new();
        let mut at = Some((f, k));
        while let Some((g, j)) = at {
            if done[3 * g + j] {
                break;
            }
            done[3 * g + j] = true;
            edges.push((g as u32, j as u8));
            points.push(surface.ends(g, j)[0]);
            at = next(g, j);
        }
        let closed = at.is_some();
        if let (false, Some(&(g, j))) = (closed, edges.last()) {
            points.push(surface.ends(g as usize, j as usize)[1]);
        }
        let body = surface.body[f];
        chains.push(Loop { kind: LoopKind::ShutOff, body, closed, points, edges, encloses_mm2: 0.0 });
    }
    chains
}
